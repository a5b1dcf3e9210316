/**
 * The bit-parallel evaluator against the reference simulation: the same answers, unknown ones included, on random
 * designs of every part and mode; and truth tables against straight evaluation of the reference, row by row.
 */
import { expect, test } from 'vitest'
import { pinCells } from '../../src/logic/logic'
import { levelInTable } from '../../src/jobs/table/level-in-table'
import { truthTable, type TruthTable } from '../../src/jobs/table/truth-table'
import { findDevice, fuseMapFrom } from '../../src/index'
import { decode, type Decoded, type Logic } from '../../src/logic'
import { applyLevels } from '../../src/logic/simulate'
import {
  driveOf,
  settle,
  signalsOf,
  startSimulation,
  type Applied,
  type Simulation,
} from '../../src/logic/simulation-state'
import { createDriveWords, driveWords, prepareSweep, settleWords, type Words } from '../../src/logic/sweep'
import { X, type Ternary } from '../../src/logic/ternary'
import { encode, TABLES, type PartTable } from '../parts/encoder'
import { randomAsynchronousDesign } from '../parts/random-asynchronous'
import { randomDesign, seededRandom } from '../parts/random-designs'
import { same } from '../same'
import { sampleSize } from '../sample-size'

const DESIGNS = sampleSize(2, 12)

function designs(
  table: PartTable,
): { readonly name: string; readonly decoded: Decoded; readonly random: (below: number) => number }[] {
  return Array.from({ length: DESIGNS }, (_, i) => {
    const seed = 81_000 + 100 * TABLES.indexOf(table) + i
    const random = seededRandom(seed)
    const design =
      table.kinds.registered?.clockRow !== undefined
        ? randomAsynchronousDesign(table, random)
        : randomDesign(table, random)
    return {
      name: `${table.part} ${table.mode ?? ''} seed ${seed}`,
      decoded: decode(findDevice(table.part)!, fuseMapFrom([...encode(design)].join(''))),
      random,
    }
  })
}

/** 0, 1 or X for each of `count` places. */
const ternaries = (count: number, random: (below: number) => number): Ternary[] =>
  Array.from({ length: count }, () => Math.min(2, Math.floor(random(12) / 5)) as Ternary)

const bitOf = ({ zero, one }: Words, row: number): Ternary => {
  const [can0, can1] = [(zero >>> row) & 1, (one >>> row) & 1]
  same(can0 + can1 > 0, true, 'a level is something')
  return can0 && can1 ? X : can1 ? 1 : 0
}

/** What the reference makes of one row: settled from unknown levels with the registers as given. */
function referenceRow(logic: Logic, levels: readonly Ternary[], q: readonly Ternary[]): Simulation {
  const simulation = startSimulation(logic, { explain: false })
  const applied = levels as readonly Applied[]
  simulation.q = [...q]
  simulation.applied = [...applied]
  simulation.readings = settle(simulation, applied, { readings: levels.map(() => X), applied }).readings
  return simulation
}

const each = TABLES.map((table) => [`${table.part} ${table.mode ?? ''}`.trim(), table] as const)

