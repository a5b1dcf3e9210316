/** What a file that is no fuse file looks like, for a person who downloaded the wrong thing. */
import { ASTERISK, quote, STX, textOf } from './text'

const SIGNATURES: readonly (readonly [string, string])[] = [
  ['\xff\xd8\xff', 'a JPEG picture'],
  ['\x89PNG', 'a PNG picture'],
  ['GIF8', 'a GIF picture'],
  ['%PDF', 'a PDF document'],
  ['PK\x03\x04', 'a ZIP archive'],
  ['\x1f\x8b', 'a gzip archive'],
  ['Rar!', 'a RAR archive'],
  ['7z\xbc\xaf', 'a 7z archive'],
  ['\xff\xfe', 'UTF-16 text: save it again as plain ASCII'],
  ['\xfe\xff', 'UTF-16 text: save it again as plain ASCII'],
]

/** What a file that is no fuse file looks like, as the rest of a sentence. */
export function lookAlike(bytes: Uint8Array): string {
  const head = textOf(bytes, 0, Math.min(bytes.length, 512))
  const known = SIGNATURES.find(([mark]) => head.startsWith(mark))
  if (known) return `begins like ${known[1]}`
  if (/^\s*(<!doctype html|<html|<\?xml|<head|<body)/i.test(head)) return 'begins like a web page'
  if (/^:[0-9A-Fa-f]{10}/.test(head) || /^S[0-9][0-9A-Fa-f]{8}/.test(head))
    return 'begins like a memory image in hexadecimal records'
  if (bytes.length > 0 && bytes.every((c) => c === bytes[0]))
    return `holds ${bytes.length} bytes that are all ${bytes[0]!.toString(16).toUpperCase().padStart(2, '0')} hexadecimal`
  if (bytes[0] === STX)
    return bytes.includes(ASTERISK)
      ? 'is a transmission of other fields only'
      : 'begins with a start mark and holds no field, so it may have been cut right after'
  if (/[^\t\n\r -~]{4}/.test(head.slice(0, 64))) return 'begins like binary data'
  return `begins with “${quote(head.slice(0, 24))}”`
}
