/** What vectors prove, as text for a person. */
import { isRefused } from '../findings/refused'
import { madeBy } from '../arguments/arguments'
import type { Exercise } from '../jobs/exercise/exercise'
import type { FaultCounts, Grade, MissedFault } from '../jobs/grade/grade'
import type { NotGraded } from '../jobs/grade/grade-task'
import { answerLines, findingCause, counted, gravestOf, inSigns, remarkRows, scopeRows, todoRows } from './answer'
import { rangeWords } from './layout'
import { checkLook, lookOf, row, type Look, type TextOptions } from './screen'

/** Rows of missed faults on a screen. */
const MAX_MISSED_ROWS = 8

const GRADE = { keys: ['part', 'faults', 'missed', 'idleVectors'], maker: 'what grade returned' }
const NOT_GRADED = { keys: ['refused', 'reason', 'findings'], maker: 'what grade returned' }

/** Why a map is not graded, in words. */
export const NOT_GRADED_REASONS: Readonly<Record<NotGraded['reason'], string>> = {
  'no-logic': 'its logic is not known',
  incomplete: 'some fuses have no stated state',
  'vectors-do-not-fit': 'its vectors are for another number of pins',
  'not-trusted': 'its fuses cannot be trusted',
}

/**
 * A grade, or why there is none.
 *
 * @param result what `grade` gave
 * @param options width, how much is shown, and the signs of logic
 * @returns the counts first, then what is missed and idle
 * @throws TypeError for what is no grade
 * @example renderGrade(grade(bytes)).includes('fuse faults') // true
 */
export function renderGrade(result: Grade | NotGraded, options: TextOptions = {}): string {
  checkLook(options)
  return inSigns(result, options, (each, look) => gradeText(each, lookOf(look), []))
}

/**
 * What vectors that were made show, or why there are none.
 *
 * @param result what `exercise` gave
 * @param options width, everything or a screenful
 * @returns lines for a terminal
 * @throws TypeError for what `exercise` did not return
 * @example renderExercise(exercise(palBytes, { device: '14L4' })).includes('16 vectors show 162 of 162') // true
 */
export function renderExercise(result: Exercise | NotGraded, options: TextOptions = {}): string {
  checkLook(options)
  return inSigns(result, options, (each, signs) => {
    const look = lookOf(signs)
    const bound = typeof each === 'object' && each !== null && 'lowerBound' in each ? each.lowerBound : null
    const words = bound === null ? null : `no set of fewer than ${counted(bound, 'vector')} does it, proved`
    const use = row('use', `${USE} of ${(!isRefused(each) && each?.file) || 'this map'}`, look)
    return gradeText(each, look, [...(words === null ? [] : [row('fewest', words, look)]), use])
  })
}

/** How a file of vectors is meant, for who has a chip that must not be written. */
export const USE = 'run the vectors on a chip in the programmer, out of the board; burning this file writes the fuses'

/** What no grade looks at. */
const NOT_EXAMINED = ['the chip itself', 'timing, levels and supply', 'faults of several fuses at once']

/** Most findings below the facts. */
const MOST_TOLD = { grave: 3, notes: 2 } as const

function gradeText(result: Grade | NotGraded, look: Look, more: readonly string[]): string {
  if (isRefused(result))
    return notGraded(madeBy(result, 'result', NOT_GRADED), look)
  const grade = madeBy(result, 'result', GRADE)
  const { findings, file, faults, vectors } = grade
  const lead = gravestOf(findings, [])
  const answer = coverageWords(faults, vectors)
  return [
    answerLines({ subject: file ?? 'this map', answer, causes: [findingCause(lead)] }, look),
    ...todoRows(lead, look),
    '',
    ...gradeRows(grade, look),
    ...more,
    ...remarkRows(findings, { said: lead ? [lead] : [], most: MOST_TOLD }, look),
    '',
    ...scopeRows(
      { seen: [counted(faults.total, 'single-fuse fault')], unseen: ['the chip', 'timing', 'several fuses at once'] },
      { compared: [`${counted(faults.total, 'single-fuse fault')} under the vectors`], notExamined: NOT_EXAMINED },
      look,
    ),
    '',
  ].join('\n')
}

/** How much of what can be shown a number of vectors shows. */
export function coverageWords({ shown, missed, undecided }: FaultCounts, vectors: number): string {
  const showable = shown + missed + undecided
  const share = showable === 0 ? '' : ` (${percent(shown, showable)})`
  const open = undecided > 0 ? `, ${undecided} undecided` : ''
  const show = vectors === 1 ? 'shows' : 'show'
  return `${counted(vectors, 'vector')} ${show} ${shown} of ${showable} fuse faults${share}; ${missed} missed${open}`
}

