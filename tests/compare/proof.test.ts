/**
 * The proof against the whole truth table: what the comparison calls equal is equal in every row, what it calls
 * different differs in as many rows as it says and in the one that it shows. Rows come from straight evaluation of the
 * designs, or from the digits of a table.
 */
import { expect, test } from 'vitest'
import { runPieces } from '../../src/arguments/pieces'
import { compareLogic } from '../../src/jobs/compare/compare-logic'
import type { LogicSide } from '../../src/jobs/compare/logic-sides'
import { findDevice } from '../../src/index'
import { decode } from '../../src/logic'
import type { Design, DesignOutput, Term } from '../parts/design'
import { encode, TABLES, tableOf, termLimits, type PartTable } from '../parts/encoder'
import { pick, randomDesign, seededRandom, shuffled, type Random } from '../parts/random-designs'
import { sampleSize } from '../sample-size'
import {
  compareDesigns,
  counterLevels,
  levelsOf,
  mapOf,
  output,
  outputAt,
  ratioAt,
  ratioOf,
  shownAt,
  sweep,
} from './pairs'

const PINS = [2, 3, 4] as const

/** Values of a function of three variables: bit `row` of the number, variable i in bit i of the row. */
const valueAt = (f: number, row: number): number => (f >> row) & 1
const rowTerm = (row: number): Term => PINS.map((pin, i) => ((row >> i) & 1 ? pin : -pin))
const ROWS = [0, 1, 2, 3, 4, 5, 6, 7]

/** One term a row in which the function is 1. */
function minterms(f: number): Term[] {
  return ROWS.filter((row) => valueAt(f, row)).map(rowTerm)
}

/** Every product that lies in the function and in no other such product; 27 products of three variables are tried. */
function primes(f: number): Term[] {
  const products = Array.from({ length: 27 }, (_, n) => PINS.map((_pin, i) => Math.floor(n / 3 ** i) % 3))
  const rowsIn = (product: readonly number[]): number[] =>
    ROWS.filter((row) => product.every((level, i) => level === 2 || level === ((row >> i) & 1)))
  const inside = products.filter((product) => rowsIn(product).every((row) => valueAt(f, row)))
  const isPrime = (product: readonly number[]): boolean =>
    !inside.some((other) => other !== product && rowsIn(product).every((row) => rowsIn(other).includes(row)))
  return inside
    .filter(isPrime)
    .map((product) => PINS.flatMap((pin, i) => (product[i] === 2 ? [] : [product[i] ? pin : -pin])))
}

const CELLS = [19, 18, 17, 16, 15, 14, 13, 12]

const FUNCTIONS = Array.from({ length: 256 }, (_, f) => f)

function sideOf(outputs: readonly DesignOutput[]): LogicSide {
  return {
    logic: decode(findDevice('16V8')!, mapOf({ part: '16V8', mode: 'simple', outputs })).logic!,
    powerUp: 'published',
    names: null,
  }
}

/** Blocks of eight functions that a function is compared with: its own, and one more for one in four; all of 32. */
const blocksOf = (f: number): number => sampleSize(f % 4 === 0 ? 2 : 1, 32)

