/**
 * What a part computes, as decision diagrams: against the reference simulation and against straight evaluation of the
 * design on random designs of every part and mode.
 */
import { expect, test } from 'vitest'
import { findDevice, fuseMapFrom } from '../../src/index'
import { decode, type Logic } from '../../src/logic'
import { createDiagrams, type Node } from '../../src/logic/diagrams'
import { partFunctions, type PartFunctions } from '../../src/logic/functions'
import { nameVariables, planVariables, type Space } from '../../src/logic/variables'
import { driveOf, settle, signalsOf, startSimulation, type Simulation } from '../../src/logic/simulation-state'
import { X, type Ternary } from '../../src/logic/ternary'
import type { Design, DesignOutput, Term } from '../parts/design'
import { encode, TABLES, type PartTable } from '../parts/encoder'
import { randomAsynchronousDesign } from '../parts/random-asynchronous'
import { randomDesign, seededRandom, startsUnknown, type Random } from '../parts/random-designs'
import { settle as settleStraight, type Settled } from '../parts/straight'
import { same } from '../same'
import { sampleSize } from '../sample-size'

const DESIGNS = sampleSize(1, 10)
const ASSIGNMENTS = 20
/** Functions of no more variables are compared in every row. */
const MOST_SWEPT = sampleSize(8, 10)
const SWEPT_DESIGNS = 2

interface Made {
  readonly name: string
  readonly design: Design
  readonly logic: Logic
  readonly space: Space
  readonly functions: PartFunctions
  readonly random: Random
}

function make(table: PartTable, seed: number): Made {
  const random = seededRandom(seed)
  const design =
    table.kinds.registered?.clockRow !== undefined
      ? randomAsynchronousDesign(table, random)
      : randomDesign(table, random)
  const logic = decode(findDevice(table.part)!, fuseMapFrom(encode(design).join(''))).logic!
  const variables = planVariables([{ logic }])
  const space = nameVariables(createDiagrams(variables.length), variables)
  return {
    name: `${table.part} ${table.mode ?? ''} seed ${seed}`,
    design,
    logic,
    space,
    functions: partFunctions(space, logic),
    random,
  }
}

/** Level of a variable under an assignment; X where there is none. */
function levelOf(space: Space, assignment: Uint8Array, place: readonly ['pin' | 'state', number]): Ternary {
  const index = space.indexOf(place[0], String(place[1]))
  return index < 0 ? X : (assignment[index] as 0 | 1)
}

/**
 * What the reference makes of an assignment: settled from unknown levels, registers so that their pins would show
 * their variables.
 */
function referenceFor({ logic, space }: Made, assignment: Uint8Array): Simulation {
  const simulation = startSimulation(logic, { explain: false })
  const applied = Array.from({ length: logic.pinCount + 1 }, (_, pin) => levelOf(space, assignment, ['pin', pin]))
  simulation.q = logic.cells.map(({ pin, register }) => {
    const level = levelOf(space, assignment, ['state', pin!])
    return level === X ? X : register!.inverted ? ((1 - level) as 0 | 1) : level
  })
  simulation.applied = applied
  simulation.readings = settle(simulation, applied, { readings: applied.map(() => X), applied }).readings
  return simulation
}

const each = TABLES.map((table) => [`${table.part} ${table.mode ?? ''}`.trim(), table] as const)
const seedOf = (table: PartTable): number => 64_000 + 100 * TABLES.indexOf(table)

/** Number of levels that the reference knows; each is the diagrams' too. */
function compareDrives(made: Made, assignment: Uint8Array, what: string): number {
  const { logic, space, functions } = made
  const reference = referenceFor(made, assignment)
  const signals = signalsOf(reference, reference.readings)
  let known = 0
  logic.cells.forEach((output, i) => {
    const expected = driveOf(reference, i, signals)
    for (const part of ['enable', 'value'] as const) {
      if (expected[part] === X) continue
      known++
      if (space.diagrams.evaluate(functions.outputs[i]![part], assignment) !== expected[part])
        throw new Error(`${made.name}, ${what}, pin ${output.pin}: ${part} must be ${expected[part]}`)
    }
  })
  return known
}

test.each(each)('%s: enables and values are those of the reference simulation', (_, table) => {
  for (let i = 0; i < DESIGNS; i++) {
    const made = make(table, seedOf(table) + i)
    const { space, logic, functions, random, name } = made
    expect(functions.outputs.map(({ pin }) => pin)).toEqual(logic.cells.map(({ pin }) => pin))
    // These designs have no loops; where an output reads its own pin it does not depend on it.
    expect(functions.loops, name).toEqual([])
    for (let n = 0; n < ASSIGNMENTS; n++) {
      const assignment = Uint8Array.from(space.variables, () => random(2))
      same(compareDrives(made, assignment, `assignment ${n}`), 2 * logic.cells.length, name)
    }
  }
})

test.each(each)('%s: functions of few variables in every row', (_, table) => {
  for (let i = 0; i < SWEPT_DESIGNS; i++) {
    const made = make(table, seedOf(table) + 10 + i)
    const { space, functions, random, name } = made
    const { diagrams } = space
    const swept = new Set<string>()
    // Functions of more variables in the rows over those of them that come first, the others at random.
    for (const { enable, value } of functions.outputs) {
      const support = [...new Set([enable, value].flatMap((f) => diagrams.support(f)))].slice(0, MOST_SWEPT)
      if (swept.has(support.join())) continue
      swept.add(support.join())
      const assignment = Uint8Array.from(space.variables, () => random(2))
      for (let row = 0; row < 2 ** support.length; row++) {
        support.forEach((variable, k) => (assignment[variable] = (row >> k) & 1))
        same(compareDrives(made, assignment, `row ${row} over ${support.join()}`) > 0, true, name)
      }
    }
    expect(swept.size, name).toBeGreaterThan(0)
  }
})

