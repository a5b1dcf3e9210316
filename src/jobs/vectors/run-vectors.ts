/** Test vectors on the logic of a part (3-A, "Functional test information"), by the reference simulation. */
import type { Logic } from '../../logic/logic'
import { causesAt, causesOfEnable } from '../../logic/causes'
import { netlistOf } from '../../logic/netlist'
import { LOOK_ENABLE, PartSequence } from '../../logic/part-sequence'
import { preloadRegisters } from '../../logic/simulate'
import { forgetAll, forgetRegisters, type Cause } from '../../logic/simulation-state'
import { X } from '../../logic/ternary'
import type { Bit } from '../../fuses/fuse-map'
import type { FuseFileContent, TestVector } from '../../jesd3/fuse-file'
import { AskedPins, DRIVEN, JUDGED, PRELOADED, PULSED, SUPER_VOLTAGE } from './conditions'
import type { Trail } from './trail'

/**
 * Vectors with what they need to be understood. A FuseFile is one. In `pinOrder` 0 stands for a contact that leads to
 * no pin.
 */
export type VectorSet = Pick<FuseFileContent, 'vectors' | 'pinOrder' | 'defaultCondition'>

/** How open points are read: the strict reading leaves them unknown, plain readings fix them. */
export interface Reading {
  /** Level of X where no X field states one: 0, 1, or null for unknown. */
  readonly x: Bit | null
  /** How registers start. */
  readonly registers: 'unknown' | 'power-up'
  /** Where data and a clock pin change in one vector: any order, or data first. */
  readonly order: 'open' | 'data-then-clock'
}

export const STRICT: Reading = { x: null, registers: 'unknown', order: 'open' }

/** One judged pin. `found` is `0`, `1`, `X` or `Z`; `causes` tell what an undetermined one hangs on. */
export interface PinCheck {
  /** Number on the DIP package. */
  readonly pin: number
  /** High, low, or off. */
  readonly expected: 'H' | 'L' | 'Z'
  /** Level at the pin; Z where nothing drives it. */
  readonly found: '0' | '1' | 'X' | 'Z'
  /** What comes of it. */
  readonly result: VectorOutcome
  /** What an undetermined pin hangs on; empty for others. */
  readonly causes: readonly Cause[]
  /** True when no output stands at this pin, so that no level can be expected there. */
  readonly inputOnly: boolean
}

/** Outcome of a judged pin or a vector; `undetermined` where an expectation meets an unknown. */
export type VectorOutcome = 'passed' | 'failed' | 'undetermined'

/** One vector: failed if any pin failed, else undetermined if any pin is, else passed. X, N and F are never judged. */
export interface VectorResult {
  /** The vector's own number. */
  readonly number: number
  /** What comes of it. */
  readonly result: VectorOutcome
  /** Its judged pins. */
  readonly checks: readonly PinCheck[]
}

/** A place in a run worth telling of. */
export interface VectorPlace {
  /** The vector's own number. */
  readonly vector: number
  /** Number on the DIP package. */
  readonly pin: number
}

/** Every vector with every judged pin, and what else the run showed. */
export interface VectorRun {
  /** In numerical order. */
  readonly results: readonly VectorResult[]
  /** Applied levels that an enabled output overrode. */
  readonly overridden: readonly VectorPlace[]
  /** Super voltages (conditions 2 to 9). */
  readonly superVoltages: readonly (VectorPlace & { readonly condition: string })[]
  /** Vectors whose preload is not published for the part. */
  readonly unknownPreloads: readonly number[]
}

/** How many vectors passed, failed, or stayed open. */
export interface VectorCounts {
  /** Every judged pin is as expected. */
  readonly passed: number
  /** Some judged pin is certain to be otherwise. */
  readonly failed: number
  /** None has failed, and some expectation meets an unknown. */
  readonly undetermined: number
}

/** A run with its counts; of its vectors `results` has what was asked for. */
export interface CountedRun {
  readonly run: VectorRun
  readonly counts: VectorCounts
}

interface MutableRun {
  readonly results: VectorResult[]
  readonly overridden: VectorPlace[]
  readonly superVoltages: (VectorPlace & { condition: string })[]
  readonly unknownPreloads: number[]
}