test('each of the 256 functions of three variables against itself and others: equal exactly where the tables are, ratios exact', () => {
  // f by its minterms and active high; g by all its primes where it covers, active low by the primes of its
  // complement elsewhere.
  const first = FUNCTIONS.map((f) => sideOf(CELLS.map((pin) => output(pin, minterms(f), { activeHigh: true }))))
  const second = Array.from({ length: 32 }, (_, block) =>
    sideOf(
      CELLS.map((pin, i) => {
        const g = 8 * block + i
        return i % 2 ? output(pin, primes(g), { activeHigh: true }) : output(pin, primes(255 - g))
      }),
    ),
  )
  const wrong: string[] = []
  const met = new Set<number>()
  for (const f of FUNCTIONS)
    // Each function's own block, and others five apart.
    for (let step = 0; step < blocksOf(f); step++) {
      const block = ((f >> 3) + 5 * step) % 32
      const side = second[block]!
      for (const { pin, relation, differingInputs, ofInputs, counterexample } of runPieces(compareLogic(first[f]!, side))
        .outputs) {
        const g = 8 * block + CELLS.indexOf(pin)
        met.add(f ^ g)
        const differing = ROWS.filter((row) => valueAt(f ^ g, row)).length
        const shown = counterexample && PINS.reduce((row, at, i) => row | ((counterexample.inputs[at] ?? 0) << i), 0)
        const right =
          relation === (f === g ? 'equivalent' : 'different') &&
          BigInt(differingInputs!) * 8n === BigInt(differing) * BigInt(ofInputs!) &&
          (shown === null
            ? f === g
            : valueAt(f ^ g, shown) === 1 &&
              counterexample!.intended === (valueAt(f, shown) ? 'H' : 'L') &&
              counterexample!.readback === (valueAt(g, shown) ? 'H' : 'L'))
        if (!right) wrong.push(`${f} against ${g}: ${relation} ${differingInputs}/${ofInputs}`)
      }
    }
  expect(wrong).toEqual([])
  // Many sets of rows came up as the difference.
  expect(met.size).toBeGreaterThan(60)
})

test('the same through whole files: each function against itself, one row away, and its complement', () => {
  for (let f = 1; f < 255; f += 5) {
    const others = [f, f ^ 0x10, 255 - f, (f * 7) & 255]
    const a: Design = {
      part: '16V8',
      mode: 'simple',
      outputs: others.map((_, i) => output(CELLS[i]!, minterms(f), { activeHigh: true })),
    }
    const b: Design = {
      part: '16V8',
      mode: 'simple',
      outputs: others.map((g, i) => output(CELLS[i]!, primes(255 - g))),
    }
    const comparison = compareDesigns(a, b)
    expect(comparison.relation, `f ${f}`).toBe('different')
    others.forEach((g, i) => {
      const differing = ROWS.filter((row) => valueAt(f ^ g, row)).length
      expect([f, g, outputAt(comparison, CELLS[i]!).relation]).toEqual([f, g, differing ? 'different' : 'equivalent'])
      expect([f, g, ratioAt(comparison, CELLS[i]!)]).toEqual([f, g, ratioOf(differing, 8)])
    })
    const own: Design = { ...b, outputs: others.map((_, i) => output(CELLS[i]!, primes(255 - f))) }
    expect(compareDesigns(a, own).relation, `f ${f}`).toBe('equivalent')
  }
})

/** Tables in which every cell can be combinational, read as if that were all. */
const COMBINATIONAL: readonly PartTable[] = TABLES.filter(
  ({ kinds, cells }) => kinds.combinational && cells.every(({ only }) => only !== 'registered'),
).map((table) => {
  const { registered: _, ...kinds } = table.kinds
  return { ...table, kinds }
})

/** A random design over at most eight pins that nothing drives for good. */
function narrowDesign(table: PartTable, random: Random): Design {
  const design = randomDesign(table, random)
  const outputs = new Set(table.cells.map(({ pin }) => pin))
  const inputs = shuffled(
    random,
    table.columns.filter((pin) => !outputs.has(pin)),
  ).slice(0, 6)
  const also = shuffled(random, [...outputs]).slice(0, 2)
  const driven = design.outputs.filter(({ enable }) => enable === 'always').map(({ pin }) => pin)
  const kept = new Set([...inputs, ...also, ...driven])
  const literal = (each: number): number =>
    kept.has(Math.abs(each)) ? each : Math.sign(each) * inputs[Math.abs(each) % inputs.length]!
  const term = (each: Term): Term => [...new Set(each.map(literal))]
  const { reset: _, clockedPreset: __, ...rest } = design
  return {
    ...rest,
    outputs: design.outputs.map((each) => ({
      ...each,
      terms: each.terms.map(term),
      enable:
        typeof each.enable === 'object' && 'term' in each.enable ? { term: term(each.enable.term) } : each.enable,
    })),
  }
}

