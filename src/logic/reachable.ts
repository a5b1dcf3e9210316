/** The states that a part can be in: what resets and clocks make of its state after power-up, again and again. */
import { takeSteps } from '../arguments/work'
import type { Diagrams, Node } from './diagrams'
import type { PartFunctions } from './functions'
import { randomWords } from './random-words'
import { afterHolds, clockVariable, takenAt, type Levels, type StateBit } from './register-steps'

/** Most registers whose states are listed: 2¹⁴ marks, and as many ways through their functions a round. */
const MAX_LISTED_BITS = 14

/** What can be met from power-up. */
export interface Reached {
  /** States that are met at rest, as a function of their variables. */
  readonly states: Node
  /** Moments at which resets and presets act, as levels that follow from such a state and from the levels applied. */
  readonly moments: readonly Levels['levels'][]
}

/**
 * The states that can be met from power-up, and what a part passes through on the way to them; null where that is not
 * known: a start that is not published, a clock that is no pin, a reset that meets a preset, holds that never come to
 * rest.
 */
export function reachableStates(
  diagrams: Diagrams,
  { outputs }: PartFunctions,
  bits: readonly StateBit[],
): Reached | null {
  if (bits.length > MAX_LISTED_BITS || outputs.some(({ register }) => register?.bypass)) return null
  const start = bits.map(({ register: { powerUp } }) => powerUp)
  const clocks = [...new Set(bits.map(({ register }) => register.clock))]
  if (start.includes(null) || clocks.some((clock) => clockVariable(diagrams, clock) === null)) return null
  if (bits.some(({ register }) => register.load !== 0)) return null
  const clocked = clocks.map((clock) => afterHolds(diagrams, bits, takenAt(diagrams, bits, clock)))
  const moves = [afterHolds(diagrams, bits, []), ...clocked]
  const listing: Listing = { diagrams, bits, met: new Uint8Array(2 ** bits.length) }
  const first = start.reduce<number>((word, level, i) => word | ((level ?? 0) << i), 0)
  listing.met[first] = 1
  if (!moves.every((move): move is Levels => move !== null) || moves.some(({ open }) => open !== 0)) return null
  walk(listing, moves, first)
  let latest = stateNode(listing, 0, 0)
  let reached = latest
  while (latest !== 0) {
    const before = listing.met.slice()
    for (const move of moves) addRange(listing, move, { from: latest, bit: 0, state: 0 })
    latest = stateNode({ ...listing, met: listing.met.map((met, state) => met & ~before[state]!) }, 0, 0)
    reached = diagrams.or(reached, latest)
  }
  return { states: reached, moments: moves.flatMap(({ passed }) => passed) }
}

/** Steps of a walk for each state that there may be. */
const WALK_STEPS = 32

/**
 * Walks from state to state with levels as they come, and marks what it meets: that takes no nodes, and leaves to
 * `addRange` only what is hard to reach.
 */
function walk({ diagrams, bits, met }: Listing, moves: readonly Levels[], first: number): void {
  const next = randomWords(1)
  const levels = new Uint8Array(diagrams.variableCount)
  let state = first
  for (let step = 0; step < WALK_STEPS * met.length; step++) {
    takeSteps(8 * bits.length)
    // The upper bits: the lower ones of such a generator repeat soon.
    for (let i = 0; i < levels.length; i++) levels[i] = next() >>> 31
    bits.forEach(({ variable }, i) => (levels[variable] = (state >> i) & 1))
    const move = moves[(next() >>> 8) % moves.length]!
    state = bits.reduce((word, { variable }, i) => {
      const level = move.levels[variable]
      return word | ((level === undefined ? levels[variable]! : diagrams.evaluate(level, levels)) << i)
    }, 0)
    met[state] = 1
  }
}

interface Listing {
  readonly diagrams: Diagrams
  readonly bits: readonly StateBit[]
  /** 1 for each state that was met: bit i of its number is the level of the register `bits[i]`. */
  readonly met: Uint8Array
}

/** Marks the states that a move makes of some; each register splits the levels and states that are left in two. */
function addRange(
  listing: Listing,
  move: Levels,
  { from, bit, state }: { readonly from: Node; readonly bit: number; readonly state: number },
): void {
  const { diagrams, bits, met } = listing
  if (from === 0 || allMet(met, bit, state)) return
  if (bit === bits.length) {
    met[state] = 1
    return
  }
  const { variable } = bits[bit]!
  const level = move.levels[variable] ?? diagrams.variable(variable)
  addRange(listing, move, { from: diagrams.and(from, diagrams.not(level)), bit: bit + 1, state })
  addRange(listing, move, { from: diagrams.and(from, level), bit: bit + 1, state: state | (1 << bit) })
}

/** Whether every state was met that has the first bits as given. */
function allMet(met: Uint8Array, bit: number, state: number): boolean {
  takeSteps(1 + (met.length >> bit >> 3))
  for (let each = state; each < met.length; each += 1 << bit) if (met[each] === 0) return false
  return true
}

/** The function that is 1 in the states met. */
function stateNode(listing: Listing, bit: number, state: number): Node {
  const { diagrams, bits, met } = listing
  if (bit === bits.length) return met[state] === 1 ? 1 : 0
  if (allMet(met, bit, state)) return 1
  const low = stateNode(listing, bit + 1, state)
  const high = stateNode(listing, bit + 1, state | (1 << bit))
  return diagrams.choose(diagrams.variable(bits[bit]!.variable), high, low)
}
