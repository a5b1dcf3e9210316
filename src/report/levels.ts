/**
 * A run of steps as text for a person: how the expectations came out, those that do not hold, a table of levels, and
 * what is unknown in it.
 */
import { optionsOf, stringOf } from '../arguments/arguments'
import { describeCauses } from '../jobs/vectors/vector-words'
import { checkedRun, type SequenceRun } from '../jobs/steps/sequence-run'
import { answerLines, inSigns, moreWords } from './answer'
import { wrapText } from './layout'
import { outcomeWords, pinWords, reasonsOf } from './run-words'
import { checkLook, lookOf, oneLine, type Look, type TextOptions } from './screen'

/** Most lines of a list, and of the table, in short; of a list in the long form, where a machine gets all. */
const MOST_SHOWN = { list: 2, table: 8, all: 12 } as const

/** How a run is laid out, and what it is a run of. */
export interface SequenceTextOptions extends TextOptions {
  /** What the steps were run on, for the first sentence (default: the part). */
  readonly name?: string
}

/**
 * The levels after each step, one row a step and one column a watched pin; above, which expectations do not hold, and
 * below, why levels are unknown and which applied levels were overridden.
 *
 * @param run what `runSteps` gave
 * @param options width, all, ascii, more, and a name for the first sentence
 * @returns what became of the expectations, and a table, a line a step, with reasons behind it
 * @throws TypeError or RangeError that names the argument
 * @example renderSequence(run).split(',')[0] // 'the 16V8: 1 step run'
 */
export function renderSequence(run: SequenceRun, options: SequenceTextOptions = {}): string {
  checkedRun(run, 'run')
  const { name, ...look } = optionsOf<SequenceTextOptions>(options, SEQUENCE_OPTIONS)
  if (name !== undefined) stringOf(name, 'options.name')
  checkLook(look)
  return inSigns({ run, name: name ?? `the ${run.part}` }, look, renderSigned)
}

const SEQUENCE_OPTIONS = { width: true, all: true, ascii: true, more: true, name: true } as const

interface NamedRun {
  readonly run: SequenceRun
  readonly name: string
}

function renderSigned({ run, name }: NamedRun, options: TextOptions): string {
  const look = lookOf(options)
  const start = run.start === 'unknown' ? 'unknown' : 'as after power-up'
  return [
    answerLines({ subject: name, answer: outcomeWords(run), causes: [] }, look),
    ...expectationLines(run, look),
    '',
    wrapText(`Levels after each step; 0, 1, X unknown, Z nothing drives. Registers start ${start}.`, 2, look.width),
    ...tableLines(run, look),
    ...unknownLines(run, look),
    ...overriddenLines(run, look),
    '',
  ].join('\n')
}

function tableLines({ pins, steps }: SequenceRun, look: Look): string[] {
  const shown = look.all ? steps : steps.slice(0, MOST_SHOWN.table)
  const left = steps.length - shown.length
  const stepWidth = Math.max(4, String(steps.length).length)
  const line = (head: string, cells: readonly string[], note = ''): string => {
    const columns = cells.map((cell, i) => ` ${cell.padStart(widths[i]!)}`).join('')
    return `  ${head.padStart(stepWidth)} ${columns}   ${note}`.trimEnd()
  }
  const namedWidths = pins.map(({ name }) => Math.max(2, name?.length ?? 0))
  // In a table that would be wider the columns have numbers only, and the names stand above it.
  const fits = namedWidths.reduce((sum, width) => sum + width + 1, stepWidth + 3) <= look.width
  const widths = fits ? namedWidths : pins.map(() => 2)
  const isNamed = pins.some(({ name }) => name !== null)
  return [
    ...(fits || !isNamed
      ? []
      : [wrapText(`Pins: ${namedPins(pins)}`, 2, look.width)]),
    '',
    ...(fits && isNamed
      ? [
          line(
            '',
            pins.map(({ name }) => name ?? ''),
          ),
        ]
      : []),
    line(
      'pin',
      pins.map(({ pin }) => String(pin)),
    ),
    ...shown.map(({ number, levels, note }) => line(String(number), [...levels], note?.replace(/\s+/g, ' ').trim())),
    ...(left > 0 ? [`  ${moreWords(left, ['step', 'steps'], look)}`] : []),
  ]
}

function namedPins(pins: SequenceRun['pins']): string {
  return pins.flatMap(({ pin, name }) => (name === null ? [] : [`${pin} ${name}`])).join(', ')
}

function unknownLines(run: SequenceRun, look: Look): string[] {
  const lines = reasonsOf(run).map(({ pin, causes, first, count }) => {
    const line = `step ${first}${count > 1 ? ` and ${count - 1} more` : ''}, ${pin}: ${causes}`
    return look.all ? line : oneLine(line, look.width - 2)
  })
  return listLines('Unknown', lines, look)
}

function overriddenLines(run: SequenceRun, look: Look): string[] {
  const lines = run.steps.flatMap(({ number, overridden }) =>
    overridden.map((pin) => `step ${number}, ${pinWords(run, pin)}`),
  )
  const title = 'Overridden by an enabled output, which on a board would be two drivers against each other'
  return listLines(title, lines, look)
}

function expectationLines(run: SequenceRun, look: Look): string[] {
  const linesOf = (wanted: 'contradicted' | 'open'): string[] =>
    run.steps.flatMap(({ number, checks }) =>
      checks
        .filter(({ result }) => result === wanted)
        .map(({ pin, expected, found, causes }) => {
          const why = causes.length > 0 ? `; depends on ${describeCauses(causes)}` : ''
          return `step ${number}, ${pinWords(run, pin)}: expected ${expected}, found ${found}${why}`
        }),
    )
  return [...listLines('Contradicted', linesOf('contradicted'), look), ...listLines('Open', linesOf('open'), look)]
}

function listLines(title: string, lines: readonly string[], look: Look): string[] {
  if (lines.length === 0) return []
  const most = look.all ? MOST_SHOWN.all : MOST_SHOWN.list
  const left = lines.length - most
  const rest = look.all ? `and ${left} more; the JSON document lists them` : moreWords(left, ['line', 'lines'], look)
  return [
    '',
    wrapText(title, 2, look.width),
    ...lines.slice(0, most).map((line) => `  ${wrapText(line, 4, look.width)}`),
    ...(left > 0 ? [`  ${rest}`] : []),
  ]
}
