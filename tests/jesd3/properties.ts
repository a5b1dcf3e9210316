/**
 * What holds of reading any bytes at all, as one function that returns what does not hold: the tests call it a hundred
 * thousand times, and an assertion each would take longer than the reading.
 */
import { differingFuses, explain, partsOf, readFuseFile, rewrite, verify, type Finding, type VerifyOptions } from '../../src/index'
import { type ExplainedFile, readExplained } from './read-explained'
import { textFrom } from './reference'
import { granted } from '../granted'

/** Line and column as a person counts them: CR LF, LF and a lone CR each end one line. */
export function placeOf(text: string, offset: number): { readonly line: number; readonly column: number } {
  const before = text.slice(0, offset).split(/\r\n|\n|\r/)
  // Between CR and LF the line has not ended yet.
  const split = text[offset - 1] === '\r' && text[offset] === '\n'
  const lines = split ? [...before.slice(0, -2), `${before.at(-2)}\r`] : before
  return { line: lines.length, column: lines.at(-1)!.length + 1 }
}

/** The first property of reading that does not hold, or null. */
export function brokenReading(bytes: Uint8Array): string | null {
  let file: ExplainedFile
  try {
    file = readExplained(bytes)
  } catch (error) {
    return `threw ${String(error)}`
  }
  return brokenSpans(file) ?? brokenFindings(file, bytes) ?? brokenFuses(file)
}

function brokenSpans(file: ExplainedFile): string | null {
  let at = 0
  let fields = 0
  for (const { start, end, field } of partsOf(file)) {
    if (start !== at || end <= start) return `part ${start}–${end} does not follow ${at}`
    if (field !== null && field !== fields++) return `field ${field} is out of order`
    at = end
  }
  if (at !== file.bytes.length || fields !== file.fields.count)
    return `the parts end at ${at} of ${file.bytes.length} with ${fields} fields`
  const { start, end } = file.frame
  return (start ?? -1) < (end ?? at) && (end ?? 0) <= at ? null : `the frame is ${start}–${end} of ${at}`
}

function brokenFindings({ findings, findingCounts }: ExplainedFile, bytes: Uint8Array): string | null {
  const text = textFrom(bytes)
  for (const finding of findings) {
    const { position, message, hint } = finding
    if (/\{\w+\}|undefined|\bNaN\b/.test(message + hint)) return `${finding.code} says: ${message} ${hint}`
    if (!position) continue
    if (!(position.offset >= 0 && position.offset <= bytes.length))
      return `${finding.code} at ${position.offset} of ${bytes.length}`
    const { line, column } = placeOf(text, position.offset)
    if (position.line !== line || position.column !== column)
      return `${finding.code} at ${position.offset} is line ${line}, column ${column}, not ${position.line}, ${position.column}`
  }
  const count = (severity: Finding['severity']): number =>
    findings.filter((finding) => finding.severity === severity && finding.code !== 'file/more-findings').length
  const surplus = findings.some(({ code }) => code === 'file/more-findings')
  for (const severity of ['error', 'warning', 'note'] as const)
    if (surplus ? findingCounts[severity] < count(severity) : findingCounts[severity] !== count(severity))
      return `${findingCounts[severity]} ${severity}s counted, ${count(severity)} listed`
  return null
}

function brokenFuses({ fuses, fuseCount, listed, vectors, checksums }: ExplainedFile): string | null {
  if (fuses && (fuses.length !== fuseCount || fuses.bits.length !== Math.ceil(fuses.length / 8)))
    return `${fuses.length} fuses, ${fuseCount} told`
  if (fuses && fuses.length % 8 && fuses.bits.at(-1)! >> (fuses.length % 8)) return 'a bit past the last fuse is set'
  const { bounds } = listed
  if (fuses && bounds.some((bound, i) => bound > fuses.length || bound <= (bounds[i - 1] ?? -1)))
    return `listed ${bounds.join(' ')} of ${fuses.length}`
  if (vectors.some(({ number }, i) => number <= (vectors[i - 1]?.number ?? -1))) return 'vectors out of order'
  const { fuse, transmission } = checksums
  if (fuse.status === 'match' && parseInt(fuse.stated!, 16) !== parseInt(fuse.computed!, 16))
    return 'a fuse sum matches that does not'
  if (transmission.status === 'match' && transmission.stated!.toUpperCase() !== transmission.computed)
    return 'a transmission sum matches that does not'
  if (transmission.status !== 'mismatch' && transmission.explanation !== null)
    return 'an explanation without a mismatch'
  return null
}

/** The first property of verifying that does not hold, or null. */
export function brokenVerdict(bytes: Uint8Array, options: VerifyOptions = {}): string | null {
  try {
    const { verdict, findings, checksums } = verify(bytes, options)
    const worst = findings.some(({ severity }) => severity === 'error')
      ? 'fail'
      : findings.some(({ severity }) => severity === 'warning')
        ? 'caution'
        : 'pass'
    if (verdict !== worst) return `${verdict} with findings that make it ${worst}`
    if (checksums.fuse.status === 'mismatch' && verdict === 'pass') return 'a pass with a wrong fuse sum'
    return null
  } catch (error) {
    return `verify threw ${String(error)}`
  }
}

/** A text of each would take seconds for the largest files. */
const sameBytes = (a: Uint8Array, b: Uint8Array): boolean =>
  a.length === b.length && a.every((byte, i) => byte === b[i])

/** The first property of rewriting that does not hold, or null. */
export function brokenRewriting(bytes: Uint8Array): string | null {
  try {
    const file = readFuseFile(bytes)
    const made = rewrite(file)
    if ('refused' in made) return made.findings.length > 0 ? null : 'refused without a reason'
    const { bytes: written } = made
    const again = readFuseFile(written)
    if (explain(again).findings.counts.error > 0) return 'the rewritten file has errors'
    if (again.checksums.transmission.status !== 'match') return 'the rewritten file has a wrong sum'
    if ((file.fuses === null) !== (again.fuses === null)) return 'fuses lost or made'
    if (file.fuses && again.fuses && differingFuses(file.fuses, again.fuses).count > 0) return 'other fuses'
    if (file.security !== again.security) return 'another security field'
    if (!sameBytes(granted(rewrite(again)).bytes, written)) return 'rewriting again changes the file'
    return null
  } catch (error) {
    return `rewriting threw ${String(error)}`
  }
}