test.each(each)('%s: 32 rows at once give what the reference gives row by row', (_, table) => {
  let known = 0
  for (const { name, decoded, random } of designs(table)) {
    const logic = decoded.logic!
    const rows = Array.from({ length: 32 }, () => ({
      levels: ternaries(logic.pinCount + 1, random),
      q: ternaries(logic.cells.length, random),
    }))
    const sweep = prepareSweep(logic)
    const wordOf = (levelOf: (row: (typeof rows)[number]) => Ternary, value: 0 | 1): number =>
      rows.reduce((word, row, r) => (levelOf(row) === 1 - value ? word : word | (1 << r)), 0)
    const applied = {
      zero: Int32Array.from({ length: logic.pinCount + 1 }, (_, pin) => wordOf(({ levels }) => levels[pin]!, 0)),
      one: Int32Array.from({ length: logic.pinCount + 1 }, (_, pin) => wordOf(({ levels }) => levels[pin]!, 1)),
    }
    logic.cells.forEach((_, i) => {
      sweep.zero[logic.pinCount + 1 + i] = wordOf(({ q }) => q[i]!, 0)
      sweep.one[logic.pinCount + 1 + i] = wordOf(({ q }) => q[i]!, 1)
    })
    const drive = createDriveWords()
    settleWords(sweep, applied, drive)
    rows.forEach(({ levels, q }, r) => {
      const reference = referenceRow(logic, levels, q)
      const signals = signalsOf(reference, reference.readings)
      logic.cells.forEach((output, i) => {
        const expected = driveOf(reference, i, signals)
        driveWords(sweep, i, drive)
        const what = `${name}, row ${r}, pin ${output.pin}`
        same(bitOf(drive.enable, r), expected.enable, what)
        same(bitOf(drive.value, r), expected.value, what)
        const read = bitOf({ zero: sweep.zero[output.pin!]!, one: sweep.one[output.pin!]! }, r)
        same(read, reference.readings[output.pin!], what)
        if (expected.value !== X) known++
      })
    })
  }
  expect(known).toBeGreaterThan(DESIGNS * 32)
})

/** Levels of a row of a table by column: bit k of the row. */
function stimulus(
  table: TruthTable,
  row: number,
  logic: Logic,
): { readonly levels: Ternary[]; readonly q: Ternary[] } {
  const levels = Array<Ternary>(logic.pinCount + 1).fill(X)
  const q: Ternary[] = logic.cells.map(() => X)
  table.inputs.forEach(({ kind, pin }, k) => {
    const bit = (Math.floor(row / 2 ** k) & 1) as 0 | 1
    if (kind === 'pin') levels[pin] = bit
    else {
      const i = logic.cells.findIndex((output) => output.pin === pin)
      q[i] = logic.cells[i]!.register!.inverted ? ((1 - bit) as 0 | 1) : bit
    }
  })
  return { levels, q }
}

test.each(each)('%s: a truth table holds what the reference drives, and what its registers take', (_, table) => {
  let compared = 0
  for (const { name, decoded, random } of designs(table)) {
    const logic = decoded.logic!
    for (const { pin, register } of pinCells(logic)) {
      const made = truthTable(decoded, { outputs: [pin], maxInputs: 12 })
      if ('refused' in made) {
        expect('needed' in made && made.needed.length, name).toBeGreaterThan(12)
        continue
      }
      for (let n = 0; n < 16; n++) {
        const row = random(made.rowCount)
        const found = levelInTable(made, 0, row)
        const { levels, q } = stimulus(made, row, logic)
        const clock = register && logic.signals[register.clock.sums[0]![0]?.literals[0]! >>> 1]
        const ownClock =
          register && register.clock.sums[0]![0]?.origin === -1 && clock?.kind === 'pin' ? clock.pin : null
        if (ownClock !== null) levels[ownClock] = 0
        const reference = referenceRow(logic, levels, q)
        const i = logic.cells.findIndex((output) => output.pin === pin)
        const what = `${name}, pin ${pin}, row ${row}`
        if (made.outputs[0]!.kind === 'pin') {
          const { enable, value } = driveOf(reference, i, signalsOf(reference, reference.readings))
          same(found, enable === 0 ? 'Z' : enable === X ? 'X' : '01X'[value], what)
          compared++
        } else if (ownClock !== null) {
          const clocked = reference.applied.map((level, at) => (at === ownClock ? 1 : level))
          applyLevels(reference, clocked)
          const taken = reference.q[i]!
          const level = taken === X ? X : logic.cells[i]!.register!.inverted ? 1 - taken : taken
          // A reset that the new state makes true acts at once in the simulation and belongs to no table of data.
          if (JSON.stringify(logic.cells[i]!.register!.reset.sums) === '[]') same(found, '01X'[level], what)
          compared++
        }
      }
    }
  }
  expect(compared).toBeGreaterThan(16)
})
