/**
 * Levels over time as a picture: a line of bars a pin. High is a full bar, low the line it stands on, unknown a dashed
 * frame, off a dotted line at half the height.
 */
import type { SequenceMoment, SequenceRun } from '../../jobs/steps/sequence-run'
import { round, text } from './drawing'
import { element, type Content } from './element'
import { legend, shapePath } from './marks'

/** Most steps that are drawn: the picture of more is wider than anybody scrolls. */
export const MAX_DRAWN = 200

/** Pixels of the labels, a step, a bar, the room to the next one, and the numbers of the steps above. */
const SIZE = { left: 110, step: 24, bar: 12, gap: 8, top: 18 } as const

/** Place of a moment in its step, as wave files have it. */
const PARTS: Readonly<Record<SequenceMoment['moment'], number>> = { set: 0, load: 0.25, pulse: 0.5, return: 0.75 }

/** Characters of a label that fit. */
const MAX_LABEL = 17

/** One level for a while, in steps. */
interface Stretch {
  readonly level: string
  readonly from: number
  readonly to: number
}

/** The picture of a run, with what it shows in words. */
export function levelPicture(run: SequenceRun, id: string): Content {
  const steps = run.steps.slice(0, MAX_DRAWN)
  const labels = [
    ...run.pins.map(({ pin, name }) => (name === null ? `pin ${pin}` : `${name} (${pin})`)),
    ...run.registers.map((place) => `q${place}`),
  ]
  const [width, height] = [SIZE.left + steps.length * SIZE.step + 4, yOf(labels.length)]
  const title = `Levels of ${run.pins.length} pins and ${run.registers.length} registers over ${steps.length} steps`
  const picture = element(
    'svg',
    { role: 'img', width, height, viewBox: `0 0 ${width} ${height}`, 'aria-labelledby': `${id}-t ${id}-d` },
    element('title', { id: `${id}-t` }, title),
    element('desc', { id: `${id}-d` }, 'The table of levels below it says the same.'),
    element('path', { class: 'thin', d: steps.map((_, i) => `M${xOf(i)} ${SIZE.top - 4}V${height}`).join('') }),
    steps.flatMap(({ number }, i) => (i % 5 ? [] : text(xOf(i) + 2, SIZE.top - 8, String(number), 'start', 'soft'))),
    labels.map((label, line) => text(0, yOf(line) + SIZE.bar - 2, label.slice(0, MAX_LABEL), 'start')),
    paths(labels.map((_, line) => stretches(steps, line))),
    marks(run),
  )
  return element('figure', { role: 'group', 'aria-label': title, tabindex: 0 }, picture, levelLegend())
}

const xOf = (step: number): number => SIZE.left + step * SIZE.step
const yOf = (line: number): number => SIZE.top + line * (SIZE.bar + SIZE.gap)

function stretches(steps: SequenceRun['steps'], line: number): Stretch[] {
  const made: Stretch[] = []
  const moments = steps.flatMap((step, i) =>
    [...step.onTheWay, step].map((moment) => ({
      at: i + PARTS[moment.moment],
      level: (moment.levels + moment.states)[line]!,
    })),
  )
  moments.forEach(({ at, level }, i) => {
    const to = moments[i + 1]?.at ?? steps.length
    const last = made.at(-1)
    if (last?.level === level) made[made.length - 1] = { ...last, to }
    else made.push({ level, from: at, to })
  })
  return made
}

const KINDS: Readonly<Record<string, string>> = { 0: 'wire', 1: 'on', X: 'unknown', Z: 'dots' }

function paths(lines: readonly (readonly Stretch[])[]): Content {
  return Object.entries(KINDS).map(([level, kind]) => {
    const d = lines.flatMap((line, i) =>
      line
        .filter((stretch) => stretch.level === level)
        .map(({ from, to }) => shapeOf(level, [xOf(from), xOf(to)], yOf(i))),
    )
    return d.length === 0 ? null : element('path', { class: kind, d: d.join('') })
  })
}

function shapeOf(level: string, [from, to]: readonly [number, number], y: number): string {
  if (level === '0') return `M${round(from)} ${y + SIZE.bar}H${round(to)}`
  if (level === 'Z') return `M${round(from)} ${y + SIZE.bar / 2}H${round(to)}`
  return `M${round(from)} ${y}h${round(to - from)}v${SIZE.bar}h${round(from - to)}z`
}

/** Expectations that do not hold, at the end of their step. */
function marks({ steps, pins }: SequenceRun): Content {
  const d = steps.slice(0, MAX_DRAWN).flatMap(({ checks }, i) =>
    checks
      .filter(({ result }) => result === 'contradicted')
      .map(({ pin }) => {
        const line = pins.findIndex((watched) => watched.pin === pin)
        return line < 0 ? '' : shapePath('diamond', [xOf(i + 1) - 5, yOf(line) + SIZE.bar / 2], 6)
      }),
  )
  return d.join('') === '' ? null : element('path', { class: 'differs', d: d.join('') })
}

function levelLegend(): Content {
  return legend([
    { kind: 'on', path: 'M1 3h14v10h-14z', words: '1' },
    { kind: 'wire', path: 'M1 12H15', words: '0' },
    { kind: 'unknown', path: 'M1 3h14v10h-14z', words: 'X, unknown' },
    { kind: 'dots', path: 'M1 8H15', words: 'Z, nothing drives' },
    { kind: 'differs', path: shapePath('diamond', [8, 8], 5), words: 'another level was expected' },
  ])
}
