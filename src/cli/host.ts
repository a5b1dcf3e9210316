/** The host as the program sees it; tests hand in their own. */
import {
  closeSync,
  fstatSync,
  fsyncSync,
  linkSync,
  lstatSync,
  openSync,
  readdirSync,
  readFileSync,
  renameSync,
  statSync,
  unlinkSync,
  writeSync,
} from 'node:fs'

/** What stands under a name, links not followed. */
export type Kind = 'none' | 'file' | 'folder' | 'link' | 'other'

export interface Host {
  /**
   * Bytes of a file; `-` is standard input. With a limit only regular files of at most so many bytes are read. Throws
   * when it cannot be read.
   */
  read(path: string, limit?: number): Uint8Array
  /**
   * Writes a whole file, or leaves what stood there as it was. Throws where the name exists and may not be replaced.
   */
  write(path: string, bytes: Uint8Array, replace?: boolean): void
  kind(path: string): Kind
  /** The names in a folder. */
  list(path: string): readonly string[]
  /** True when both names lead to one existing file. */
  same(a: string, b: string): boolean
  out(text: string): void
  err(text: string): void
  /** Lines and columns of the terminal; undefined where the output goes elsewhere. */
  rows?(): number | undefined
  columns?(): number | undefined
  /** Milliseconds of a clock. */
  now?(): number
  /** Shows a line on a terminal's standard error until the next one, or nothing more; undefined where it is none. */
  status?: ((line: string) => void) | undefined
  /** Value of a variable of the environment. */
  setting?(name: string): string | undefined
}

/** An error with a code in the manner of Node. */
function coded(code: string): Error {
  return Object.assign(new Error(code), { code })
}

const codeOf = (error: unknown): string | undefined => (error as { readonly code?: string }).code

/** Milliseconds between two tries at a full pipe: short for a reader, long for a processor. */
const PIPE_WAIT = 5

function writeBytes(descriptor: number, bytes: Uint8Array): void {
  for (let at = 0; at < bytes.length;) {
    try {
      at += writeSync(descriptor, bytes, at)
    } catch (error) {
      if (codeOf(error) !== 'EAGAIN') throw error
      Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0, PIPE_WAIT) // a full pipe: sleep, then try again
    }
  }
}

function readFile(path: string, limit?: number): Uint8Array {
  if (path === '-') return within(readFileSync(0), limit)
  if (limit === undefined) return readFileSync(path)
  const found = statSync(path) // asked by name first: to open a pipe would wait for its writer
  if (found.isDirectory()) throw coded('EISDIR')
  if (!found.isFile()) throw coded('NOT-A-FILE')
  const descriptor = openSync(path, 'r')
  try {
    if (!fstatSync(descriptor).isFile()) throw coded('NOT-A-FILE')
    if (fstatSync(descriptor).size > limit) throw coded('TOO-LARGE')
    return within(readFileSync(descriptor), limit)
  } finally {
    closeSync(descriptor)
  }
}

function within(bytes: Uint8Array, limit = Infinity): Uint8Array {
  if (bytes.length > limit) throw coded('TOO-LARGE')
  return bytes
}

/** Written beside, then put in place, so that an end in the middle leaves the old content whole. */
function writeFile(path: string, bytes: Uint8Array, replace = false): void {
  const beside = `${path}.${process.pid}.part`
  const descriptor = openSync(beside, 'wx')
  try {
    try {
      writeBytes(descriptor, bytes)
      fsyncSync(descriptor)
    } finally {
      closeSync(descriptor)
    }
    if (replace) renameSync(beside, path)
    else putInPlace(beside, path)
  } catch (error) {
    removeQuietly(beside)
    throw error
  }
}

/** A link is refused by the system where the name exists by now; not every file system has links. */
function putInPlace(beside: string, path: string): void {
  try {
    linkSync(beside, path)
  } catch (error) {
    if (codeOf(error) === 'EEXIST' || kindOf(path) !== 'none') throw coded('EEXIST')
    renameSync(beside, path)
    return
  }
  removeQuietly(beside)
}

function removeQuietly(path: string): void {
  try {
    unlinkSync(path)
  } catch {
    // Nothing is there to be removed, or it may not be: the file that was asked for is not concerned.
  }
}

function kindOf(path: string): Kind {
  try {
    const found = lstatSync(path)
    if (found.isSymbolicLink()) return 'link'
    return found.isFile() ? 'file' : found.isDirectory() ? 'folder' : 'other'
  } catch {
    return 'none'
  }
}

/** One file has one device and number, whatever links lead to it. */
function isSame(a: string, b: string): boolean {
  try {
    const [first, second] = [statSync(a), statSync(b)]
    return first.dev === second.dev && first.ino === second.ino
  } catch {
    return false
  }
}

/** Columns that a status line fills: it is written over by the next, and by blanks at the end. */
const STATUS_WIDTH = 79

function showStatus(line: string): void {
  const shown = line.slice(0, STATUS_WIDTH)
  writeBytes(2, new TextEncoder().encode(`\r${shown.padEnd(STATUS_WIDTH)}\r${shown}`))
}

export const nodeHost: Host = {
  read: readFile,
  write: writeFile,
  kind: kindOf,
  list: (path) => readdirSync(path),
  same: isSame,
  out: (text) => writeBytes(1, new TextEncoder().encode(text)),
  err: (text) => writeBytes(2, new TextEncoder().encode(text)),
  rows: () => process.stdout.rows,
  columns: () => process.stdout.columns,
  now: () => Date.now(),
  status: process.stderr.isTTY ? showStatus : undefined,
  setting: (name) => process.env[name],
}
