/** Test vectors on the logic of a part (3-A, "Functional test information"), by the reference simulation. */
import type { Logic } from '../../logic/logic'
import { causesAt, causesOfEnable } from '../../logic/causes'
import { applyLevels, applyPulses, preloadRegisters } from '../../logic/simulate'
import {
  forgetAll,
  forgetRegisters,
  levelAt,
  NOTHING,
  startSimulation,
  UNSTEADY,
  type Applied,
  type Cause,
  type Simulation,
} from '../../logic/simulation-state'
import { X } from '../../logic/ternary'
import type { Bit } from '../../fuses/fuse-map'
import type { FuseFileContent } from '../../jesd3/fuse-file'

/**
 * Vectors with what they need to be understood. A FuseFile is one. In `pinOrder` 0 stands for a contact that leads to
 * no pin.
 */
export type VectorSet = Pick<FuseFileContent, 'vectors' | 'pinOrder' | 'defaultCondition'>

/** How open points are read: the strict reading leaves them unknown, plain readings fix them. */
export interface Reading {
  /** Level of X where no X field states one: 0, 1, or null for unknown. */
  readonly x: Bit | null
  readonly registers: 'unknown' | 'power-up'
  /** Where data and a clock pin change in one vector: any order, or data first. */
  readonly order: 'open' | 'data-then-clock'
}

export const STRICT: Reading = { x: null, registers: 'unknown', order: 'open' }

/** One judged pin. `found` is `0`, `1`, `X` or `Z`; `causes` tell what an undetermined one hangs on. */
export interface PinCheck {
  readonly pin: number
  readonly expected: 'H' | 'L' | 'Z'
  readonly found: '0' | '1' | 'X' | 'Z'
  readonly result: VectorOutcome
  readonly causes: readonly Cause[]
  /** True when no output stands at this pin, so that no level can be expected there. */
  readonly inputOnly: boolean
}

/** Outcome of a judged pin or a vector; `undetermined` where an expectation meets an unknown. */
export type VectorOutcome = 'passed' | 'failed' | 'undetermined'

/** One vector: failed if any pin failed, else undetermined if any pin is, else passed. X, N and F are never judged. */
export interface VectorResult {
  readonly number: number
  readonly result: VectorOutcome
  readonly checks: readonly PinCheck[]
}

/** A place in a run worth telling of. */
export interface VectorPlace {
  readonly vector: number
  readonly pin: number
}

/** Every vector with every judged pin, and what else the run showed. */
export interface VectorRun {
  readonly results: readonly VectorResult[]
  /** Applied levels that an enabled output overrode. */
  readonly overridden: readonly VectorPlace[]
  /** Super voltages (conditions 2 to 9). */
  readonly superVoltages: readonly (VectorPlace & { readonly condition: string })[]
  /** Vectors whose preload is not published for the part. */
  readonly unknownPreloads: readonly number[]
}

interface MutableRun {
  readonly results: VectorResult[]
  readonly overridden: VectorPlace[]
  readonly superVoltages: (VectorPlace & { condition: string })[]
  readonly unknownPreloads: number[]
}

/**
 * Applies vectors in numerical order. Numbers that are missing get the default vector (all X): once a gap, since a
 * second equal vector changes nothing. The vectors must have as many conditions as the part has pins. Without `explain`
 * no causes are collected.
 */
export function runVectors(logic: Logic, set: VectorSet, reading: Reading = STRICT, explain = true): VectorRun {
  const simulation = startSimulation(logic, { ...reading, explain })
  const run: MutableRun = { results: [], overridden: [], superVoltages: [], unknownPreloads: [] }
  const defaultLevel = set.defaultCondition ?? reading.x
  const defaultVector = 'X'.repeat(set.pinOrder?.length ?? logic.pinCount)
  let expected = 1
  for (const vector of set.vectors) {
    if (vector.number > expected)
      applyVector(simulation, conditionsByPin(defaultVector, set, logic.pinCount), {
        defaultLevel,
        number: expected,
        run,
      })
    expected = vector.number + 1
    if (vector.conditions === null) {
      forgetAll(simulation)
      continue
    }
    const conditions = conditionsByPin(vector.conditions, set, logic.pinCount)
    const buried = vector.conditions.startsWith('B')
    if (buried) preloadBuried(simulation, vector.number, run)
    else applyVector(simulation, conditions, { defaultLevel, number: vector.number, run })
    run.results.push(judge(vector.number, buried ? buriedChecks(conditions) : pinChecks(simulation, conditions)))
  }
  return run
}

/** Conditions by pin number (index 0 unused), through the pin order where there is one; 0 in it leads to no pin. */
function conditionsByPin(conditions: string, { pinOrder }: VectorSet, pinCount: number): string[] {
  const byPin = Array<string>(pinCount + 1).fill('N')
  for (let i = 0; i < conditions.length; i++) byPin[pinOrder ? pinOrder[i]! : i + 1] = conditions[i]!
  byPin[0] = 'N'
  return byPin
}

