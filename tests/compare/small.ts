/** Small machines (invented) compared as logic, and what is wrong with an answer by the search of tests/reference. */
import { runPieces } from '../../src/arguments/pieces'
import { compareParts, type PairResult } from '../../src/jobs/compare/compare-parts'
import type { PowerUp } from '../../src/jobs/compare/logic-sides'
import type { Cell, Machine, Term } from '../reference/machine'
import { relationByBruteForce } from '../reference/relation'
import { replays, replaysTurned } from '../reference/replay'
import { buriedIn, logicOf, type SmallPair } from '../reference/small-machines'

type Sides = Parameters<typeof compareParts>[0]

/** Two parts of which nothing but the logic is looked at. */
export function compared({ machines }: SmallPair, powerUp: PowerUp = 'published', otherPowerUp = powerUp): PairResult {
  const buried = buriedIn(machines)
  const [intended, readback] = machines.map((machine, i) => ({
    device: { part: `small ${i}` },
    logic: logicOf(machine, buried),
  }))
  const limits = { maxNodes: 100_000, maxStates: 1000, watch: null }
  const options = { ...limits, dontCare: [], powerUp, otherPowerUp }
  const given = { maps: {}, pins: null, options } as unknown as Parameters<typeof compareParts>[1]
  return runPieces(compareParts({ intended, readback } as unknown as Sides, given))
}

/** States by pin, also of buried cells: those have their pin in their name. */
const byPin = (state: Readonly<Record<string, 0 | 1>>): Record<string, 0 | 1> =>
  Object.fromEntries(Object.entries(state).map(([name, level]) => [name.replace('B', ''), level]))

/** What is wrong with the answer for a pair. */
export function wrongOf({ machines, isTurned }: SmallPair, result: PairResult): string[] {
  const { relation, logic, machines: followed, remarks } = result
  const wrong: string[] = []
  const from = (start: 'power-up' | 'any-state'): string => relationByBruteForce(...machines, { start }).relation
  const codes = remarks.map(({ code }) => code)
  if (relation === 'equivalent') {
    if (!codes.includes('compare/power-up-open') && from('power-up') === 'different')
      wrong.push('equal, but a difference shows from power-up')
    if (!codes.includes('compare/from-start-only') && from('any-state') === 'different')
      wrong.push('equal, but only from power-up at best')
  }
  const byStart = logic!.outputs.some(({ differsIn }) => differsIn.includes('power-up'))
  if (relation === 'different' && !byStart && followed?.result !== 'open' && from('power-up') === 'equal')
    wrong.push('different, but equal from power-up')
  for (const { pin, relation: found, reason, counterexample, differsIn } of logic!.outputs) {
    if ((found === 'undecided') !== (reason !== null)) wrong.push(`${found} at pin ${pin} with the reason ${reason}`)
    if (!counterexample || differsIn.includes('power-up')) continue
    const example = { pin, ...counterexample, state: byPin(counterexample.state) }
    if (!(isTurned ? replaysTurned : replays)(...machines, example))
      wrong.push(`${counterexample.sequence ? 'sequence' : 'counterexample'} of pin ${pin} does not replay`)
  }
  return wrong
}

/** A term in signs: `p` reads a pin and `q` a register, ¬ before either; none is constant 1. */
export function term(text: string): Term {
  if (text === '') return []
  return text.split(' ').map((word) => {
    const at = word.replace('¬', '')
    return { tap: at.startsWith('q') ? 'register' : 'pin', pin: Number(at.slice(1)), level: word === at ? 1 : 0 }
  })
}

/** A register whose pin shows Q: what it takes, what clocks it, and what resets it. */
export const register = (pin: number, data: string, clock: string, reset: string | null = null): Cell => ({
  pin,
  registered: true,
  terms: [term(data)],
  otherTerms: [],
  invertData: false,
  invertPin: false,
  enable: [[]],
  clock: term(clock),
  reset: reset === null ? null : term(reset),
  preset: null,
  clockedPreset: null,
  bypass: false,
})

export const pairOf = (...pair: readonly (readonly Cell[])[]): SmallPair => {
  const [a, b] = pair.map(
    (cells): Machine => ({ part: 'small', pinCount: 9, cells, clockPin: null, loadPin: null, startIsPublished: true }),
  )
  return { seed: 0, machines: [a!, b!], isTurned: false }
}

/** Pin 8, which shows a term. */
export const shown = (data: string): Cell => ({ ...register(8, data, 'p1'), registered: false, clock: null })

/** A register that no pin shows, and pin 8 that shows it. */
export const behind = (cell: Cell): Cell[] => [
  { ...cell, enable: [] },
  shown(`q${cell.pin}`),
]