function replaced(design: Design, changed: DesignOutput): Design {
  return { ...design, outputs: design.outputs.map((each) => (each.pin === changed.pin ? changed : each)) }
}

/** One array fuse or one polarity fuse flipped: a literal of a term put in or taken out, or the sense of an output. */
function mutated(table: PartTable, design: Design, random: Random): Design {
  const live = design.outputs.filter(({ terms }) => terms.length > 0)
  const chosen = pick(random, live.length > 0 ? live : design.outputs)
  const turnable =
    table.kinds[chosen.kind]!.activeHigh === undefined &&
    table.cells[0]!.polarityFuse !== undefined &&
    chosen.kind !== 'input'
  if (chosen.terms.length === 0 || (turnable && random(6) === 0))
    return turnable ? replaced(design, { ...chosen, activeHigh: !chosen.activeHigh }) : design
  const at = random(chosen.terms.length)
  const own = chosen.terms[at]!
  const readable = new Set(design.outputs.flatMap(({ terms }) => terms.flat().map(Math.abs)))
  const outputs = new Set(table.cells.map(({ pin }) => pin))
  const candidates = [...own, ...[...readable].filter((pin) => !outputs.has(pin)).flatMap((pin) => [pin, -pin])]
  if (candidates.length === 0) return design
  const flipped = pick(random, candidates)
  const term = own.includes(flipped) ? own.filter((literal) => literal !== flipped) : [...own, flipped]
  return replaced(design, { ...chosen, terms: chosen.terms.map((each, i) => (i === at ? term : each)) })
}

/** The same functions with other terms: a term split by a variable where there is room, order turned round. */
function rewritten(table: PartTable, design: Design, random: Random): Design {
  const outputs = new Set(table.cells.map(({ pin }) => pin))
  const inputs = table.columns.filter(
    (pin) =>
      !outputs.has(pin) &&
      design.outputs.some(({ terms }) => terms.flat().some((literal) => Math.abs(literal) === pin)),
  )
  return {
    ...design,
    outputs: design.outputs.map((each) => {
      const { first, other } = termLimits(table, each.pin, each.kind)
      const [term, ...rest] = each.terms
      if (other > 0 || !term || inputs.length === 0 || each.terms.length >= first)
        return { ...each, terms: [...each.terms].reverse() }
      const by = pick(random, inputs)
      return { ...each, terms: [...rest.reverse(), [...term, by], [...term, -by]] }
    }),
  }
}

function expectExact(a: Design, b: Design, name: string): { readonly differing: number; readonly equal: number } {
  const { inputs, differing } = sweep(a, b)
  expect(inputs, name).toBeLessThanOrEqual(16)
  const comparison = compareDesigns(a, b)
  const count = { differing: 0, equal: 0 }
  for (const { pin, relation, differingInputs, ofInputs, counterexample } of comparison.outputs) {
    const rows = differing.get(pin) ?? 0
    const where = `${name}, pin ${pin}`
    expect(relation, where).toBe(rows > 0 ? 'different' : 'equivalent')
    expect(ratioOf(differingInputs!, ofInputs!), where).toBe(ratioOf(rows, 2 ** inputs))
    count[rows > 0 ? 'differing' : 'equal']++
    if (rows === 0) continue
    const levels = counterLevels(outputAt(comparison, pin))
    expect([counterexample!.intended, counterexample!.readback], where).toEqual([
      shownAt(a, pin, { levels }),
      shownAt(b, pin, { levels }),
    ])
    expect(counterexample!.intended, where).not.toBe(counterexample!.readback)
  }
  const any = [...differing.values()].some((rows) => rows > 0)
  const sameFuses = String(encode(a)) === String(encode(b))
  expect(comparison.relation, name).toBe(any ? 'different' : sameFuses ? 'identical' : 'equivalent')
  for (const { pin } of a.outputs)
    if (differing.get(pin)! > 0)
      expect(
        comparison.outputs.map((each) => each.pin),
        name,
      ).toContain(pin)
  return count
}