/** What of judged pins is kept: each, those that did not pass (with their vectors), or none. */
type Keeping = 'all' | 'not-passed' | 'counts'

/** How vectors are run; none of it changes what is found. */
export interface RunOptions {
  /** Causes of what is unknown are collected (default). */
  readonly explain?: boolean
  /** Only the reference simulation runs. */
  readonly reference?: boolean
  /** The run ends with the first vector that fails. */
  readonly untilFailed?: boolean
  /** What is kept of judged pins. */
  readonly keep?: Keeping
  /** Where the way of this run is noted. */
  readonly trail?: Trail
  /** The way of a whole run of the same vectors, whose outcomes are taken over where this run is at the same state. */
  readonly known?: Trail
}

/**
 * Applies vectors in numerical order. Numbers that are missing get the default vector (all X): once a gap, since a
 * second equal vector changes nothing. The vectors must have as many conditions as the part has pins. Without `explain`
 * no causes are collected; `reference` keeps to the reference simulation, which gives the same.
 */
export function runVectors(
  logic: Logic,
  set: VectorSet,
  reading: Reading = STRICT,
  options: Omit<RunOptions, 'keep' | 'trail' | 'known'> = {},
): VectorRun {
  return countVectors(logic, set, reading, { ...options, keep: 'all' }).run
}

/** As `runVectors`, with counts, and with no more results than are asked for: of most vectors nobody reads any. */
export function countVectors(
  logic: Logic,
  set: VectorSet,
  reading: Reading,
  { explain = true, reference = false, untilFailed = false, keep = 'counts', trail, known }: RunOptions,
): CountedRun {
  const part = new PartSequence(logic, { ...reading, explain, reference })
  const run: MutableRun = { results: [], overridden: [], superVoltages: [], unknownPreloads: [] }
  const counts = { passed: 0, failed: 0, undetermined: 0 }
  const { pinCount } = logic
  const { cellAt } = netlistOf(logic)
  const asked = new AskedPins(set, pinCount, set.defaultCondition ?? reading.x ?? X)
  const cellPins = [...cellAt.keys()].sort((a, b) => a - b)
  const tester: Tester = { part, cellAt, cellPins, asked, run, passed: [] }
  const defaultVector = 'X'.repeat(set.pinOrder?.length ?? pinCount)
  let expected = 1
  for (let index = 0; index < set.vectors.length; index++) {
    const vector = set.vectors[index]!
    if (vector.number > expected) applyVector(tester, defaultVector, expected)
    expected = vector.number + 1
    if (vector.conditions === null) {
      forgetAll(part.reference('change'))
      trail?.note(part, null)
      continue
    }
    const buried = vector.conditions.startsWith('B')
    if (buried) preloadBuried(tester, vector)
    else applyVector(tester, vector.conditions, vector.number)
    const result = judge(tester, vector.number, { buried, keep })
    counts[result]++
    trail?.note(part, result)
    if (untilFailed && result === 'failed') break
    const rest = known?.rest(part, { index, reading })
    if (rest) return { run, counts: addCounts(counts, rest) }
  }
  return { run, counts }
}

function addCounts(a: VectorCounts, b: VectorCounts): VectorCounts {
  return {
    passed: a.passed + b.passed,
    failed: a.failed + b.failed,
    undetermined: a.undetermined + b.undetermined,
  }
}

/** A run of vectors as it goes. */
interface Tester {
  readonly part: PartSequence
  readonly cellAt: ReadonlyMap<number, number>
  /** Pins at which a cell stands, ascending. */
  readonly cellPins: readonly number[]
  /** What the vector at hand asks. */
  readonly asked: AskedPins
  readonly run: MutableRun
  /** Checks that passed: they are all alike. */
  readonly passed: PinCheck[]
}

function applyVector(tester: Tester, conditions: string, number: number): void {
  const { part, asked, run } = tester
  asked.take(conditions)
  for (const pin of asked.pinsWith(SUPER_VOLTAGE))
    run.superVoltages.push({ vector: number, pin, condition: asked.at(pin) })
  part.apply(asked.levels)
  for (const pin of asked.pinsWith(PRELOADED)) preload(tester, pin, number)
  part.pulse(asked.pinsWith(PULSED))
  for (const pin of tester.cellPins) {
    if (!asked.asks(pin, DRIVEN)) continue
    const found = part.look(pin)
    if (
      found >= LOOK_ENABLE &&
      found < 2 * LOOK_ENABLE &&
      found !== LOOK_ENABLE + X &&
      found - LOOK_ENABLE !== asked.levels[pin]
    )
      run.overridden.push({ vector: number, pin })
  }
}

