/** A file written anew, or why it was not, as text for a person. */
import { isRefused } from '../findings/refused'
import { madeBy, stringOf, wholeNumber } from '../arguments/arguments'
import type { NotRewritten, Rewritten } from '../jesd3/rewrite'
import { answerLines, findingCause, inSigns, remarkRows, todoRows } from './answer'
import type { RetargetNames } from './retarget-text'
import { checkLook, lookOf, row, type TextOptions } from './screen'

/** Most errors and warnings, and notes beside the cause of a refusal. */
const MOST_SHOWN = { grave: 3, notes: 0 } as const

const REWRITTEN = { keys: ['changedFuses', 'leftOut', 'confirmed', 'security'], maker: 'what rewrite returned' }
const NOT_REWRITTEN = { keys: ['refused', 'findings'], maker: 'what rewrite returned' }

/** What was written anew: the names of both files, and how many fuses they have. */
export interface RewriteNames extends RetargetNames {
  /** Fuses of either file; null where none is known. */
  readonly fuseCount: number | null
}

/**
 * What became of a file that was to be written anew.
 *
 * @param result what `rewrite` gave
 * @param names of both files, and how many fuses they have
 * @param options width, all, ascii, more
 * @returns whether it was written, and what was left out, as lines
 * @throws TypeError or RangeError that names the argument
 * @example renderRewritten(rewrite(file), { from: 'a.jed', to: 'b.jed', fuseCount: 2194 }).split(':')[0] // 'b.jed'
 */
export function renderRewritten(
  result: Rewritten | NotRewritten,
  names: RewriteNames,
  options: TextOptions = {},
): string {
  if (isRefused(result)) madeBy(result, 'result', NOT_REWRITTEN)
  else madeBy(result, 'result', REWRITTEN)
  madeBy(names, 'names', { keys: ['from', 'to', 'fuseCount'], maker: 'the names of both files and their fuses' })
  stringOf(names.from, 'names.from')
  stringOf(names.to, 'names.to')
  if (names.fuseCount !== null) wholeNumber(names.fuseCount, 'names.fuseCount', [0])
  checkLook(options)
  const { bytes: _, ...rest } = result
  return inSigns({ ...rest, names }, options, (each, signs) =>
    'refused' in each ? renderRefused(each, signs) : renderWritten(each, signs),
  )
}

interface Named {
  readonly names: RewriteNames
}

const PROTECTS =
  'The new file asks to protect the chip (G1), and a protected chip cannot be read back: burn and verify without first.'

function renderWritten(
  { changedFuses, leftOut, confirmed, security, names }: Omit<Rewritten, 'bytes'> & Named,
  options: TextOptions,
): string {
  const look = lookOf(options)
  const cause = `its ${names.fuseCount ?? 0} fuses are those of ${names.from}, read back, ${changedFuses} differ`
  return [
    answerLines({ subject: names.to, answer: 'written', causes: [cause] }, look),
    ...(confirmed
      ? []
      : [row('look out', 'No fuse checksum of the old file confirms its fuses; the new one repeats them.', look)]),
    ...(security === 1 ? [row('look out', PROTECTS, look)] : []),
    ...leftOut.map((line) => row('left out', `not carried over as it was: ${line}`, look)),
    '',
  ].join('\n')
}

function renderRefused({ findings, names }: Omit<NotRewritten, 'bytes'> & Named, options: TextOptions): string {
  const look = lookOf(options)
  const lead = findings[0] ?? null
  const cause = `its fuses cannot be trusted: ${findingCause(lead)}`
  return [
    answerLines({ subject: names.from, answer: 'not rewritten', causes: [cause] }, look),
    ...todoRows(lead, look),
    ...remarkRows(findings, { said: lead ? [lead] : [], most: MOST_SHOWN }, look),
    '',
  ].join('\n')
}