const DESIGNS = sampleSize(1, 8)

test.each(COMBINATIONAL.map((table) => [`${table.part} ${table.mode ?? ''}`.trim(), table] as const))(
  '%s: random designs, single fuses flipped, other covers',
  (_, table) => {
    const found = { differing: 0, equal: 0 }
    for (let seed = 31_000; seed < 31_000 + DESIGNS; seed++) {
      const random = seededRandom(seed + 100 * COMBINATIONAL.indexOf(table))
      const design = narrowDesign(table, random)
      const others = [
        rewritten(table, design, random),
        mutated(table, design, random),
        mutated(table, rewritten(table, design, random), random),
        narrowDesign(table, random),
      ]
      others.forEach((other, i) => {
        const { differing, equal } = expectExact(
          design,
          other,
          `${table.part} ${table.mode ?? ''} seed ${seed}, pair ${i}`,
        )
        found.differing += differing
        found.equal += equal
      })
    }
    expect(found.differing).toBeGreaterThan(DESIGNS)
    expect(found.equal).toBeGreaterThan(DESIGNS)
  },
)

/** A design of one part moved to another: part and mode changed, pins renumbered. */
function moved(
  design: Design,
  {
    part,
    mode,
    toOther = (pin) => pin,
  }: { readonly part: string; readonly mode: string | null; readonly toOther?: (pin: number) => number },
): Design {
  const literal = (each: number): number => Math.sign(each) * toOther(Math.abs(each))
  return {
    part,
    mode,
    outputs: design.outputs.map((each) => ({
      ...each,
      pin: toOther(each.pin),
      terms: each.terms.map((term) => term.map(literal)),
      enable:
        typeof each.enable === 'object' && 'term' in each.enable
          ? { term: each.enable.term.map(literal) }
          : each.enable,
    })),
  }
}

/** Inputs 1 to 9 stay, 11 becomes 10, and outputs 12 to 19 become 14 to 21: a choice, made here. */
const TO_24 = (pin: number): number =>
  pin < 10 ? pin : pin === 11 ? 10 : pin >= 12 && pin <= 19 ? pin + 2 : pin === 10 ? 12 : pin === 20 ? 24 : pin + 5
/**
 * 22V10 to 26CV12: inputs 1 to 6, 7 to 11 and 13 become 1 to 6 and 8 to 13; outputs 14 to 23 become 15 to 20, 22 to
 * 25.
 */
const TO_28 = (pin: number): number =>
  pin < 7
    ? pin
    : pin < 12
      ? pin + 1
      : pin === 13
        ? 13
        : pin >= 14 && pin <= 19
          ? pin + 1
          : pin >= 20 && pin <= 23
            ? pin + 2
            : pin === 12
              ? 21
              : pin === 24
                ? 7
                : pin + 100

interface Move {
  readonly from: string
  readonly part: string
  readonly mode: string | null
  readonly toOther?: (pin: number) => number
}

const SMALL_20 = ['10H8', '10L8', '12H6', '12L6', '14H4', '14L4', '16H2', '16L2']
const SMALL_24 = ['14L8', '16L6', '18L4', '20L2']

const MOVES: readonly Move[] = [
  { from: '16L8', part: '16V8', mode: 'complex' },
  { from: '16L8', part: '22V10', mode: null, toOther: TO_24 },
  { from: '20L8', part: '20V8', mode: 'complex' },
  { from: '20L8', part: '22V10', mode: null },
  { from: '20L10', part: '22V10', mode: null },
  { from: '12L10', part: '22V10', mode: null },
  { from: '22V10', part: '26CV12', mode: null, toOther: TO_28 },
  ...SMALL_20.map((from) => ({ from, part: '16V8', mode: 'simple' })),
  ...SMALL_20.map((from) => ({ from, part: '22V10', mode: null, toOther: TO_24 })),
  ...SMALL_24.map((from) => ({ from, part: '20V8', mode: 'simple' })),
  ...SMALL_24.map((from) => ({ from, part: '22V10', mode: null })),
]

