/**
 * The little that tests use of what their host gives. The types of browsers and of the test runner's bundler together
 * take the compiler as long as all of src; src itself may use none of these names (architecture.test.ts).
 */
declare class URL {
  constructor(url: string, base?: string | URL)
  readonly href: string
  readonly pathname: string
}
declare class TextDecoder {
  constructor(encoding?: string, options?: { readonly fatal?: boolean })
  decode(bytes?: Uint8Array): string
}
declare class AbortController {
  readonly signal: AbortSignal
  abort(reason?: unknown): void
}
declare class AbortSignal {
  static abort(reason?: unknown): AbortSignal
  readonly aborted: boolean
  readonly reason: unknown
}
declare function setTimeout(call: () => void, milliseconds?: number): unknown
declare function structuredClone<T>(value: T): T

interface ImportMeta {
  readonly url: string
  readonly env: { readonly MODE: string }
  /** Modules of files that a pattern names, by path. */
  glob<Module>(
    pattern: string | readonly string[],
    options: { readonly eager: true; readonly import?: string; readonly query?: string },
  ): Record<string, Module>
  glob<Module = Record<string, unknown>>(pattern: string | readonly string[]): Record<string, () => Promise<Module>>
}
