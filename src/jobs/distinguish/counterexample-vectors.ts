/** The counterexamples of a comparison as vectors: a chip with the intended map passes, one with the other fails. */
import { oneOf, optionsOf, wholeNumber, type OptionNames } from '../../arguments/arguments'
import { runPieces, runWithPauses, type PauseOptions, type Pieces } from '../../arguments/pieces'
import { checkWatch, watchOf } from '../../arguments/watch'
import { refusedFor, type Refused } from '../../findings/refused'
import type { SavedBytes } from '../../fuses/saved-bytes'
import { INSPECT_OPTIONS, type InspectInput } from '../../inspect/inspect'
import { readFuseFile } from '../../jesd3/read-fuse-file'
import { compareMaps } from '../compare/compare-maps'
import { newFile, setOf } from '../exercise/exercise'
import { madeVector, testerPins, type TesterPins, type Wanted } from '../exercise/made-vector'
import { gradeTask, type GradeTask } from '../grade/grade-task'
import { livePart, type Conditions, type LivePart } from '../grade/live-part'
import { isExpected } from '../vectors/conditions'
import { outcomeOf, runVectors, STRICT, type VectorResult } from '../vectors/run-vectors'
import { distinguished, type DistinguishOptions, type NotDistinguished } from './distinguish'

/** How to look for vectors; without `start`, from unknown registers, and from power-up where that shows nothing. */
export type CounterexampleOptions = Omit<DistinguishOptions, 'names'>

/** Vectors that show the difference of two maps. */
export interface CounterexampleVectors {
  /** How many vectors were made. */
  readonly count: number
  /** Registers before the first vector; of a map that is given none of them, unknown. */
  readonly start: 'unknown' | 'power-up'
  /** Pins at which the second map fails for certain, each with the first vector, from 1, in which it does. */
  readonly shown: readonly { readonly pin: number; readonly vector: number }[]
  /** Pins that differ, and at which no vector shows it. */
  readonly notShown: readonly number[]
  /** The intended file with these vectors, read back before it is given. */
  readonly bytes: SavedBytes
}

/** Why there are no vectors: the maps do the same, no vector was found, or a map is not graded. */
export type NoCounterexamples = Refused<NotDistinguished['reason'] | 'equal' | 'not-found'>

type Start = CounterexampleVectors['start']

const OPTIONS: OptionNames<CounterexampleOptions> = {
  ...INSPECT_OPTIONS,
  start: true,
  maxVectors: true,
  maxSteps: true,
  onProgress: true,
  signal: true,
}

/**
 * Makes the differences between two maps of one part into test vectors: one for each output that differs in its
 * inputs alone, and a sequence where registers are in the way. A chip with the intended map passes, one with the
 * other fails.
 *
 * @param intended the file that was meant: bytes, text, a map, or what `inspect` gave
 * @param readback the other file
 * @param options the part, what registers hold at the start, a bound
 * @returns the vectors in a file with the intended fuses, or why there are none; content never throws
 * @throws TypeError for another kind of input, RangeError for an unknown part or a bound out of range
 * @example const made = counterexampleVectors(palBytes, chipBytes, { device: '14L4' }); 'bytes' in made // true
 */
export function counterexampleVectors(
  intended: InspectInput,
  readback: InspectInput,
  options: CounterexampleOptions = {},
): CounterexampleVectors | NoCounterexamples {
  return runPieces(counterexamples(intended, readback, options))
}

/**
 * As `counterexampleVectors`, in pieces with a pause after each, so that a page stays alive meanwhile. A piece compares
 * an output or makes a vector: milliseconds, for large diagrams more.
 *
 * @param intended as for `counterexampleVectors`
 * @param readback the other file
 * @param options those of `counterexampleVectors` and `pause`; an aborted `signal` ends the work after a piece
 * @returns a promise of what `counterexampleVectors` gives
 * @throws nothing at once: what `counterexampleVectors` throws, and the reason of the signal, reject the promise
 * @example counterexampleVectorsInPieces(palBytes, chipBytes, { pause: async () => {} }) instanceof Promise // true
 */
export async function counterexampleVectorsInPieces(
  intended: InspectInput,
  readback: InspectInput,
  options: CounterexampleOptions & PauseOptions,
): Promise<CounterexampleVectors | NoCounterexamples> {
  return runWithPauses(options, OPTIONS, (others: CounterexampleOptions) => counterexamples(intended, readback, others))
}

