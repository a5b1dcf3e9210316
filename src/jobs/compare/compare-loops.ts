/**
 * Differences that hang on what feedback loops hold. What a loop holds is not free, so such a difference counts where
 * the inputs alone fix it on both sides, or where an input sequence that leads to it shows it on the reference
 * simulation.
 */
import type { Diagrams, Node } from '../../logic/diagrams'
import {
  mapFunctions,
  possibleLevels,
  SETTLING_SHARE,
  type OutputFunctions,
  type PartFunctions,
  type PossibleLevels,
} from '../../logic/functions'
import type { NameOf, Space } from '../../logic/variables'
import { differencesOf, functionsOf, type BothStates, type AspectDifference, type OutputPair } from './compare-output'
import { searchSequence, type Approach, type TellingSequence } from './sequence-search'
import type { LogicSide } from './logic-sides'

/** Both sides over shared variables. */
export interface LoopedSides {
  readonly space: Space
  readonly functions: readonly [PartFunctions, PartFunctions]
  readonly states: BothStates
  readonly sides: readonly [LogicSide, LogicSide]
  readonly nameOf: (side: LogicSide) => NameOf
}

/** Each cut pin of a side, with the levels at which it can rest. */
type Rests = ReadonlyMap<number, PossibleLevels>

function restsOf({ space, functions, sides, nameOf }: LoopedSides, i: 0 | 1): Rests {
  const loops = functions[i].loops.map(({ pin, excitation }) => ({
    variable: space.indexOf('loop', nameOf(sides[i])(pin, 'loop')),
    excitation,
  }))
  // Levels that could not be found out may be both.
  const can =
    space.diagrams.attempt(SETTLING_SHARE, () => possibleLevels(space.diagrams, loops)) ??
    loops.map((): PossibleLevels => ({ zero: 1, one: 1 }))
  return new Map(loops.map(({ variable }, n) => [variable, can[n]!]))
}

/** Where the sides differ under inputs that leave each loop one level to rest at, whatever was before. */
export function differencesAtRest(
  looped: LoopedSides,
  pair: OutputPair,
  { care, variable }: { readonly care: Node; readonly variable: number },
): readonly AspectDifference[] {
  const { diagrams } = looped.space
  const [a, b] = ([0, 1] as const).map((i) =>
    atRest(diagrams, restsOf(looped, i), i === 0 ? pair.intended : pair.readback),
  )
  return differencesOf(
    looped.space,
    { intended: a!.output, readback: b!.output },
    { care: diagrams.and(care, diagrams.and(a!.fixed, b!.fixed)), states: looped.states, variable },
  )
}

/** An output with its loops at rest, and the inputs under which they are. */
function atRest(
  diagrams: Diagrams,
  rests: Rests,
  output: OutputFunctions | null,
): { readonly output: OutputFunctions | null; readonly fixed: Node } {
  if (!output) return { output, fixed: 1 }
  const replacements: (Node | undefined)[] = []
  for (const [variable, { one }] of rests) replacements[variable] = one
  const used = new Set(functionsOf(output).flatMap((f) => diagrams.support(f)))
  const fixed = [...rests]
    .filter(([variable]) => used.has(variable))
    .reduce((all, [, { zero, one }]) => diagrams.and(all, diagrams.xor(zero, one)), 1)
  return { fixed, output: mapFunctions(output, (f) => diagrams.substitute(f, replacements)) }
}

/** Most levels to lead to, one after the other. */
const MOST_TRIES = 6

/** A sequence that brings the loops of both sides to levels at which a difference shows. */
export function sequenceTo(
  looped: LoopedSides,
  name: string,
  { pair, where }: { readonly pair: OutputPair; readonly where: Node },
): TellingSequence | null {
  const { space, sides, nameOf } = looped
  const { diagrams, variables } = space
  const clocks = [
    ...new Set(
      [pair.intended, pair.readback]
        .flatMap((output) => (output?.register ? diagrams.support(output.register.clock) : []))
        .flatMap((i) => (variables[i]!.kind === 'pin' ? [variables[i]!.name] : [])),
    ),
  ]
  const approaches = approachesTo(looped, where)
  const walkers = sides.map((side) => ({ logic: side.logic, nameOf: nameOf(side) }))
  return searchSequence([walkers[0]!, walkers[1]!], {
    name,
    approaches: approaches.map((approach) => ({ ...named(space, approach), clocks })),
  })
}

/** Both ends of an approach as assignments of the variables. */
interface Leg {
  readonly from: Uint8Array
  readonly to: Uint8Array
}

/**
 * Inputs at which the loops rest at the levels of a difference, and the inputs of the difference, as near to each
 * other as can be.
 */
function approachesTo(looped: LoopedSides, where: Node): Leg[] {
  const { space } = looped
  const { diagrams, variables } = space
  const rests = [restsOf(looped, 0), restsOf(looped, 1)]
  const found: Leg[] = []
  let rest = where
  for (let tries = 0; tries < MOST_TRIES && rest !== 0; tries++) {
    const cube = diagrams.shortestCube(rest)!
    const levelAt = (i: number): Node => (cube[i] === 1 ? 1 : 0)
    const held = rests.flatMap((side) =>
      [...side]
        .filter(([variable]) => cube[variable] !== 2)
        .map(([variable, { zero, one }]) =>
          cube[variable] ? diagrams.and(one, diagrams.not(zero)) : diagrams.and(zero, diagrams.not(one)),
        ),
    )
    const states = variables.map(({ kind }, i) => (kind === 'state' ? levelAt(i) : undefined))
    const region = diagrams.substitute(
      held.reduce((all, each) => diagrams.and(all, each), 1),
      states,
    )
    if (region !== 0) found.push({ from: nearest(diagrams, region, cube), to: cube })
    // On to a difference under other inputs.
    rest = diagrams.and(
      rest,
      diagrams.not(
        cube.reduce(
          (product, level, i) =>
            level === 2
              ? product
              : diagrams.and(product, level ? diagrams.variable(i) : diagrams.not(diagrams.variable(i))),
          1,
        ),
      ),
    )
  }
  return found
}

/** An assignment within a region that agrees with a cube in as many variables as greedily possible. */
function nearest(diagrams: Diagrams, region: Node, cube: Uint8Array): Uint8Array {
  let rest = region
  for (const variable of diagrams.support(region)) {
    const literal = cube[variable] === 1 ? diagrams.variable(variable) : diagrams.not(diagrams.variable(variable))
    const agreeing = diagrams.and(rest, literal)
    if (agreeing !== 0) rest = agreeing
  }
  const fixed = diagrams.shortestCube(rest)!
  return fixed.map((level, i) => (level === 2 ? (cube[i] === 1 ? 1 : 0) : level))
}

function named({ variables }: Space, { from, to }: Leg): Omit<Approach, 'clocks'> {
  const levels = (assignment: Uint8Array, kind: 'pin' | 'state'): Record<string, 0 | 1> =>
    Object.fromEntries(
      variables.flatMap((variable, i) =>
        variable.kind === kind ? [[variable.name, assignment[i] === 1 ? 1 : 0] as const] : [],
      ),
    )
  return { from: levels(from, 'pin'), to: levels(to, 'pin'), states: levels(to, 'state') }
}
