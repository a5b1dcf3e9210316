/** The least input that still hasFailed: documents lose entries, files lose stretches, as long as they fail alike. */
import { encoded, type Input } from './entry-point'
import { lessened, type Json } from './documents'

function asDocument(bytes: Uint8Array): Json | undefined {
  if (bytes[0] !== 0x7b) return undefined
  try {
    return JSON.parse(new TextDecoder().decode(bytes)) as Json
  } catch {
    return undefined
  }
}

/** Shorter forms of a content, the shortest first. */
function* shorter(bytes: Uint8Array): Generator<Uint8Array> {
  const document = asDocument(bytes)
  if (document !== undefined) {
    const forms = lessened(document).map(encoded)
    yield* forms.sort((a, b) => a.length - b.length)
    return
  }
  for (let length = bytes.length >> 1; length >= 1; length >>= 1)
    for (let at = 0; at < bytes.length; at += length)
      yield Uint8Array.from([...bytes.subarray(0, at), ...bytes.subarray(at + length)])
}

/** Most tries at one failure: some seconds of the slower entry points. */
const MAX_TRIES = 400

export function minimised(input: Input, hasFailed: (input: Input) => boolean): Input {
  let tries = MAX_TRIES
  let best = input
  for (let found = true; found && tries > 0;) {
    found = false
    for (let i = 0; i < best.contents.length && !found; i++)
      for (const content of shorter(best.contents[i]!)) {
        if (tries-- <= 0) break
        const next = { ...best, contents: best.contents.map((old, k) => (k === i ? content : old)) }
        if (!hasFailed(next)) continue
        best = next
        found = true
        break
      }
  }
  return best
}
