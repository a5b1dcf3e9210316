/**
 * A run of steps as text for a person: a table of levels, and below it what is unknown and what was expected
 * otherwise.
 */
import { describeCauses } from '../jobs/vectors/check-vectors'
import { checkedRun, type SequenceRun } from '../jobs/steps/run-steps'
import { WIDTH } from './layout'

/** Most lines of a list below the table; a machine gets all. */
const MOST_SHOWN = 12

/**
 * The levels after each step, one row a step and one column a watched pin; below, why levels are unknown, which applied
 * levels were overridden, and which expectations do not hold.
 *
 * @param run what `runSteps` gave
 * @returns a table, a line a step, with reasons and expectations behind it
 * @throws TypeError for anything but what runSteps returned
 * @example renderSequence(run).startsWith('Levels after each step') // true
 */
export function renderSequence(run: SequenceRun): string {
  checkedRun(run, 'run')
  return [
    `Levels after each step; 0, 1, X unknown, Z nothing drives. Registers start ${run.start === 'unknown' ? 'unknown' : 'as after power-up'}.`,
    ...tableLines(run),
    ...unknownLines(run),
    ...overriddenLines(run),
    ...expectationLines(run),
    '',
  ].join('\n')
}

function tableLines({ pins, steps }: SequenceRun): string[] {
  const stepWidth = Math.max(4, String(steps.length).length)
  const line = (head: string, cells: readonly string[], note = ''): string => {
    const columns = cells.map((cell, i) => ` ${cell.padStart(widths[i]!)}`).join('')
    return `  ${head.padStart(stepWidth)} ${columns}   ${note}`.trimEnd()
  }
  const namedWidths = pins.map(({ name }) => Math.max(2, name?.length ?? 0))
  // In a table that would be wider the columns have numbers only, and the names stand above it.
  const fits = namedWidths.reduce((sum, width) => sum + width + 1, stepWidth + 3) <= WIDTH
  const widths = fits ? namedWidths : pins.map(() => 2)
  const isNamed = pins.some(({ name }) => name !== null)
  return [
    ...(fits || !isNamed
      ? []
      : [`Pins: ${pins.flatMap(({ pin, name }) => (name === null ? [] : [`${pin} ${name}`])).join(', ')}`]),
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
    ...steps.map(({ number, levels, note }) => line(String(number), [...levels], note?.replace(/\s+/g, ' ').trim())),
  ]
}

function pinWords({ pins }: SequenceRun, pin: number): string {
  const name = pins.find((watched) => watched.pin === pin)?.name
  return name ? `pin ${pin} (${name})` : `pin ${pin}`
}

/** Each reason once, with the first step at which a pin is unknown for it. */
function unknownLines(run: SequenceRun): string[] {
  const reasons = new Map<string, { readonly first: number; count: number }>()
  for (const { number, unknown } of run.steps)
    for (const { pin, reason: place } of unknown) {
      const causes = run.reasons[place]!
      // An unknown level that the user applied says so itself.
      if (causes.every((cause) => cause.kind === 'input' && cause.pin === pin)) continue
      const reason = `${pinWords(run, pin)}: ${describeCauses(causes)}`
      const known = reasons.get(reason)
      if (known) known.count++
      else reasons.set(reason, { first: number, count: 1 })
    }
  return listLines(
    'Unknown',
    [...reasons].map(
      ([reason, { first, count }]) => `step ${first}${count > 1 ? ` and ${count - 1} more` : ''}, ${reason}`,
    ),
  )
}

function overriddenLines(run: SequenceRun): string[] {
  const lines = run.steps.flatMap(({ number, overridden }) =>
    overridden.map((pin) => `step ${number}, ${pinWords(run, pin)}`),
  )
  return listLines('Overridden by an enabled output, which on a board would be two drivers against each other', lines)
}

function expectationLines(run: SequenceRun): string[] {
  const { held, contradicted, open } = run.expectations
  if (held + contradicted + open === 0) return []
  const linesOf = (wanted: 'contradicted' | 'open'): string[] =>
    run.steps.flatMap(({ number, checks }) =>
      checks
        .filter(({ result }) => result === wanted)
        .map(
          ({ pin, expected, found, causes }) =>
            `step ${number}, ${pinWords(run, pin)}: expected ${expected}, found ${found}${causes.length > 0 ? `; depends on ${describeCauses(causes)}` : ''}`,
        ),
    )
  return [
    '',
    `Expectations: ${held} held, ${contradicted} contradicted, ${open} open`,
    ...listLines('Contradicted', linesOf('contradicted')),
    ...listLines('Open', linesOf('open')),
  ]
}

function listLines(title: string, lines: readonly string[]): string[] {
  const more = lines.length - MOST_SHOWN
  return lines.length === 0
    ? []
    : [
        '',
        title,
        ...lines.slice(0, MOST_SHOWN).map((line) => `  ${line}`),
        ...(more > 0 ? [`  and ${more} more; the JSON document lists them`] : []),
      ]
}
