/** Facts about random designs against trying everything: what is constant, what decides, what decides nothing. */
import { expect, test } from 'vitest'
import { findDevice, fuseMapFrom } from '../../src/index'
import { analyse, decode, type Analysis, type SurplusTerm } from '../../src/logic'
import type { Design, DesignOutput, Term } from '../parts/design'
import { cellAt, encode, kindsAt, tableOf, termLimits, type PartTable } from '../parts/encoder'
import {
  pick,
  randomTerm,
  readableBy,
  seededRandom,
  shuffled,
  type Random,
  type Ranked,
} from '../parts/random-designs'
import { sampleSize } from '../sample-size'
import {
  constantEnable,
  constantOf,
  dependenciesOf,
  isContradictory,
  isRegistered,
  namedPins,
  relevantPins,
  sweep,
} from './brute-force'
import { granted } from '../granted'

const DESIGNS = sampleSize(8, 60)
const INPUTS = 4
const OUTPUTS = 4

/** Terms over few pins, some of them split in two by a literal that cancels out again. */
function termsFor(random: Random, pins: readonly number[], limit: number): Term[] {
  const most = Math.min(limit, 4)
  const terms: Term[] = []
  for (let left = random(most + 1); left > 0; left--) {
    const term = randomTerm(random, pins)
    const literal = pick(random, pins)
    if (left > 1 && random(3) === 0)
      terms.push(
        [...term.filter((one) => Math.abs(one) !== literal), literal],
        [...term.filter((one) => Math.abs(one) !== literal), -literal],
      )
    else terms.push(term)
  }
  return terms.slice(0, most)
}

/** A design of few outputs over few inputs; cells that cannot be left out are there all the same. */
function smallDesign(table: PartTable, random: Random): Design {
  const fixed = table.cells.filter(
    ({ only }) => (only ?? table.unusedKind) === 'registered' || table.kinds[table.unusedKind]!.enable === 'always',
  )
  const chosen = new Set(
    [...fixed, ...shuffled(random, table.cells)].slice(0, Math.max(OUTPUTS, fixed.length)).map(({ pin }) => pin),
  )
  const ranks = shuffled(
    random,
    table.cells.map((_, i) => i),
  )
  const ranked = table.cells
    .filter(({ pin }) => chosen.has(pin))
    .map((cell, i): Ranked => ({ pin: cell.pin, kind: pick(random, kindsAt(table, cell)), rank: ranks[i]! }))
  const isOutput = (pin: number): boolean => table.cells.some((cell) => cell.pin === pin)
  const inputs = shuffled(
    random,
    table.columns.filter((pin) => !isOutput(pin) && pin !== table.clockPin),
  ).slice(0, INPUTS)
  const outputs = ranked.map((one): DesignOutput => {
    const wiring = table.kinds[one.kind]!
    const pins = readableBy(table, ranked, one).filter(
      (pin) => inputs.includes(pin) || ranked.some((other) => other.pin === pin && other.kind !== 'input'),
    )
    const { first, other } = termLimits(table, one.pin, one.kind)
    const chance = random(5)
    const enable =
      wiring.enable !== 'row'
        ? (wiring.enable as DesignOutput['enable'])
        : chance === 0
          ? 'never'
          : chance < 3
            ? 'always'
            : { term: randomTerm(random, pins) }
    return {
      pin: one.pin,
      kind: one.kind,
      activeHigh: wiring.activeHigh ?? random(2) === 1,
      enable,
      terms: termsFor(random, pins, first),
      ...(other > 0 ? { otherTerms: termsFor(random, pins, other) } : {}),
    }
  })
  const { part, mode, clockPin, registers } = table
  const shared = (): Term => randomTerm(random, inputs, 1)
  return {
    part,
    mode,
    outputs,
    ...(clockPin === undefined || !outputs.some(isRegistered) ? {} : { clockPin }),
    ...(registers ? { registers } : {}),
    ...(table.resetFuse !== undefined && random(2) ? { reset: shared() } : {}),
    ...(table.presetFuse !== undefined && random(2) ? { clockedPreset: shared() } : {}),
  }
}

const CASES = [
  { part: '16L8', mode: null },
  { part: '16R4', mode: null },
  { part: '16V8', mode: 'registered' },
  { part: '16V8', mode: 'complex' },
  { part: '16V8', mode: 'simple' },
  { part: '20X4', mode: null },
  { part: '22V10', mode: null },
  { part: '14L4', mode: null },
] as const

/** Pins before registers, each by its number. */
const inOrder = (a: string, b: string): number =>
  Number(a.startsWith('q')) - Number(b.startsWith('q')) || Number(a.replace('q', '')) - Number(b.replace('q', ''))

function analysed(design: Design): Analysis {
  return granted(analyse(decode(findDevice(design.part)!, fuseMapFrom(encode(design).join(''))).logic!))
}

