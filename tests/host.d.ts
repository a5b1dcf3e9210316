/**
 * The little that tests use of what their host gives. The types of browsers and of the test runner's bundler together
 * take the compiler as long as all of src; src itself may use none of these names (architecture.test.ts).
 */
declare class URL {
  constructor(url: string, base?: string | URL)
}
declare class TextDecoder {
  constructor(encoding?: string)
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
  glob(pattern: string, options: { readonly eager: true }): Record<string, Record<string, unknown>>
  glob(pattern: string): Record<string, () => Promise<Record<string, unknown>>>
}