/** A share, never rounded up to the whole. */
function percent(part: number, whole: number): string {
  return part === whole ? '100 %' : `${(Math.floor((1000 * part) / whole) / 10).toFixed(1)} %`
}

/** The rows of a grade: part, counts, what is missed and idle. */
export function gradeRows(grade: Grade, look: Look): string[] {
  const { part, mode, start, faults, idleVectors, vectors, unjudgedOutputs } = grade
  // A vector that was made shows nothing only where it leads to a state.
  const idleWords = 'lowerBound' in grade ? 'show nothing new, and lead registers to a state' : 'show nothing new'
  return [
    row('part', `${part}${mode ? `, ${mode} mode` : ''}; registers ${START[start]} at the start`, look),
    ...(['array', 'polarity', 'configuration'] as const)
      .filter((kind) => faults.byClass[kind].total > 0)
      .map((kind) => row(kind, countWords(faults.byClass[kind]), look)),
    ...missedRows(grade.missed, faults.missed, look),
    ...(idleVectors.length === 0
      ? []
      : [row('idle', `${idleVectors.length} of ${vectors} ${idleWords}: ${rangeWords(idleVectors)}`, look)]),
    ...(unjudgedOutputs.length === 0
      ? []
      : [row('never judged', `${unjudgedOutputs.length === 1 ? 'pin' : 'pins'} ${rangeWords(unjudgedOutputs)}`, look)]),
  ]
}

const START = { unknown: 'unknown', 'power-up': 'as after power-up' } as const

function countWords({ total, shown, cannotBeShown, missed, undecided }: FaultCounts): string {
  const words = [`${shown} shown`, `${cannotBeShown} do nothing`, `${missed} missed`]
  return `${counted(total, 'fuse')}: ${[...words, ...(undecided > 0 ? [`${undecided} undecided`] : [])].join(', ')}`
}

/** Missed faults by output and row, with the range of their fuses. */
function missedRows(missed: readonly MissedFault[], count: number, look: Look): string[] {
  const groups = new Map<string, MissedFault[]>()
  for (const fault of missed) {
    const place = fault.pin === null ? 'whole part' : `pin ${fault.pin}`
    const key = fault.class === 'array' ? place : `${fault.class}, ${place}`
    groups.set(key, [...(groups.get(key) ?? []), fault])
  }
  const shown = look.all ? [...groups] : [...groups].slice(0, MAX_MISSED_ROWS)
  const left = count - shown.reduce((sum, [, faults]) => sum + faults.length, 0)
  return [
    ...shown.map(([place, faults], i) => row(i === 0 ? 'missed' : '', `${place}: ${placeWords(faults)}`, look)),
    ...(left > 0 ? [row('', `and ${counted(left, 'other')}${look.more ? `; ${look.more}` : ''}`, look)] : []),
  ]
}

function placeWords(faults: readonly MissedFault[]): string {
  const fuses = faults.map(({ fuse }) => fuse)
  const rows = [...new Set(faults.flatMap((fault) => fault.row ?? []))].sort((a, b) => a - b)
  const span = `${Math.min(...fuses)}${fuses.length === 1 ? '' : ` to ${Math.max(...fuses)}`}`
  const where = rows.length === 0 ? '' : `${rows.length === 1 ? 'row' : 'rows'} ${rangeWords(rows)}, `
  return `${counted(fuses.length, 'fuse')}, ${where}${fuses.length === 1 ? 'fuse' : 'within'} ${span}`
}

function notGraded({ file, reason, findings }: NotGraded, look: Look): string {
  const answer = reason === 'not-trusted' ? 'no vectors' : 'not graded'
  return refusalLines({ subject: file ?? 'this map', answer, why: NOT_GRADED_REASONS[reason], findings }, look)
}

/** Why something is not made of a map, and what to do. */
export function refusalLines(
  refused: { readonly subject: string; readonly answer: string; readonly why: string; readonly findings: Findings },
  look: Look,
): string {
  const grave = refused.findings.filter(({ severity }) => severity !== 'note')
  const lead = gravestOf(grave, ['file/cut-short', 'checksum/fuse-mismatch'])
  return [
    answerLines({ ...refused, causes: [refused.why, findingCause(lead)] }, look),
    ...todoRows(lead, look),
    ...remarkRows(grave, { said: lead ? [lead] : [], most: MOST_TOLD }, look),
    '',
  ].join('\n')
}

type Findings = Grade['findings']