/**
 * Levels that conditions apply at first; C rests low and K high. D and U (later revisions, from memory) are 0 and 1.
 */
const LEVELS: Readonly<Record<string, Applied>> = {
  0: 0,
  D: 0,
  C: 0,
  1: 1,
  U: 1,
  K: 1,
  N: NOTHING,
  F: NOTHING,
  H: NOTHING,
  L: NOTHING,
  Z: NOTHING,
}

interface Application {
  readonly defaultLevel: Bit | null
  readonly number: number
  readonly run: MutableRun
}

function applyVector(
  simulation: Simulation,
  conditions: readonly string[],
  { defaultLevel, number, run }: Application,
): void {
  const applied = conditions.map((condition, pin): Applied =>
    pin === 0 ? NOTHING : condition === 'X' ? (defaultLevel ?? X) : (LEVELS[condition] ?? UNSTEADY),
  )
  conditions.forEach((condition, pin) => {
    if (condition >= '2' && condition <= '9') run.superVoltages.push({ vector: number, pin, condition })
  })
  applyLevels(simulation, applied)
  const pinsWith = (wanted: string): number[] =>
    conditions.flatMap((condition, pin) => (wanted.includes(condition) ? [pin] : []))
  for (const pin of pinsWith('P')) preload(simulation, { conditions, pin, number, run })
  applyPulses(simulation, pinsWith('CK'))
  for (const pin of pinsWith('01DU')) {
    const { enable, value } = levelAt(simulation, pin)
    if (enable === 1 && value !== X && value !== applied[pin]) run.overridden.push({ vector: number, pin })
  }
}

/** Preload (3-A): the levels 0 and 1 at the output pins of the bank whose clock pin carries P. */
function preload(
  simulation: Simulation,
  given: {
    readonly conditions: readonly string[]
    readonly pin: number
    readonly number: number
    readonly run: MutableRun
  },
): void {
  const levels = new Map<number, 0 | 1>()
  given.conditions.forEach((condition, pin) => {
    if (condition === '0' || condition === '1') levels.set(pin, condition === '1' ? 1 : 0)
  })
  if (preloadRegisters(simulation, given.pin, levels) > 0) return
  forgetRegisters(simulation, 'preload')
  given.run.unknownPreloads.push(given.number)
}

/** A buried preload: which physical register it reaches is the part's own, and none here publishes it. */
function preloadBuried(simulation: Simulation, number: number, run: MutableRun): void {
  forgetRegisters(simulation, 'preload')
  run.unknownPreloads.push(number)
}

function pinChecks(simulation: Simulation, conditions: readonly string[]): PinCheck[] {
  return conditions.flatMap((condition, pin) => (isExpected(condition) ? [judgePin(simulation, pin, condition)] : []))
}

function judge(number: number, checks: readonly PinCheck[]): VectorResult {
  const has = (outcome: VectorOutcome): boolean => checks.some((check) => check.result === outcome)
  return { number, result: has('failed') ? 'failed' : has('undetermined') ? 'undetermined' : 'passed', checks }
}

function isExpected(condition: string): condition is PinCheck['expected'] {
  return condition === 'H' || condition === 'L' || condition === 'Z'
}

/** H and L in a buried-register vector test registers whose numbering is not published: open. */
function buriedChecks(conditions: readonly string[]): PinCheck[] {
  return conditions.flatMap((expected, pin) =>
    isExpected(expected)
      ? [
          {
            pin,
            expected,
            found: 'X' as const,
            result: 'undetermined' as const,
            causes: [{ kind: 'preload' as const, pin }],
            inputOnly: false,
          },
        ]
      : [],
  )
}

const LEVEL_NAMES = ['0', '1', 'X', 'Z'] as const

function judgePin(simulation: Simulation, pin: number, expected: PinCheck['expected']): PinCheck {
  const inputOnly = !simulation.netlist.cellAt.has(pin)
  const { level, enable } = levelAt(simulation, pin)
  const found = LEVEL_NAMES[level]
  const causesOf = expected === 'Z' ? causesOfEnable : causesAt
  const outcome = (result: VectorOutcome): PinCheck => ({
    pin,
    expected,
    found,
    result,
    causes: result === 'undetermined' && !inputOnly ? causesOf(simulation, pin) : [],
    inputOnly: inputOnly && expected !== 'Z',
  })
  if (expected === 'Z') return outcome(enable === 0 ? 'passed' : enable === 1 ? 'failed' : 'undetermined')
  if (inputOnly || level === X) return outcome('undetermined')
  return outcome(found === (expected === 'H' ? '1' : '0') ? 'passed' : 'failed')
}
