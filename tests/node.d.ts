/** The little of Node that tests use beyond src/cli/node.d.ts, so that no package of types is needed. */
declare module 'node:fs' {
  export function readFileSync(path: URL | string): Uint8Array
  export function readFileSync(path: URL | string, encoding: 'utf8' | 'latin1'): string
  export function readdirSync(path: URL | string, options?: { readonly recursive?: boolean }): string[]
  export function existsSync(path: URL | string): boolean
  export function mkdtempSync(prefix: string): string
  export function mkdirSync(path: URL | string, options?: { readonly recursive?: boolean }): void
  export function rmSync(
    path: URL | string,
    options?: { readonly recursive?: boolean; readonly force?: boolean },
  ): void
  export function copyFileSync(from: URL | string, to: URL | string): void
  export function symlinkSync(target: string, path: string): void
}
declare module 'node:child_process' {
  interface RunOptions {
    readonly cwd?: string
    readonly input?: string | Uint8Array
    readonly encoding?: 'utf8'
    readonly env?: Readonly<Record<string, string | undefined>>
    readonly shell?: boolean
    readonly stdio?: 'pipe' | 'ignore'
  }
  export function execFileSync(file: string, args: readonly string[], options?: RunOptions): string
  export function spawnSync(
    file: string,
    args: readonly string[],
    options?: RunOptions,
  ): { readonly status: number | null; readonly stdout: string; readonly stderr: string }
}
declare module 'node:path' {
  export function join(...parts: string[]): string
  export function dirname(path: string): string
  export function relative(from: string, to: string): string
}
declare module 'node:os' {
  export function tmpdir(): string
}
declare module 'node:url' {
  export function fileURLToPath(url: URL | string): string
}
declare module 'node:zlib' {
  export function gzipSync(data: Uint8Array | string): Uint8Array
}