function* counterexamples(
  intended: InspectInput,
  readback: InspectInput,
  options: CounterexampleOptions,
): Pieces<CounterexampleVectors | NoCounterexamples> {
  optionsOf(options, OPTIONS)
  if (options.start !== undefined) oneOf(options.start, 'options.start', ['unknown', 'power-up'])
  if (options.maxVectors !== undefined) wholeNumber(options.maxVectors, 'options.maxVectors', [1, 65_536])
  if (options.maxSteps !== undefined) wholeNumber(options.maxSteps, 'options.maxSteps', [1])
  checkWatch(options, 'options')
  const { start, maxVectors: _, maxSteps: __, onProgress: ___, signal: ____, ...reading } = options
  const first = gradeTask(intended, reading, { path: 'intended', copied: true })
  if ('refused' in first) return refusedFor(first.reason)
  const second = gradeTask(readback, reading, { path: 'readback' })
  if ('refused' in second) return refusedFor(second.reason)
  if (first.decoded.device.part !== second.decoded.device.part) return refusedFor('parts-differ')
  const { relation, outputs } = yield* compareMaps(first, second, watchOf(options))
  if (relation === 'identical' || relation === 'equivalent') return refusedFor('equal')
  const different = outputs.filter((output) => output.relation === 'different')
  const single = different.flatMap(({ counterexample }) =>
    counterexample && !counterexample.sequence ? [counterexample.inputs] : [],
  )
  const pins = different.flatMap(({ pin }) => (pin === 0 ? [] : [pin]))
  for (const from of start ? [start] : (['unknown', 'power-up'] as const)) {
    const found = yield* vectorsFrom([first, second], { ...options, start: from, single, pins })
    if (found) return found
  }
  return refusedFor('not-found')
}

interface Given extends CounterexampleOptions {
  readonly start: Start
  /** Levels of pins under which an output differs. */
  readonly single: readonly Readonly<Record<string, 0 | 1>>[]
  /** Pins that differ. */
  readonly pins: readonly number[]
}

type Both = readonly [GradeTask, GradeTask]

/** What one start shows; null where that is nothing. */
function* vectorsFrom(both: Both, { single, pins, ...options }: Given): Pieces<CounterexampleVectors | null> {
  const { start } = options
  const [first] = both
  const alone = checked(both, followed(both, { sequence: [], single, start }), start)
  if (alone && pins.every((pin) => alone.shown.has(pin))) return resultOf(first, alone, { pins, start })
  // The sequence goes first: it may count on what the registers hold at the start.
  const told = yield* distinguished([first.fuses, both[1].fuses], {
    ...options,
    device: first.decoded.device,
  })
  const sequence = 'refused' in told || !told.bytes ? [] : conditionsOf(told.bytes)
  const found = sequence.length > 0 ? checked(both, followed(both, { sequence, single, start }), start) : alone
  return found && resultOf(first, found, { pins, start })
}

function conditionsOf(bytes: SavedBytes): Conditions[] {
  return readFuseFile(bytes).vectors.map(({ conditions }) => ['', ...(conditions ?? '')])
}

/** A sequence as it is, and after it the levels of counterexamples that show something without it. */
function followed(
  both: Both,
  { sequence, single, start }: Pick<Given, 'single' | 'start'> & { readonly sequence: readonly Conditions[] },
): Conditions[] {
  const parts = both.map(({ decoded }) => livePart(decoded.logic, start)) as [LivePart, LivePart]
  const [part, other] = parts
  const pins = testerPins(both[0].decoded.logic)
  const follow = (conditions: Conditions): boolean => parts.every((each) => each.step(conditions))
  if (!sequence.every(follow)) return [...sequence]
  const made = new Map<string, Conditions>()
  for (const inputs of single) {
    const conditions = madeVector(part, pins, levelsFor(inputs, pins), [other])
    if (!conditions) continue
    parts.forEach((each) => each.mark())
    // What a state or a clock is needed for is not seen by levels alone.
    if (follow(conditions) && pins.outputs.some((pin) => fails(other.look(pin), conditions[pin]!)))
      made.set(conditions.join(''), conditions)
    else parts.forEach((each) => each.back())
  }
  return [...sequence, ...made.values()]
}

function fails(look: number, condition: string): boolean {
  return isExpected(condition) && outcomeOf(condition, look, false) === 'failed'
}

/** Levels of a counterexample; a pin that it does not name is 0. A clock rests: its edge would change the registers. */
function levelsFor(inputs: Given['single'][number], { clocks }: TesterPins): Wanted {
  return { levelAt: (pin) => (clocks.includes(pin) ? 0 : (inputs[pin] ?? 0)), pulsed: [] }
}

interface Shown {
  readonly vectors: readonly Conditions[]
  /** The first vector, from 1, in which the second map fails at a pin. */
  readonly shown: ReadonlyMap<number, number>
}

/** Both maps run by the rules of vectors: null unless the first passes them all and the second fails some. */
function checked([first, second]: Both, vectors: readonly Conditions[], start: Start): Shown | null {
  const set = setOf(vectors)
  const run = ({ decoded }: GradeTask): readonly VectorResult[] =>
    runVectors(decoded.logic, set, { ...STRICT, registers: start }, { explain: false }).results
  if (!run(first).every(({ result }) => result === 'passed')) return null
  const shown = new Map<number, number>()
  for (const { number, checks } of run(second))
    for (const { pin, result } of checks) if (result === 'failed' && !shown.has(pin)) shown.set(pin, number)
  return shown.size === 0 ? null : { vectors, shown }
}

function resultOf(
  task: GradeTask,
  { vectors, shown }: Shown,
  { pins, start }: Pick<Given, 'pins' | 'start'>,
): CounterexampleVectors {
  return {
    count: vectors.length,
    start,
    shown: [...shown].map(([pin, vector]) => ({ pin, vector })).sort((a, b) => a.pin - b.pin),
    notShown: pins.filter((pin) => !shown.has(pin)),
    bytes: newFile(task, setOf(vectors)),
  }
}