/** At most as many terms an output as the other part has there, and the first of those cells alone that both have. */
function fitting(table: PartTable, design: Design, { part, mode, toOther = (pin) => pin }: Move): Design {
  const other = tableOf({ part, mode })
  return {
    ...design,
    outputs: design.outputs.map((each) => ({
      ...each,
      terms: each.terms.slice(
        0,
        Math.min(
          termLimits(table, each.pin, each.kind).first,
          termLimits(other, toOther(each.pin), 'combinational').first,
        ),
      ),
    })),
  }
}

/** A term of an output that reads something, with one literal turned round. */
function literalTurned(design: Design): { readonly design: Design; readonly pin: number } | null {
  const chosen = design.outputs.find(
    ({ terms, enable }) => enable !== 'never' && terms.some((term) => term.length > 0),
  )
  if (!chosen) return null
  const at = chosen.terms.findIndex((term) => term.length > 0)
  const terms = chosen.terms.map((term, i) => (i === at ? [-term[0]!, ...term.slice(1)] : term))
  return { design: replaced(design, { ...chosen, terms }), pin: chosen.pin }
}

test.each(MOVES.map((move) => [move.from, `${move.part} ${move.mode ?? ''}`.trim(), move] as const))(
  '%s and %s: one design in both is equal, with a literal turned round it is not',
  (_, __, move) => {
    const { from, toOther = (pin: number) => pin } = move
    const table = COMBINATIONAL.find(({ part, mode }) => part === from && mode === null)!
    const other = tableOf(move)
    const pins =
      move.toOther && Object.fromEntries(Array.from({ length: table.pinCount }, (___, i) => [i + 1, toOther(i + 1)]))
    let told = 0
    for (let seed = 32_000; seed < 32_004; seed++) {
      const random = seededRandom(seed + 100 * MOVES.indexOf(move))
      const design = fitting(table, narrowDesign(table, random), move)
      const name = `${from} to ${move.part} seed ${seed}`
      const options = pins ? { pins } : {}
      const target = moved(design, move)
      const same = compareDesigns(design, target, options)
      expect([name, same.relation, same.fuseDifferences.count]).toEqual([name, 'equivalent', null])
      if (other.pinCount !== table.pinCount)
        expect(compareDesigns(design, target).relation, name).toBe('not-comparable')
      const turned = literalTurned(design)
      if (!turned) continue
      const { inputs, differing } = sweep(design, turned.design)
      const comparison = compareDesigns(design, moved(turned.design, move), options)
      const rows = differing.get(turned.pin)!
      expect([name, comparison.relation]).toEqual([
        name,
        [...differing.values()].some(Boolean) ? 'different' : 'equivalent',
      ])
      if (comparison.outputs.some(({ pin }) => pin === turned.pin))
        expect([name, ratioAt(comparison, turned.pin)]).toEqual([name, ratioOf(rows, 2 ** inputs)])
      if (rows === 0) continue
      told++
      const shown = outputAt(comparison, turned.pin)
      const [levels, others] = [counterLevels(shown), counterLevels(shown, toOther)]
      expect([shown.counterexample!.intended, shown.counterexample!.readback], name).toEqual([
        shownAt(design, turned.pin, { levels }),
        shownAt(moved(turned.design, move), toOther(turned.pin), { levels: others }),
      ])
    }
    expect(told).toBeGreaterThan(0)
  },
)

test('the rows that sweeps go through are all different', () => {
  expect(new Set(Array.from({ length: 16 }, (_, row) => [...levelsOf([2, 5, 9, 14], row)].join())).size).toBe(16)
})
