/** What a file that is no fuse file looks like, for a person who downloaded the wrong thing. */
import type { EXPLANATION_FINDINGS } from '../findings/explanation-findings'
import type { DataOf } from '../findings/wording'
import { ASTERISK, quote, STX, textOf } from './text'

/** What a file looks like, as data. */
export type LookAlike = DataOf<(typeof EXPLANATION_FINDINGS)['file/look-alike']>

type Archive = Exclude<LookAlike['what'], 'all-alike' | 'text'>

const SIGNATURES: readonly (readonly [string, Archive])[] = [
  ['\xff\xd8\xff', 'jpeg'],
  ['\x89PNG', 'png'],
  ['GIF8', 'gif'],
  ['%PDF', 'pdf'],
  ['PK\x03\x04', 'zip'],
  ['\x1f\x8b', 'gzip'],
  ['Rar!', 'rar'],
  ['7z\xbc\xaf', '7z'],
  ['\xff\xfe', 'utf-16'],
  ['\xfe\xff', 'utf-16'],
]

/** What a file that is no fuse file looks like. */
export function lookAlike(bytes: Uint8Array): LookAlike {
  const head = textOf(bytes, 0, Math.min(bytes.length, 512))
  const known = SIGNATURES.find(([mark]) => head.startsWith(mark))
  if (known) return { what: known[1] }
  if (/^\s*(<!doctype html|<html|<\?xml|<head|<body)/i.test(head)) return { what: 'web-page' }
  if (/^:[0-9A-Fa-f]{10}/.test(head) || /^S[0-9][0-9A-Fa-f]{8}/.test(head))
    return { what: 'hexadecimal-records' }
  if (bytes.length > 0 && bytes.every((c) => c === bytes[0]))
    return {
      what: 'all-alike',
      count: bytes.length,
      hex: bytes[0]!.toString(16).toUpperCase().padStart(2, '0'),
    }
  if (bytes[0] === STX)
    return { what: bytes.includes(ASTERISK) ? 'other-fields' : 'start-mark-alone' }
  if (/[^\t\n\r -~]{4}/.test(head.slice(0, 64))) return { what: 'binary-data' }
  return { what: 'text', text: quote(head.slice(0, 24)) }
}
