/** The little of Node that the program uses, so that no package of types is needed. */
declare module 'node:fs' {
  interface Stats {
    readonly dev: number
    readonly ino: number
    readonly size: number
    isFile(): boolean
    isDirectory(): boolean
    isSymbolicLink(): boolean
  }
  export function readFileSync(path: string | number): Uint8Array
  export function writeFileSync(path: string, data: Uint8Array | string): void
  export function writeSync(descriptor: number, data: Uint8Array, offset: number): number
  export function statSync(path: string): Stats
  export function lstatSync(path: string): Stats
  export function fstatSync(descriptor: number): Stats
  export function openSync(path: string, flags: 'r' | 'wx'): number
  export function closeSync(descriptor: number): void
  export function fsyncSync(descriptor: number): void
  export function linkSync(path: string, name: string): void
  export function renameSync(from: string, to: string): void
  export function unlinkSync(path: string): void
  export function readdirSync(path: string): string[]
}
declare module 'node:module' {
  export function createRequire(path: string): (name: string) => unknown
}
declare module 'node:util' {
  export class TextDecoder {
    constructor(encoding: 'utf-8', options?: { readonly fatal?: boolean })
    decode(bytes: Uint8Array): string
  }
  interface OptionConfig {
    readonly type: 'string' | 'boolean'
    readonly short?: string
  }
  export function parseArgs(config: {
    readonly args: readonly string[]
    readonly options: Readonly<Record<string, OptionConfig>>
    readonly allowPositionals: boolean
    readonly strict: boolean
    readonly tokens: true
  }): {
    readonly values: Readonly<Record<string, string | boolean | undefined>>
    readonly positionals: readonly string[]
    readonly tokens: readonly { readonly kind: string; readonly name?: string }[]
  }
}
declare const __filename: string
declare const process: {
  readonly argv: readonly string[]
  readonly pid: number
  exitCode: number | undefined
  readonly stderr: { readonly isTTY?: boolean }
    readonly stdout: { readonly rows?: number; readonly columns?: number }
  readonly env: Readonly<Record<string, string | undefined>>
}