/** Preload (3-A): the levels 0 and 1 at the output pins of the bank whose clock pin carries P. */
function preload({ part, run, asked, cellPins }: Tester, pin: number, number: number): void {
  const levels = new Map<number, 0 | 1>()
  for (const at of cellPins) {
    const condition = asked.at(at)
    if (condition === '0' || condition === '1') levels.set(at, condition === '1' ? 1 : 0)
  }
  const simulation = part.reference('change')
  if (preloadRegisters(simulation, pin, levels) > 0) return
  forgetRegisters(simulation, 'preload')
  run.unknownPreloads.push(number)
}

/** A buried preload: which physical register it reaches is the part's own, and none here publishes it. */
function preloadBuried({ part, run, asked }: Tester, { number, conditions }: TestVector): void {
  asked.take(conditions!)
  forgetRegisters(part.reference('change'), 'preload')
  run.unknownPreloads.push(number)
}

/** Judges the pins of a vector, and keeps of them what is asked for: a vector that passed costs no object otherwise. */
function judge(
  tester: Tester,
  number: number,
  { buried, keep }: { readonly buried: boolean; readonly keep: Keeping },
): VectorOutcome {
  const { part, asked, cellAt } = tester
  let worst: VectorOutcome = 'passed'
  let checks: PinCheck[] | null = keep === 'all' ? [] : null
  for (let pin = 1; pin < asked.levels.length; pin++) {
    if (!asked.asks(pin, JUDGED)) continue
    const expected = asked.at(pin) as PinCheck['expected']
    const look = buried ? 0 : part.look(pin)
    const result = buried ? 'undetermined' : outcomeOf(expected, look, !cellAt.has(pin))
    if (result === 'failed' || worst === 'passed') worst = result
    if (keep !== 'all' && (result === 'passed' || keep === 'counts')) continue
    checks ??= []
    checks.push(buried ? buriedCheck(pin, expected) : pinCheck(tester, { pin, expected, look, result }))
  }
  if (checks) tester.run.results.push({ number, result: worst, checks })
  return worst
}

/** H and L in a buried-register vector test registers whose numbering is not published: open. */
function buriedCheck(pin: number, expected: PinCheck['expected']): PinCheck {
  return { pin, expected, found: 'X', result: 'undetermined', causes: [{ kind: 'preload', pin }], inputOnly: false }
}

const LEVEL_NAMES = ['0', '1', 'X', 'Z'] as const

/** A judged pin, and what was seen there. */
interface Judged extends Pick<PinCheck, 'pin' | 'expected' | 'result'> {
  readonly look: number
}

function pinCheck({ part, passed, cellAt }: Tester, { pin, expected, look, result }: Judged): PinCheck {
  const found = LEVEL_NAMES[look % LOOK_ENABLE]!
  if (result === 'passed') {
    const key = (expected === 'Z' ? LEVEL_NAMES.length : 0) + (look % LOOK_ENABLE) + 2 * LEVEL_NAMES.length * pin
    return (passed[key] ??= { pin, expected, found, result, causes: [], inputOnly: false })
  }
  const inputOnly = !cellAt.has(pin)
  const causesOf = expected === 'Z' ? causesOfEnable : causesAt
  return {
    pin,
    expected,
    found,
    result,
    causes: result === 'undetermined' && !inputOnly ? causesOf(part.reference('look'), pin) : [],
    inputOnly: inputOnly && expected !== 'Z',
  }
}

/** What a judged pin says, given what `PartSequence.look` tells. */
export function outcomeOf(expected: PinCheck['expected'], look: number, inputOnly: boolean): VectorOutcome {
  const level = look % LOOK_ENABLE
  const enable = Math.floor(look / LOOK_ENABLE)
  if (expected === 'Z') return enable === 0 ? 'passed' : enable === 1 ? 'failed' : 'undetermined'
  if (inputOnly || level === X) return 'undetermined'
  return level === (expected === 'H' ? 1 : 0) ? 'passed' : 'failed'
}
