/**
 * Steps of the user's own over the pins of a part: the document as written, and the plan that it makes once it is
 * checked.
 */
import { SCHEMA } from '../../findings/schema'
import { checkedDocument, pathTo, type Bounds, type Shape } from '../../arguments/document'
import type { Decoded } from '../../devices/decode'
import type { Device } from '../../devices/device'
import { quote } from '../../jesd3/text'
import type { Logic } from '../../logic/logic'
import { netlistOf } from '../../logic/netlist'
import { NOTHING, type Applied } from '../../logic/simulation-state'

/** What can be applied to a pin: a level, an unknown but steady level, or nothing. */
export type AppliedLevel = 0 | 1 | '0' | '1' | 'X' | 'Z'

/** What can be expected at an output pin; `X` is not judged. */
export type ExpectedLevel = 'H' | 'L' | 'Z' | 'X'

/**
 * One step: levels are applied and settle, then registers are preloaded, then pins are pulsed. What is left out stays
 * as it was. Pins are keys and words: a number as on the DIP package, or a name of `StepList.pins`.
 */
export interface Step {
  /** Levels to apply; they stay applied in later steps. At the start nothing is applied to any pin. */
  readonly set?: Readonly<Record<string, AppliedLevel>>
  /** Levels that the pins of registers are to show afterwards, while their outputs are on. */
  readonly load?: Readonly<Record<string, 0 | 1>>
  /** Pins that go to the opposite level and back; of several the order is not defined. At most four. */
  readonly pulse?: readonly (string | number)[]
  /** How often the whole step is taken (default 1). */
  readonly repeat?: number
  /** What is expected at output pins after the last repetition. */
  readonly expect?: Readonly<Record<string, ExpectedLevel>>
  /** A remark for the table. */
  readonly note?: string
}

/** A stimulus: what `--steps` reads, as plain JSON data. */
export interface StepList {
  /** Version of the document; 1 where it is left out. */
  readonly schema?: 1
  /** Registers at the start: unknown (default), or the data sheet's power-up state where there is one. */
  readonly start?: 'unknown' | 'power-up'
  /** Names of pins, used in the steps and in what is made of them. */
  readonly pins?: Readonly<Record<string, number>>
  /** Pins to show; by default every pin that the steps name and every output that can drive. */
  readonly watch?: readonly (string | number)[]
  /** Nanoseconds that a step takes in a wave file, from 4 (default 100). */
  readonly timeStep?: number
  /** What is done, in order. */
  readonly steps: readonly Step[]
}

/** A pin that is shown. */
export interface WatchedPin {
  /** Number on the DIP package. */
  readonly pin: number
  /** The user's name; null without one. */
  readonly name: string | null
}

export interface PlannedStep {
  /** Place in the document, from 0. */
  readonly entry: number
  /** By pin number: everything that is applied from this step on. */
  readonly applied: readonly Applied[]
  /** Levels by pin, by the pin that clocks their bank. */
  readonly load: ReadonlyMap<number, ReadonlyMap<number, 0 | 1>>
  readonly pulsed: readonly number[]
  readonly repeat: number
  readonly expected: readonly { readonly pin: number; readonly level: 'H' | 'L' | 'Z' }[]
  readonly note: string | null
}

export interface StepPlan {
  readonly start: 'unknown' | 'power-up'
  readonly timeStep: number
  readonly watched: readonly WatchedPin[]
  readonly steps: readonly PlannedStep[]
}

/** The index is the level as the simulation has it. */
const APPLIED_LEVELS = ['0', '1', 'X', 'Z'] as const
/** Beyond, the reference does not try every order. */
const MOST_PULSED = 4
const LONGEST_NAME = 40
const USUAL_TIME_STEP = 100
/** Most repetitions of a step: as many as there can be steps. */
const MOST_REPEATED = 1_000_000

const PIN_WORDS: Shape = {
  list: { fits: (value) => /^(number|string)$/.test(typeof value), noun: 'the number or the name of a pin' },
}

const STEP: Shape = {
  optional: {
    set: { byName: { words: [0, 1, ...APPLIED_LEVELS] } },
    load: { byName: { words: [0, 1] } },
    pulse: PIN_WORDS,
    repeat: { whole: [1, MOST_REPEATED] },
    expect: { byName: { words: ['H', 'L', 'Z', 'X'] } },
    note: { fits: (value) => typeof value === 'string', noun: 'a text', orNull: true },
  },
}