test.each(CASES.map((one, i) => [`${one.part} ${one.mode ?? ''}`.trim(), one, i] as const))(
  '%s: facts are those that trying everything shows',
  (_, where, place) => {
    const table = tableOf(where)
    const tally = { idle: 0, constant: 0, never: 0, buried: 0 }
    for (let seed = 6400 + 100 * place; seed < 6400 + 100 * place + DESIGNS; seed++) {
      const name = `${where.part}, seed ${seed}`
      const design = smallDesign(table, seededRandom(seed))
      const swept = sweep(design)
      const facts = analysed(design)
      const clock = String(design.clockPin)
      const relevant = relevantPins(swept)
      // A clock decides wherever a register may take anything; the sweep holds it still, so it is left out here.
      const decided = [...relevant]
        .flatMap((pin) => dependenciesOf(swept, pin))
        .filter((one) => !one.startsWith('q'))
        .map(Number)
      const deciding = [...new Set(decided)].sort((a, b) => a - b)
      expect(
        facts.decidingPins.filter((pin) => pin !== design.clockPin),
        name,
      ).toEqual(deciding)

      const driven = design.outputs.filter((output) => constantEnable(output) === true).map(({ pin }) => pin)
      const idle = namedPins(design).filter(
        (pin) => !driven.includes(pin) && pin !== design.clockPin && !deciding.includes(pin),
      )
      expect(
        facts.idleInputs.filter((pin) => pin !== design.clockPin),
        name,
      ).toEqual(idle)
      expect(facts.loops, name).toEqual([])

      const working = design.outputs.filter(
        (output) => output.kind !== 'input' && (constantEnable(output) !== false || relevant.has(output.pin)),
      )
      const found = facts.outputs.filter(({ pin }) => design.outputs.some((output) => output.pin === pin))
      expect(
        found.map(({ pin }) => pin),
        name,
      ).toEqual(table.cells.map(({ pin }) => pin).filter((pin) => working.some((output) => output.pin === pin)))
      for (const { pin, enabled, constant, dependsOn } of found) {
        const drives = new Set(swept.seen.map(({ shown }) => shown.get(pin) !== 'Z'))
        const when = drives.size === 2 ? 'sometimes' : drives.has(true) ? 'always' : 'never'
        const register = isRegistered(design.outputs.find((output) => output.pin === pin)!)
        // What an output that is never on would show decides nothing.
        const expected = {
          pin,
          enabled: when,
          constant: constantOf(swept, pin),
          dependsOn: dependenciesOf(swept, pin).sort(inOrder),
        }
        expect(
          { pin, enabled, constant, dependsOn: dependsOn.filter((one) => !(register && one === clock)) },
          name,
        ).toEqual(expected)
        tally.constant += Number(constant !== null)
        tally.never += Number(enabled === 'never' && !register)
        tally.buried += Number(enabled === 'never' && register)
      }
      tally.idle += idle.length
    }
    // The designs have something to find.
    expect(tally.constant, JSON.stringify(tally)).toBeGreaterThan(0)
    if (where.part !== '14L4') expect(tally.idle, JSON.stringify(tally)).toBeGreaterThan(0)
  },
)

/** Whether `term` holds under an assignment of pins. */
const holds = (term: Term, levels: ReadonlyMap<number, boolean>): boolean =>
  term.every((literal) => levels.get(Math.abs(literal))! === literal > 0)

test('terms that say nothing new are those whose removal changes no sum, and the first of equal ones stays', () => {
  const table = tableOf({ part: '16L8', mode: null })
  const pins = [2, 3, 4, 5]
  let [same, covered] = [0, 0]
  for (let seed = 6900; seed < 6940; seed++) {
    const random = seededRandom(seed)
    const terms = Array.from({ length: 2 + random(6) }, () => randomTerm(random, pins))
    const design: Design = {
      part: '16L8',
      mode: null,
      outputs: [{ pin: 17, kind: 'combinational', activeHigh: false, enable: 'always', terms }],
    }
    const rows = Array.from({ length: 16 }, (_, i) => new Map(pins.map((pin, k) => [pin, ((i >> k) & 1) === 1])))
    const on = (term: Term): string => rows.map((levels) => Number(holds(term, levels))).join('')
    // The enable comes first in the block of eight rows; blocks are 256 fuses of rows of 32.
    const firstRow = cellAt(table, 17).firstFuse / 32 + 1
    const expected = terms.flatMap((term, i): SurplusTerm[] => {
      if (isContradictory(term)) return []
      const earlier = terms.findIndex((other) => !isContradictory(other) && on(other) === on(term))
      if (earlier < i) return [{ row: firstRow + i, pin: 17, sameAs: firstRow + earlier }]
      const others = terms.filter((other) => on(other) !== on(term))
      const needed = rows.some((levels) => holds(term, levels) && !others.some((other) => holds(other, levels)))
      return needed ? [] : [{ row: firstRow + i, pin: 17, sameAs: null }]
    })
    expect(analysed(design).surplusTerms, `seed ${seed}`).toEqual(expected)
    same += expected.filter(({ sameAs }) => sameAs !== null).length
    covered += expected.filter(({ sameAs }) => sameAs === null).length
  }
  expect(Math.min(same, covered)).toBeGreaterThan(5)
})
