/** Runs the program over files held in memory. */
import type { Host } from '../src/cli/host'
import { run } from '../src/cli/every-command'

export type Files = Readonly<Record<string, Uint8Array | string>>

export interface Ran {
  readonly code: number
  readonly out: string
  readonly err: string
  readonly written: ReadonlyMap<string, Uint8Array>
}

const bytesOf = (content: Uint8Array | string): Uint8Array =>
  typeof content === 'string' ? new TextEncoder().encode(content) : content

/** One call of the program. Names that begin with `locked` can be neither read nor written; `./NAME` is NAME too. */
export function callProgram(args: readonly string[], files: Files, more: Partial<Host> = {}): Ran {
  let out = ''
  let err = ''
  const written = new Map<string, Uint8Array>()
  const plain = (name: string): string => name.replace(/^\.\//, '')
  const host: Host = {
    read(name) {
      const content = files[plain(name)]
      if (content === undefined)
        throw Object.assign(new Error(name), { code: name.startsWith('locked') ? 'EACCES' : 'ENOENT' })
      return bytesOf(content)
    },
    write(name, bytes) {
      if (name.startsWith('locked')) throw new Error(name)
      written.set(name, bytes)
    },
    kind: () => 'none',
    list: () => [],
    same: (a, b) => plain(a) === plain(b) && plain(a) in files,
    out: (text) => void (out += text),
    err: (text) => void (err += text),
    ...more,
  }
  return { code: run(args, host), out, err, written }
}

/** The one document that a call printed. */
export function documentOf({ out }: Ran): any {
  return JSON.parse(out)
}
