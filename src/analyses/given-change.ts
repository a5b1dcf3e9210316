/** What the signals of a part may show while several inputs change together, from levels that are given. */
import { madeBy, optionsOf } from '../arguments/arguments'
import { createDiagrams, withinLimit } from '../logic/diagrams'
import { refusedFor, type Refused } from '../findings/refused'
import type { PossibleLevels } from '../logic/functions'
import { nameVariables, planVariables, type FreeVariable, type Space } from '../logic/variables'
import { checkedLogic, type Logic } from '../logic/logic'
import { changeBetween, cutPins, EITHER, settleCuts, Stage, type Changing } from '../logic/passing-levels'
import { showsComplement } from './hazard-places'
import { watchedIn, type Watched } from './hazard-signals'

/** Levels before and after a change; what is not said is unknown. */
export interface GivenChange {
  /** Levels applied to pins, by pin. */
  readonly from: Readonly<Record<string, 0 | 1>>
  /** Levels afterwards of pins that change. */
  readonly to: Readonly<Record<string, 0 | 1>>
  /** Q of registers, by pin or name. */
  readonly state?: Readonly<Record<string, 0 | 1>>
  /** Levels that feedback holds, by pin. */
  readonly feedback?: Readonly<Record<string, 0 | 1>>
}

/** A signal in a change: 0, 1, or X where it may be either. */
export interface PassingLevel {
  /** 0 for a buried cell. */
  readonly pin: number
  /** Name of a buried cell. */
  readonly cell?: string
  /** What of the cell it is: the level that it drives, its enable, or a control of its register. */
  readonly part: Watched['part']
  /** Level at rest before the change. */
  readonly before: '0' | '1' | 'X'
  /** Level while inputs change in any order. */
  readonly passing: '0' | '1' | 'X'
  /** Level at rest after the change. */
  readonly after: '0' | '1' | 'X'
}

/**
 * The levels of outputs, enables and controls of registers before, during and after a change of any number of inputs,
 * in no particular order (E. B. Eichelberger, IBM J. Res. Dev. 9(2), 1965). A hazard is X between equal levels; a race
 * is X at last. Refused where the functions grow past the limit of the diagrams.
 *
 * @param logic the logic of a decoded part
 * @param change levels before and after, with states and feedback where they matter
 * @returns the signals that change or may pulse, each before, on the way and after
 * @throws RangeError for a pin or register that the logic does not have, or a level other than 0 and 1
 * @example const seen = passingLevels(logic, { from: { 11: 0 }, to: { 11: 1 } }); 'refused' in seen || seen.length
 */
export function passingLevels(
  logic: Logic,
  change: GivenChange,
): readonly PassingLevel[] | Refused<'node-limit'> {
  const variables = planVariables([{ logic: checkedLogic(logic, 'logic') }])
  madeBy(change, 'change', { keys: ['from', 'to'], maker: 'an object with from and to, each levels by pin' })
  optionsOf(change, { from: true, to: true, state: true, feedback: true }, 'change')
  const space = nameVariables(createDiagrams(variables.length), variables)
  return withinLimit(() => levelsThrough(space, logic, change)) ?? refusedFor('node-limit')
}

function levelsThrough(space: Space, logic: Logic, change: GivenChange): readonly PassingLevel[] {
  const given = givenLevels(space, logic, change)
  const to = levelsOf(space, 'pin', change.to, 'change.to')
  const moved = [...to].filter(([index, level]) => given.get(index) !== level)
  const stages: [Changing, Changing, Changing] = [
    given,
    new Map([...given, ...moved.map(([index]) => [index, null] as const)]),
    new Map([...given, ...to]),
  ]
  const { before, passing, after } = changeBetween(space, logic, stages, restingCuts(space, logic, given))
  return watchedIn(logic).map(({ cell, place, part, levels }) => ({
    ...(logic.cells[cell]!.pin === null ? { pin: 0, cell: String(place) } : { pin: Number(place) }),
    part,
    before: signOf(levels(before)),
    passing: signOf(levels(passing)),
    after: signOf(levels(after)),
  }))
}

/** What is known of every variable. */
function givenLevels(space: Space, logic: Logic, change: GivenChange): Map<number, 0 | 1 | null> {
  const states = [...levelsOf(space, 'state', change.state ?? {}, 'change.state')].map(
    ([index, q]): [number, 0 | 1] => {
      const { kind, name } = space.variables[index]!
      return [index, showsComplement(logic, kind, name) ? ((1 - q) as 0 | 1) : q]
    },
  )
  return new Map<number, 0 | 1 | null>([
    ...space.variables.map((_, i) => [i, null] as const),
    ...levelsOf(space, 'pin', change.from, 'change.from'),
    ...levelsOf(space, 'loop', feedbackOf(logic, change), 'change.feedback'),
    ...states,
  ])
}

/** The levels that feedback is said to hold. */
function feedbackOf(logic: Logic, { feedback = {} }: GivenChange): Readonly<Record<string, 0 | 1>> {
  if (typeof feedback !== 'object' || feedback === null) throw new TypeError('change.feedback must be levels by pin')
  const none = Object.keys(feedback).find((name) => !cutPins(logic).map(String).includes(name))
  if (none !== undefined) throw new RangeError(`change.feedback has ${none}, which is no pin of a feedback loop`)
  return feedback
}

/** Levels of feedback before the change: those given, the others as far as the inputs alone make them certain. */
function restingCuts(space: Space, logic: Logic, given: Changing): Map<number, PossibleLevels> {
  const start = new Map(
    cutPins(logic).map((pin): [number, PossibleLevels] => {
      const level = given.get(space.indexOf('loop', String(pin)))
      return [pin, level === 0 || level === 1 ? { zero: level ? 0 : 1, one: level } : EITHER]
    }),
  )
  const isOpen = (pin: number): boolean => start.get(pin) === EITHER
  return new Map(
    settleCuts(start, (levels, pin, old) => (isOpen(pin) ? new Stage(space, logic, given, levels).given(pin) : old)),
  )
}

function levelsOf(
  space: Space,
  kind: FreeVariable['kind'],
  levels: Readonly<Record<string, 0 | 1>>,
  argument: string,
): Map<number, 0 | 1> {
  if (typeof levels !== 'object' || levels === null || Array.isArray(levels))
    throw new TypeError(`${argument} must be levels by pin or name`)
  return new Map(
    Object.entries(levels).map(([name, level]) => {
      const index = space.indexOf(kind, name)
      if (index < 0) throw new RangeError(`${argument} has ${name}, which is nothing of this logic`)
      if (level !== 0 && level !== 1) throw new RangeError(`${argument}[${name}] must be 0 or 1`)
      return [index, level]
    }),
  )
}

function signOf({ zero, one }: PossibleLevels): '0' | '1' | 'X' {
  return zero !== 0 && one !== 0 ? 'X' : one !== 0 ? '1' : '0'
}
