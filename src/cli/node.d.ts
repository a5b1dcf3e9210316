/** The little of Node that the program uses, so that no package of types is needed. */
declare module 'node:fs' {
  export function readFileSync(path: string | number): Uint8Array
  export function writeFileSync(path: string, data: Uint8Array | string): void
  export function writeSync(descriptor: number, data: Uint8Array, offset: number): number
  export function statSync(path: string): { readonly dev: number; readonly ino: number }
}
declare module 'node:util' {
  export class TextDecoder {
    constructor(encoding: 'utf-8', options?: { readonly fatal?: boolean })
    decode(bytes: Uint8Array): string
  }
  interface OptionConfig {
    readonly type: 'string' | 'boolean'
    readonly multiple?: boolean
  }
  export function parseArgs(config: {
    readonly args: readonly string[]
    readonly options: Readonly<Record<string, OptionConfig>>
    readonly allowPositionals: boolean
    readonly strict: boolean
  }): {
    readonly values: Readonly<Record<string, string | boolean | undefined>>
    readonly positionals: readonly string[]
  }
}
declare const process: {
  readonly argv: readonly string[]
  exitCode: number | undefined
}
