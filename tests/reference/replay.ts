/**
 * Counterexamples as a comparison gives them, tried on the reference model: from the levels given and nothing else. A
 * pin or a register that an example leaves out must not matter, so it is tried at 0 and at 1.
 */
import type { Behaviour, Row } from './behaviour'
import type { Machine } from './machine'
import { pairOf, type Pair } from './relation'

export type LevelsByPin = Readonly<Record<string, 0 | 1>>

/** The part of a comparison's answer that can be tried. */
export interface Example {
  readonly pin: number
  readonly inputs: LevelsByPin
  readonly state: LevelsByPin
  readonly intended: string
  readonly readback: string
  readonly sequence: readonly LevelsByPin[] | null
}

/** States of both sides at a moment; null where it has no defined end. */
type Moment = { readonly x: number; readonly a: number; readonly b: number } | null

interface Trial {
  readonly pair: Pair
  readonly clockPin: number | null
  readonly example: Example
  /** Level of what the example leaves out. */
  readonly rest: 0 | 1
}

function bitsOf(pins: readonly number[], levels: LevelsByPin, rest: 0 | 1): number {
  return pins.reduce((bits, pin, i) => bits | ((levels[pin] ?? rest) << i), 0)
}

function moved({ pair }: Trial, from: Moment, x: number): Moment {
  const [a, b] = [from && pair.a.step(from.a, from.x, x), from && pair.b.step(from.b, from.x, x)]
  return a && b && { x, a: a.q, b: b.q }
}

/** The level at a pin; of a register that does not drive, where a level is stated, the one that it would show. */
function levelAt({ pair, example }: Trial, row: Row | null, stated: string): string | undefined {
  const place = pair.frame.shown.indexOf(example.pin)
  return row?.shown[place] === 'Z' && stated !== 'Z' ? row.inside[place] : row?.shown[place]
}

function shows(trial: Trial, moment: Moment): boolean {
  const { pair, example } = trial
  return (
    moment !== null &&
    levelAt(trial, pair.a.row(moment.a, moment.x), example.intended) === example.intended &&
    levelAt(trial, pair.b.row(moment.b, moment.x), example.readback) === example.readback
  )
}

/** The levels with the clock pin at 0 or 1; as they are where there is no such pin. */
function withClock({ pair: { frame }, clockPin }: Trial, x: number, level: 0 | 1): number {
  const bit = clockPin === null ? -1 : frame.free.indexOf(clockPin)
  return bit < 0 ? x : (x & ~(1 << bit)) | (level << bit)
}

/** Where the example begins: its state, or power-up; then resets and presets act. Bits of `readback` differ there. */
function begun(trial: Trial, x: number, readback: number): Moment {
  const { registers } = trial.pair.frame
  const { state, sequence } = trial.example
  const given = sequence === null || Object.keys(state).length > 0
  const q = given ? bitsOf(registers, state, trial.rest) : 0
  const own = { a: q & trial.pair.a.own, b: (given ? q ^ readback : 0) & trial.pair.b.own }
  return moved(trial, { x, ...own }, x)
}

/** Steps with a clock at 0 that rises after each; the last as it stands. Without a clock pin levels alone. */
function sequenceShows(trial: Trial, sequence: readonly LevelsByPin[], readback: number): boolean {
  const rows = sequence.map((levels) => bitsOf(trial.pair.frame.free, levels, trial.rest))
  let moment = begun(trial, rows[0]!, readback)
  for (const x of rows.slice(1)) moment = moved(trial, moment, x)
  return shows(trial, moment)
}

/** The registers after those whose clock term is 1 took their data: what an edge at these levels leaves. */
function taken(side: Behaviour, q: number, x: number): number | null {
  const row = side.row(q, x)
  return row && (q & ~row.clock) | (row.data & row.clock)
}

/** Both sides after the edges that their clock terms make at these levels, whatever change brought them about. */
function clockedByTerms({ pair }: Trial, at: Moment): Moment {
  const [a, b] = [at && taken(pair.a, at.a, at.x), at && taken(pair.b, at.b, at.x)]
  return at === null || a === null || b === null ? null : { x: at.x, a, b }
}

/** At rest under the inputs, or after a clock: a rise of the clock pin, or of the terms that clock. */
function stateShows(trial: Trial, readback: number): boolean {
  const { pair, clockPin, example } = trial
  const x = bitsOf(pair.frame.free, example.inputs, trial.rest)
  if (shows(trial, begun(trial, x, readback))) return true
  if (clockPin !== null)
    return shows(trial, moved(trial, begun(trial, withClock(trial, x, 0), readback), withClock(trial, x, 1)))
  return shows(trial, clockedByTerms(trial, begun(trial, x, readback))) || onePinShows(trial, x, readback)
}

/** One pin changes, to the levels given or from them. */
function onePinShows(trial: Trial, x: number, readback: number): boolean {
  return trial.pair.frame.free.some((_, i) => {
    const other = x ^ (1 << i)
    const into = moved(trial, begun(trial, other, readback), x)
    return shows(trial, into) || shows(trial, moved(trial, begun(trial, x, readback), other))
  })
}

function replaysPaired(pair: Pair, clockPin: number | null, given: readonly [Example, number]): boolean {
  const [example, readback] = given
  return ([0, 1] as const).every((rest) => {
    const trial = { pair, clockPin, example, rest }
    return example.sequence ? sequenceShows(trial, example.sequence, readback) : stateShows(trial, readback)
  })
}

/**
 * Whether an example ends in the two levels that it states. The state is Q of the intended part; of the other it is
 * the same Q, or what shows the same level at the pin.
 */
export function replays(a: Machine, b: Machine, example: Example): boolean {
  const pair = pairOf(a, b)
  const sense = ({ cells }: Machine, pin: number): boolean | undefined =>
    cells.find((cell) => cell.pin === pin)?.invertPin
  const opposite = pair.frame.registers.reduce(
    (bits, pin, i) => (sense(a, pin) === sense(b, pin) ? bits : bits | (1 << i)),
    0,
  )
  return [0, opposite].some((readback) => replaysPaired(pair, a.clockPin, [example, readback]))
}

/** The same where any registers of the other part may hold the complement. */
export function replaysTurned(a: Machine, b: Machine, example: Example): boolean {
  const pair = pairOf(a, b)
  const ways = Array.from({ length: 1 << pair.frame.registers.length }, (_, readback) => readback)
  return ways.some((readback) => replaysPaired(pair, a.clockPin, [example, readback]))
}
