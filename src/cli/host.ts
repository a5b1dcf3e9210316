/** The host as the program sees it; tests hand in their own. */
import { readFileSync, statSync, writeFileSync, writeSync } from 'node:fs'

export interface Host {
  /** Bytes of a file; `-` is standard input. Throws when it cannot be read. */
  read(path: string): Uint8Array
  write(path: string, bytes: Uint8Array): void
  /** True when both names lead to one existing file. */
  same(a: string, b: string): boolean
  out(text: string): void
  err(text: string): void
}

/** Writes all of a text; a reader that has gone away (a closed pipe) is no error. */
function writeText(descriptor: number, text: string): void {
  const bytes = new TextEncoder().encode(text)
  for (let at = 0; at < bytes.length;) {
    try {
      at += writeSync(descriptor, bytes, at)
    } catch (error) {
      const { code } = error as { readonly code?: string }
      if (code === 'EPIPE') return
      if (code !== 'EAGAIN') throw error // a full pipe: try again
    }
  }
}

export const nodeHost: Host = {
  read: (path) => readFileSync(path === '-' ? 0 : path),
  write: writeFileSync,
  same: (a, b) => {
    try {
      const [first, second] = [statSync(a), statSync(b)]
      return first.dev === second.dev && first.ino === second.ino
    } catch {
      return false
    }
  },
  out: (text) => writeText(1, text),
  err: (text) => writeText(2, text),
}
