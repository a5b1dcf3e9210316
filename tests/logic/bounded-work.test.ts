/** Work whose steps are counted ends where they do: what takes no steps would be without a bound. */
import { expect, test } from 'vitest'
import { runPieces } from '../../src/arguments/pieces'
import { onePiece, withinWork } from '../../src/arguments/work'
import { createDiagrams, type Diagrams, type Node } from '../../src/logic/diagrams'
import { partFunctions } from '../../src/logic/functions'
import { ALWAYS, NEVER, type Expression, type Logic, type LogicCell } from '../../src/logic/logic'
import { reachableStates, type Reached } from '../../src/logic/reachable'
import { stateBits } from '../../src/logic/register-steps'
import { nameVariables, planVariables } from '../../src/logic/variables'

/** True where so many steps suffice. */
const suffice = (steps: number, run: () => unknown): boolean =>
  runPieces(withinWork({ steps }, steps, onePiece(() => [run()]))) !== null

/** The exclusive-or of all variables. */
const parity = (diagrams: Diagrams): Node =>
  Array.from({ length: diagrams.variableCount }, (_, i) => diagrams.variable(i)).reduce((a, b) => diagrams.xor(a, b))

test('functions take steps as they are made and as they are looked through', () => {
  const diagrams = createDiagrams(100)
  // Each of the hundred variables is tested at two nodes but the first.
  const f = parity(diagrams)
  expect(suffice(1e6, () => parity(createDiagrams(100)))).toBe(true)
  expect(suffice(198, () => parity(createDiagrams(100)))).toBe(false)
  for (const look of [() => diagrams.support(f), () => diagrams.size([f]), () => diagrams.count(f)]) {
    expect(suffice(1e6, look)).toBe(true)
    expect(suffice(198, look)).toBe(false)
  }
})

const of = (...literals: readonly number[]): Expression => ({ sums: [[{ literals, origin: -1 }]], inverted: false })

/** Registers at pins 3 and up, all 0 after power-up, which take these data at rises of pin 1; pins 20 and up are free. */
function registers(...data: readonly Expression[]): Logic {
  const none = { reset: NEVER, preset: NEVER, clockedPreset: NEVER, load: NEVER, bypass: false, inverted: false }
  const cells = data.map((expression, i): LogicCell => {
    const register = { ...none, data: expression, clock: of(2), powerUp: 0 as const }
    return { pin: i + 3, name: String(i + 3), defined: true, enable: ALWAYS, value: null, register }
  })
  const signals = Array.from({ length: 30 }, (_, pin) => ({ kind: 'pin' as const, pin }))
  return { pinCount: 30, supplyPins: [], signals, cells }
}

/** The states that can be met, with functions that nothing was asked of yet. */
function reachOf(logic: Logic): () => Reached {
  const variables = planVariables([{ logic }])
  const space = nameVariables(createDiagrams(variables.length), variables)
  const functions = partFunctions(space, logic)
  const bits = stateBits(functions, ({ place }) => space.indexOf('state', String(place)), () => true)
  return () => reachableStates(space.diagrams, functions, bits)!
}

test('a walk through the states of registers takes steps: eight a register, in 32 moves a state', () => {
  // Each takes what stands one pin before it, the first pin 2.
  const logic = registers(...Array.from({ length: 8 }, (_, i) => of(2 * (i + 2))))
  expect(reachOf(logic)().states).toBe(1)
  const walk = 8 * 8 * 32 * 2 ** 8
  expect(suffice(walk - 1, reachOf(logic))).toBe(false)
  // The rest is measured: 566.
  expect(suffice(walk + 585, reachOf(logic))).toBe(true)
})

test('so do states that a walk does not come to', () => {
  // A counter of five, lowest bit first, that goes on where pins 20 to 27 are all 1: a walk does one time in 512.
  const on = [20, 21, 22, 23, 24, 25, 26, 27].map((pin) => 2 * pin)
  const data = [3, 4, 5, 6, 7].map((own, i, all): Expression => {
    const turned = [...on, ...all.slice(0, i).map((pin) => 2 * pin)]
    return { sums: [...of(2 * own).sums, ...of(...turned).sums], inverted: false }
  })
  const logic = registers(...data)
  expect(reachOf(logic)().states).toBe(1)
  // Measured 50,217: the walk takes 40,960, and looks whether all states are met 2,365.
  expect(suffice(49_000, reachOf(logic))).toBe(false)
  expect(suffice(51_900, reachOf(logic))).toBe(true)
})
