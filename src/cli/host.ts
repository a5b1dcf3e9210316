/** The host as the program sees it; tests hand in their own. */
import { readFileSync, realpathSync, writeFileSync } from 'node:fs'

export interface Host {
  /** Bytes of a file; `-` is standard input. Throws when it cannot be read. */
  read(path: string): Uint8Array
  write(path: string, bytes: Uint8Array): void
  /** True when both names lead to one existing file. */
  same(a: string, b: string): boolean
  out(text: string): void
  err(text: string): void
}

export const nodeHost: Host = {
  read: (path) => readFileSync(path === '-' ? 0 : path),
  write: writeFileSync,
  same: (a, b) => {
    try {
      return realpathSync(a) === realpathSync(b)
    } catch {
      return false
    }
  },
  out: (text) => writeFileSync(1, text),
  err: (text) => writeFileSync(2, text),
}