/** A step has four moments, each of which needs a time of its own; the upper bound keeps all times exact. */
const TIME_STEP: Bounds = [4, 1_000_000_000]

const STEP_LIST: Shape = {
  needed: { steps: { list: STEP, bounds: [1, Infinity] } },
  optional: {
    start: { words: ['unknown', 'power-up'] },
    pins: { byName: { fits: (value) => typeof value === 'number', noun: 'the number of a pin' } },
    watch: { ...PIN_WORDS, bounds: [1, Infinity] },
    timeStep: { whole: TIME_STEP },
    schema: { words: [SCHEMA] },
  },
}

interface Reader {
  readonly device: Device
  readonly logic: Logic
  readonly names: ReadonlyMap<string, number>
  /** Pins that steps name, filled on the way. */
  readonly touched: Set<number>
}

/**
 * Checks a document of steps against a part. Everything in it is the caller's, so that every mistake throws: TypeError
 * for a wrong kind of value, RangeError for a wrong one, with its path in the document.
 */
export function planSteps(
  { device }: Decoded,
  logic: Logic,
  given: { readonly stepList: unknown; readonly maxSteps: number },
): StepPlan {
  const stated = checkedDocument<StepList>(given.stepList, STEP_LIST, 'stepList')
  const { start = 'unknown', pins = {}, watch, timeStep = USUAL_TIME_STEP } = stated
  const reader: Reader = { device, logic, names: namesOf(pins, { device, logic }), touched: new Set() }
  const steps = planAll(reader, stated.steps, given.maxSteps)
  return { start, timeStep, steps, watched: watchedPins(reader, watch) }
}

function planAll(reader: Reader, steps: readonly Step[], maxSteps: number): PlannedStep[] {
  let applied: readonly Applied[] = Array<Applied>(reader.logic.pinCount + 1).fill(NOTHING)
  let total = 0
  return steps.map((step, entry) => {
    const planned = planStep(reader, step, { entry, applied })
    applied = planned.applied
    total += planned.repeat
    if (total > maxSteps)
      throw new RangeError(
        `stepList.steps[${entry}]: with it there are more than ${maxSteps} steps, repetitions counted`,
      )
    return planned
  })
}

function planStep(
  reader: Reader,
  step: Step,
  { entry, applied }: Pick<PlannedStep, 'entry' | 'applied'>,
): PlannedStep {
  const path = `stepList.steps[${entry}]`
  const { set = {}, load = {}, pulse = [], repeat = 1, expect = {}, note = null } = step
  const levels = [...applied]
  for (const [pin, value] of pinEntries(reader, set, `${path}.set`))
    levels[pin] = APPLIED_LEVELS.indexOf(`${value}`) as Applied
  return {
    entry,
    applied: levels,
    load: loadsOf(reader, load, `${path}.load`),
    pulsed: pulsedPins(reader, pulse, { path: `${path}.pulse`, levels }),
    repeat,
    expected: pinEntries(reader, expect, `${path}.expect`).flatMap(([pin, level, at]) =>
      expectationOf(reader, pin, { level, at }),
    ),
    note,
  }
}

function expectationOf(
  { logic, device }: Reader,
  pin: number,
  { level, at }: { readonly level: ExpectedLevel; readonly at: string },
): PlannedStep['expected'] {
  if (!logic.cells.some((output) => output.pin === pin))
    throw new RangeError(`${at}: pin ${pin} of this ${device.part} is an input, at which nothing can be expected`)
  return level === 'X' ? [] : [{ pin, level }]
}

function pulsedPins(
  reader: Reader,
  pulse: readonly (string | number)[],
  { path, levels }: { readonly path: string; readonly levels: readonly Applied[] },
): number[] {
  const pins = pinList(reader, pulse, path)
  pins.forEach((pin, i) => {
    if (levels[pin] !== 0 && levels[pin] !== 1)
      throw new RangeError(`${path}[${i}]: pin ${pin} has no level 0 or 1 to go away from; set one first`)
  })
  if (pins.length > MOST_PULSED)
    throw new RangeError(`${path}: at most ${MOST_PULSED} pins can be pulsed in no defined order; use further steps`)
  return pins
}

/**
 * Levels to preload, sorted into banks; only registers that the part's own clock pin clocks have a published preload.
 */
