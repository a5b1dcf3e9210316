/** What grading and making take from states, clocks and drives, against trying all of it. */
import { readdirSync, readFileSync } from 'node:fs'
import { expect, test } from 'vitest'
import { check, createFuseMap, setFuse } from '../../src/index'
import { createDiagrams } from '../../src/logic/diagrams'
import { partFunctions } from '../../src/logic/functions'
import type { Logic } from '../../src/logic/logic'
import { netlistOf } from '../../src/logic/netlist'
import { reachableStates } from '../../src/logic/reachable'
import { stateBits } from '../../src/logic/register-steps'
import { nameVariables, planVariables } from '../../src/logic/variables'
import { SlowPart } from '../../src/jobs/grade/live-part'
import { runVectors, STRICT } from '../../src/jobs/vectors/run-vectors'
import { exercise, grade } from '../../src/vectors'

const VECTORS = new URL('../../vectors/', import.meta.url)
const DEMO = readFileSync(new URL('demo/tide-gauge-16v8.jed', VECTORS))

/** Share of all states that the functions say can be met from power-up; null where they do not say. */
function computedShare(logic: Logic): number | null {
  const variables = planVariables([{ logic }])
  const space = nameVariables(createDiagrams(variables.length), variables)
  const functions = partFunctions(space, logic)
  const bits = stateBits(functions, ({ place }) => space.indexOf('state', String(place)), () => true)
  const reached = reachableStates(space.diagrams, functions, bits)
  return reached === null ? null : Number(space.diagrams.count(reached.states)) / 2 ** variables.length
}

/** The same by the reference simulation: every level of the pins that are read, with a pulse and without. */
function triedShare(logic: Logic, pins: readonly number[], clock: number): number {
  const part = new SlowPart(logic, 'power-up')
  const registers = logic.cells.flatMap(({ register }, cell) => (register ? [cell] : []))
  const known = new Set<string>()
  const queue = [part.place]
  const keyOf = (q: readonly number[]): string => registers.map((cell) => q[cell]).join('')
  known.add(keyOf(part.place.q))
  for (let at = 0; at < queue.length; at++)
    for (let levels = 0; levels < 2 ** (pins.length + 1); levels++) {
      const conditions = Array.from({ length: logic.pinCount + 1 }, () => 'N')
      pins.forEach((pin, i) => (conditions[pin] = String((levels >> i) & 1)))
      conditions[clock] = levels >> pins.length ? 'C' : '0'
      part.goTo(queue[at]!)
      part.step(conditions)
      const key = keyOf(part.place.q)
      if (known.has(key)) continue
      known.add(key)
      queue.push(part.place)
    }
  return known.size / 2 ** registers.length
}

test('states that can be met from power-up are those that trying every level meets', () => {
  const files = readdirSync(new URL('findings/', VECTORS)).filter((name) => name.endsWith('.jed'))
  const shares = [DEMO, ...files.map((name) => readFileSync(new URL(`findings/${name}`, VECTORS)))].flatMap((bytes) => {
    const { decoded, inspection } = check(bytes)
    const logic = decoded?.logic
    if (!logic?.cells.some(({ register }) => register) || !inspection.complete) return []
    const { clockPin, readPins, cellAt } = netlistOf(logic)
    const clocks = new Set(clockPin.filter((pin) => pin !== null))
    const [clock] = clocks
    const pins = [...readPins].filter((pin) => pin !== clock && !cellAt.has(pin))
    const floating = [...readPins].some((pin) => cellAt.has(pin) && netlistOf(logic).drives[cellAt.get(pin)!] !== 'always')
    const computed = computedShare(logic)
    if (clocks.size !== 1 || typeof clock !== 'number' || pins.length > 6 || floating || computed === null) return []
    return [{ computed, tried: triedShare(logic, pins, clock) }]
  })
  expect(shares.map(({ computed }) => computed)).toEqual(shares.map(({ tried }) => tried))
  expect(shares.filter(({ tried }) => tried < 1).length).toBeGreaterThan(0)
  expect(shares.length).toBeGreaterThan(3)
})

test('made vectors apply no level at a pin that the part drives', () => {
  const made = exercise(DEMO)
  if ('refused' in made) throw new Error(made.reason)
  const { inspection, decoded } = check(made.bytes)
  // Pin 15 is on while p6 is 0, p8 and p9 are 1, and is driven otherwise.
  const sets = inspection.file.vectors.map(({ conditions }) => conditions![14]!)
  expect(sets).toContain('1')
  expect(sets.some((condition) => condition === 'H' || condition === 'L')).toBe(true)
  expect(runVectors(decoded!.logic!, inspection.file, STRICT).overridden).toEqual([])
})

test('data are taken with the clock pin at 0: its complement in a term does nothing, the pin itself makes it 0', () => {
  // GAL22V10 (data sheet 22v10_08, p. 5): rows of 44, pin 23 has row 1 for its enable and rows 2 and up; pins 1, 23 and
  // 2 stand on columns 0, 2 and 4; S0 of pin 23 is 5808, S1 5809 (0: a register).
  const fuses = createFuseMap(5892)
  for (let fuse = 44; fuse < 132; fuse++) setFuse(fuses, fuse, 1)
  setFuse(fuses, 2 * 44 + 4, 0)
  setFuse(fuses, 5808, 1)
  const graded = grade(fuses, { device: '22V10' })
  if ('refused' in graded) throw new Error(graded.reason)
  const missed = graded.missed.map(({ fuse }) => fuse)
  expect(missed).toContain(2 * 44)
  expect(missed).not.toContain(2 * 44 + 1)
})
