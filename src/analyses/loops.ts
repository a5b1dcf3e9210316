/** Feedback loops of a part: what they do with the levels that they hold. */
import { componentsOf } from '../logic/components'
import type { Diagrams, Node } from '../logic/diagrams'
import type { PartFunctions } from '../logic/functions'
import type { Space } from '../logic/variables'

/**
 * A circle of pins that feed each other. `none`: whatever it held, it comes to rest, and at one level for each input.
 * `latch`: it always comes to rest, for some inputs at one of several levels, so that it remembers. `oscillator`: some
 * inputs and levels let it keep changing, one pin after the other; it may also be able to rest.
 */
export interface Loop {
  /** Pins of the circle, ascending. */
  readonly pins: readonly number[]
  /** What it does with a level that it holds. */
  readonly kind: 'none' | 'latch' | 'oscillator'
}

/** The loops of a part, by their lowest pins; circles that are composed away count as none. */
export function loopsIn({ diagrams, indexOf }: Space, { loops, wired }: PartFunctions): Loop[] {
  const excitationAt = new Map(loops.map(({ pin, excitation }) => [pin, excitation]))
  const variableOf = (pin: number): number => indexOf('loop', String(pin))
  const circles = componentsOf([...excitationAt.keys()], (pin) =>
    [...excitationAt.keys()].filter((other) => diagrams.support(excitationAt.get(pin)!).includes(variableOf(other))),
  )
  // A circle comes after those that it depends on, and only the levels at which they rest reach it.
  let reached: Node = 1
  const real = circles.map((pins): Loop => {
    const circle = pins.map((pin) => ({ variable: variableOf(pin), excitation: excitationAt.get(pin)! }))
    const kind = kindOf(diagrams, circle, reached)
    // One that keeps changing leaves every level possible.
    if (kind !== 'oscillator') reached = diagrams.and(reached, restsOf(diagrams, circle))
    return { pins: ascending(pins), kind }
  })
  const broken = wired.map((pins) => pins.filter((pin) => !excitationAt.has(pin))).filter((pins) => pins.length > 0)
  return [...real, ...broken.map((pins): Loop => ({ pins: ascending(pins), kind: 'none' }))].sort(
    (a, b) => a.pins[0]! - b.pins[0]!,
  )
}

const ascending = (pins: readonly number[]): number[] => [...pins].sort((a, b) => a - b)

interface CutPin {
  readonly variable: number
  readonly excitation: Node
}

/** Where every pin of a circle has the level that it is given. */
function restsOf(diagrams: Diagrams, circle: readonly CutPin[]): Node {
  return circle.reduce(
    (all, { variable, excitation }) =>
      diagrams.and(all, diagrams.not(diagrams.xor(diagrams.variable(variable), excitation))),
    1,
  )
}

/** What a circle does under the inputs and levels that reach it. */
function kindOf(diagrams: Diagrams, circle: readonly CutPin[], reached: Node): Loop['kind'] {
  const variables = circle.map(({ variable }) => variable)
  const rests = restsOf(diagrams, circle)
  if (diagrams.and(reached, diagrams.not(settling(diagrams, circle, rests))) !== 0) return 'oscillator'
  const restsWith = (level: Node): Node =>
    diagrams.and(reached, diagrams.exists(diagrams.and(rests, level), variables))
  const several = circle.some(({ variable }) => {
    const level = diagrams.variable(variable)
    return diagrams.and(restsWith(level), restsWith(diagrams.not(level))) !== 0
  })
  return several ? 'latch' : 'none'
}

/**
 * Levels from which a circle comes to rest whichever of its pins switches next: those at rest, and those of which every
 * switch leads to such a level. What is never added can go round without end.
 */
function settling(diagrams: Diagrams, circle: readonly CutPin[], rests: Node): Node {
  let found = rests
  for (;;) {
    const moving = circle.reduce(
      (any, { variable, excitation }) => diagrams.or(any, diagrams.xor(diagrams.variable(variable), excitation)),
      0,
    )
    // A pin at rest leads nowhere: its own level counts only where another one moves.
    const grown = diagrams.or(found, diagrams.and(moving, movesLead(diagrams, circle, found)))
    if (grown === found) return found
    found = grown
  }
}

/** Where every pin that is about to switch leads into a set of levels. */
function movesLead(diagrams: Diagrams, circle: readonly CutPin[], into: Node): Node {
  return circle.reduce((all, { variable, excitation }) => {
    const stays = diagrams.not(diagrams.xor(diagrams.variable(variable), excitation))
    const replacements: (Node | undefined)[] = []
    replacements[variable] = diagrams.not(diagrams.variable(variable))
    return diagrams.and(all, diagrams.or(stays, diagrams.substitute(into, replacements)))
  }, 1)
}