/** The design under an assignment, by plain Booleans and nothing of the library. */
interface Straight extends Settled {
  readonly design: Design
  readonly holds: (term: Term | undefined) => boolean
}

/** Level that an enabled pin shows while its register holds q. */
function shown({ registers }: Design, { activeHigh }: DesignOutput, q: boolean): boolean {
  return registers?.polarity === 'after' ? q === activeHigh : !q
}

function straightFor({ design, space, logic }: Made, assignment: Uint8Array): Straight {
  const registered = design.outputs.filter(({ kind }) => kind === 'registered')
  // Q is 1 where the pin would then show the level that its variable has.
  const q = new Map(
    registered.map((output) => [
      output.pin,
      shown(design, output, true) === (levelOf(space, assignment, ['state', output.pin]) === 1),
    ]),
  )
  const applied = new Map(
    Array.from({ length: logic.pinCount }, (_, i) => [i + 1, levelOf(space, assignment, ['pin', i + 1]) === 1]),
  )
  const settled = settleStraight(design, q, applied)
  const column = (pin: number): boolean =>
    q.has(pin) && design.registers?.feedback !== 'pin' ? !q.get(pin) : settled.levels.get(pin)!
  return {
    ...settled,
    design,
    holds: (term) => term !== undefined && term.every((literal) => column(Math.abs(literal)) === literal > 0),
  }
}

/** What the functions of a registered output must be, straight from the design. */
function expectedRegister(
  { design, holds, levels }: Straight,
  output: DesignOutput,
): Record<'next' | 'clock' | 'setHigh' | 'setLow' | 'load', boolean> {
  const style = design.registers
  const sum = output.terms.some(holds) !== (output.otherTerms ?? []).some(holds)
  const data = style?.polarity === 'after' ? sum : sum !== output.activeHigh
  const [reset, preset] = [holds(output.reset) || holds(design.reset), holds(output.preset)]
  return {
    next: shown(design, output, holds(design.clockedPreset) || data),
    clock: design.clockPin === undefined ? holds(output.clock) : levels.get(design.clockPin)!,
    // Reset makes Q 0, preset makes it 1.
    setHigh: shown(design, output, false) ? reset : preset,
    setLow: shown(design, output, true) ? reset : preset,
    load: style?.loadPin !== undefined && !levels.get(style.loadPin),
  }
}

const withRegisters = each.filter(([, { kinds }]) => kinds.registered !== undefined)

test.each(withRegisters)('%s: registers and pins are those of straight evaluation', (_, table) => {
  const seen = new Map<string, Set<boolean>>()
  let registers = 0
  for (let i = 0; i < DESIGNS; i++) {
    const made = make(table, seedOf(table) + 20 + i)
    const { design, space, functions, random, name } = made
    const { diagrams } = space
    for (let n = 0; n < ASSIGNMENTS; n++) {
      const assignment = Uint8Array.from(space.variables, () => random(2))
      const straight = straightFor(made, assignment)
      for (const { pin, enable, value, register } of functions.outputs) {
        const what = `${name}, assignment ${n}, pin ${pin}`
        const output = design.outputs.find((one) => one.pin === pin)!
        const outside = diagrams.variable(space.indexOf('pin', String(pin)))
        same(diagrams.evaluate(enable, assignment) === 1, straight.driving.has(pin!), what)
        same(diagrams.evaluate(diagrams.choose(enable, value, outside), assignment) === 1, straight.levels.get(pin!), what)
        const alwaysBypassed = output.reset?.length === 0 && output.preset?.length === 0
        same(register !== null, output.kind === 'registered' && !alwaysBypassed, what)
        if (!register) continue
        registers++
        const expected = expectedRegister(straight, output)
        for (const key of ['next', 'clock', 'setHigh', 'setLow', 'load'] as const) {
          same(diagrams.evaluate(register[key], assignment) === 1, expected[key], `${what}: ${key}`)
          seen.set(key, (seen.get(key) ?? new Set()).add(expected[key]))
        }
        same(register.bypass, design.registers?.bypass ?? false, what)
        // Registers start with Q low; makes of a PAL differ, so that nothing is published for all.
        same(register.powerUp, startsUnknown(table) ? null : Number(shown(design, output, false)), what)
      }
    }
  }
  expect(registers).toBeGreaterThan(0)
  expect(seen.get('next')!.size).toBe(2)
  expect(seen.get('clock')!.size).toBe(2)
})

test('levels of unread pins and the own loop variable are nothing that a function depends on', () => {
  const allowed = new Set(['pin', 'state'])
  for (const [, table] of each) {
    const { space, functions, logic, name } = make(table, seedOf(table) + 40)
    const used = (f: Node): string[] => space.diagrams.support(f).map((variable) => space.variables[variable]!.kind)
    for (const { enable, value, register } of functions.outputs)
      expect(
        [
          enable,
          value,
          ...(register ? [register.next, register.clock, register.setHigh, register.setLow, register.load] : []),
        ]
          .flatMap(used)
          .filter((kind) => !allowed.has(kind)),
        name,
      ).toEqual([])
    // Each variable once, and found by its kind and name.
    space.variables.forEach(({ kind, name: pin }, i) => expect(space.indexOf(kind, pin)).toBe(i))
    expect(logic.supplyPins.map((pin) => space.indexOf('pin', String(pin)))).toEqual([-1, -1])
  }
})
