/** A map moved to another part, or why it was not, as text for a person. */
import { isRefused } from '../findings/refused'
import { madeBy, stringOf } from '../arguments/arguments'
import type { NotRetargeted, Retargeted } from '../jobs/retarget/retarget'
import { answerLines, bounded, counted, inSigns, remarkRows, scopeRows } from './answer'
import { checkLook, lookOf, row, type Look, type TextOptions } from './screen'

/** Most misfits, errors and warnings, and notes that a screen has room for. */
const MOST_SHOWN = { misfits: 8, grave: 2, notes: 2 } as const

const RETARGETED = { keys: ['part', 'proof', 'notCarried'], maker: 'what retarget returned' }
const NOT_RETARGETED = { keys: ['refused', 'part', 'misfits'], maker: 'what retarget returned' }

/** Names of the file that was moved, and of the one that was written. */
export interface RetargetNames {
  /** The file that it was made of. */
  readonly from: string
  /** The new file. */
  readonly to: string
}

/**
 * What became of a map for another part. A typical text fits a screen of 24 lines by 80 columns.
 *
 * @param result what `retarget` gave
 * @param names of the file that was moved, and of the new one
 * @param options width, all, ascii, more
 * @returns the answer, what to do, proof and what was left out as lines
 * @throws TypeError or RangeError that names the argument
 * @example renderRetargeted(retarget(bytes, { to: '16L8' }), { from: 'a.jed', to: 'b.jed' }).split(':')[0] // 'a.jed'
 */
export function renderRetargeted(
  result: Retargeted | NotRetargeted,
  names: RetargetNames,
  options: TextOptions = {},
): string {
  if (isRefused(result)) madeBy(result, 'result', NOT_RETARGETED)
  else madeBy(result, 'result', RETARGETED)
  madeBy(names, 'names', { keys: ['from', 'to'], maker: 'the names of both files' })
  stringOf(names.from, 'names.from')
  stringOf(names.to, 'names.to')
  checkLook(options)
  const { bytes: _, ...rest } = result
  return inSigns({ ...rest, names }, options, (each, signs) =>
    'refused' in each ? renderRefused(each, signs) : renderWritten(each, signs),
  )
}

interface Named {
  readonly names: RetargetNames
}

function renderWritten(
  { part, mode, proof, notCarried, names }: Omit<Retargeted, 'bytes'> & Named,
  options: TextOptions,
): string {
  const look = lookOf(options)
  const outputs = proof.outputs.length
  const findings = proof.findings.filter(({ side, severity }) => severity !== 'note' && side !== 'readback')
  const answer = `written, a map for a ${part}${mode ? `, ${mode} mode` : ''}`
  return [
    answerLines({ subject: names.to, answer, causes: [`proved to do what ${names.from} does`] }, look),
    row('what to do', 'Verify the burned chip against this file; the security field is G0.', look),
    '',
    row('proof', `${counted(outputs, 'output')}, over all inputs and all states of the registers`, look),
    ...notCarried.map(({ what, message }) => row('left out', `${LEFT_OUT[what]}: ${message}`, look)),
    ...remarkRows(findings, { said: [], most: MOST_SHOWN }, look),
    '',
    ...scopeRows(
      { seen: ['the logic'], unseen: ['timing', 'drive', 'pull-ups', 'the chip'] },
      {
        compared: ['the logic of both maps'],
        notExamined: ['timing', 'drive', 'pull-ups', 'whether a chip is what its label says'],
      },
      look,
    ),
    '',
  ].join('\n')
}

const LEFT_OUT = {
  vectors: 'the test vectors',
  'pin-order': 'the order of the pins',
  signature: 'the signature',
} as const

const WHAT_TO_DO: Readonly<Record<NotRetargeted['reason'], string>> = {
  'file-fails': 'Check this file by itself, and settle what is wrong first.',
  'part-not-certain': 'State the part of the file.',
  blank: 'Get the file again, or read a chip that is not protected.',
  'does-not-fit': 'Choose a part that has what is missing.',
  'not-proved': 'Choose another part; the proof says what differs.',
}

function renderRefused(refused: Omit<NotRetargeted, 'bytes'> & Named, options: TextOptions): string {
  const { part, misfits, names, reason } = refused
  const look: Look = lookOf(options)
  const [first, ...others] = misfits.map(({ message }) => message)
  return [
    answerLines({ subject: names.from, answer: `not moved to a ${part}`, causes: [first ?? ''] }, look),
    row('what to do', WHAT_TO_DO[reason], look),
    ...bounded(
      others.map((message, i) => row(i === 0 ? 'besides' : '', message, look)),
      look.all ? Infinity : MOST_SHOWN.misfits,
      ['reason', 'reasons'],
      look,
    ),
    '',
  ].join('\n')
}