function loadsOf(reader: Reader, load: Readonly<Record<string, 0 | 1>>, path: string): Map<number, Map<number, 0 | 1>> {
  const banks = new Map<number, Map<number, 0 | 1>>()
  for (const [pin, value, at] of pinEntries(reader, load, path)) {
    const clockPin = bankOf(reader.logic, pin)
    if (clockPin === null)
      throw new RangeError(
        `${at}: a ${reader.device.part} has no register at pin ${pin} that a preload is known to reach`,
      )
    banks.set(clockPin, (banks.get(clockPin) ?? new Map<number, 0 | 1>()).set(pin, value))
  }
  return banks
}

/**
 * The pin that clocks the register behind a pin by the part's structure; null where a term does, or without a
 * register.
 */
function bankOf(logic: Logic, pin: number): number | null {
  const { cellAt, clockPin } = netlistOf(logic)
  return clockPin[cellAt.get(pin) ?? -1] ?? null
}

function watchedPins(reader: Reader, watch: StepList['watch']): WatchedPin[] {
  const nameAt = new Map([...reader.names].map(([name, pin]) => [pin, name]))
  const named = (pin: number): WatchedPin => ({ pin, name: nameAt.get(pin) ?? null })
  if (watch === undefined) return usualPins(reader).map(named)
  return pinList(reader, watch, 'stepList.watch').map(named)
}

/** Inputs that the steps name, then outputs. */
function usualPins({ logic, touched }: Reader): number[] {
  const { drivenPins } = netlistOf(logic)
  const isOutput = (pin: number): boolean => drivenPins.has(pin)
  const pins = Array.from({ length: logic.pinCount }, (_, i) => i + 1)
  return [...pins.filter((pin) => touched.has(pin) && !isOutput(pin)), ...pins.filter(isOutput)]
}

function namesOf(pins: Readonly<Record<string, number>>, part: Pick<Reader, 'device' | 'logic'>): Map<string, number> {
  const names = new Map<string, number>()
  const reader: Reader = { ...part, names, touched: new Set() }
  for (const [name, value] of Object.entries(pins)) {
    const path = pathTo('stepList.pins', name)
    if (!/^(?!\d+$)[^\p{Cc}]+$/u.test(name) || name.length > LONGEST_NAME)
      throw new RangeError(`${path}: a name has 1 to ${LONGEST_NAME} characters and is no number`)
    const pin = pinOf(reader, value, path)
    for (const [other, taken] of names)
      if (taken === pin) throw new RangeError(`${path}: pin ${pin} is named “${quote(other)}” already`)
    names.set(name, pin)
  }
  return names
}

/** Pins, values and paths of an object whose keys are pins, each pin once. */
function pinEntries<T>(
  reader: Reader,
  byPin: Readonly<Record<string, T>>,
  path: string,
): [pin: number, value: T, path: string][] {
  const seen = new Set<number>()
  return Object.entries(byPin).map(([key, entry]) => {
    const at = pathTo(path, key)
    return [onceOnly(seen, pinOf(reader, key, at), at), entry, at]
  })
}

function pinList(reader: Reader, words: readonly (string | number)[], path: string): number[] {
  const seen = new Set<number>()
  return words.map((word, i) => {
    const at = `${path}[${i}]`
    return onceOnly(seen, pinOf(reader, word, at), at)
  })
}

function onceOnly(seen: Set<number>, pin: number, path: string): number {
  if (seen.has(pin)) throw new RangeError(`${path}: pin ${pin} stands there twice`)
  seen.add(pin)
  return pin
}

/** The pin that a number or a name leads to. */
function pinOf({ device, logic, names, touched }: Reader, word: string | number, path: string): number {
  const pin = typeof word === 'number' ? word : (names.get(word) ?? (/^\d+$/.test(word) ? Number(word) : null))
  if (pin === null)
    throw new RangeError(`${path}: no pin is named “${quote(String(word))}”; pins gives names to numbers`)
  if (!Number.isInteger(pin) || pin < 1 || pin > logic.pinCount)
    throw new RangeError(`${path}: a ${device.part} has pins 1 to ${logic.pinCount}`)
  if (logic.supplyPins.includes(pin))
    throw new RangeError(
      `${path}: pin ${pin} of a ${device.part} is ${pin === device.groundPin ? 'ground' : 'supply'}`,
    )
  touched.add(pin)
  return pin
}
