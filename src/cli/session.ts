/**
 * The host for the time of one call: what is read is remembered, so that nothing of it is ever written over, and what
 * is shown holds no character that steers a terminal.
 */
import type { Host } from './host'

/** Wrong usage: one line for standard error, exit 2. */
export class Usage extends Error {}

/** Output that could not be written whole: one line for standard error, exit 4. */
export class OutputFailed extends Error {}

export interface Session extends Host {
  /** The names of all files that were read. */
  readonly reads: ReadonlySet<string>
}

/**
 * Characters that steer a terminal or change the direction of writing: controls but the line feed and a carriage
 * return before it, U+007F to U+009F, the marks of UAX #9 and the separators of lines and paragraphs.
 */
const STEERING =
  // eslint-disable-next-line no-control-regex
  /[\0-\x09\x0b\x0c\x0e-\x1f\x7f-\x9f\u061c\u200e\u200f\u2028-\u202e\u2066-\u2069\ufeff]|\r(?!\n)/g

const escaped = (character: string): string =>
  `\\u${character.charCodeAt(0).toString(16).toUpperCase().padStart(4, '0')}`

/** A text with its steering characters as \uXXXX, which a JSON document reads back as the characters. */
export function printable(text: string): string {
  return text.replace(STEERING, escaped)
}

/** A text that goes into one line. */
function oneLine(text: string): string {
  return printable(text.replace(/[\r\n]/g, escaped))
}

const REASONS: Readonly<Record<string, string>> = {
  EPIPE: 'its reader has closed it',
  ENOSPC: 'the device is full',
  EDQUOT: 'the quota is used up',
  EFBIG: 'the file grows too large',
  EIO: 'the device reports an error',
}

const codeOf = (error: unknown): string => (error as { readonly code?: string }).code ?? ''

/** The failure of a device or pipe, or null where something else is wrong. */
export function outputFailure(target: string, error: unknown): OutputFailed | null {
  const reason = REASONS[codeOf(error)]
  return reason === undefined ? null : new OutputFailed(`${target} could not be written whole: ${reason}`)
}

/** `words` are the words of the call: where one has a line break it is shown escaped, as in every name of a file. */
export function openSession(host: Host, words: readonly string[]): Session {
  const reads = new Set<string>()
  const broken = words.filter((word) => /[\r\n]/.test(word))
  let isStatusShown = false
  const status = host.status
  const showStatus = (line: string): void => {
    isStatusShown = line !== ''
    try {
      status?.(printable(line))
    } catch {
      // Nobody is left who could be told.
    }
  }
  const endStatus = (): void => {
    if (isStatusShown) showStatus('')
  }
  const shown = (text: string): string =>
    printable(broken.reduce((whole, word) => whole.replaceAll(word, oneLine(word)), text))
  return {
    ...host,
    reads,
    read(path, limit) {
      if (path === '-' && reads.has('-'))
        throw new Usage('standard input can be read only once; name files for the others')
      reads.add(path)
      return host.read(path, limit)
    },
    status: status && showStatus,
    out(text) {
      endStatus()
      try {
        host.out(shown(text))
      } catch (error) {
        throw new OutputFailed(
          `standard output could not be written whole: ${REASONS[codeOf(error)] ?? (codeOf(error) || 'it fails')}`,
        )
      }
    },
    err(text) {
      endStatus()
      try {
        host.err(`${oneLine(text.replace(/\n$/, ''))}\n`)
      } catch {
        // Nobody is left who could be told.
      }
    },
  }
}
