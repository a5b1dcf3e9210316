/** Expressions as masks against straight evaluation, literal by literal, over as many pins and cells as words hold. */
import { expect, test } from 'vitest'
import { prepareFast } from '../../src/logic/fast-logic'
import type { Cube, Expression, Logic, LogicCell, Signal } from '../../src/logic/logic'
import { evaluateMasked, evaluateTerm, isCovered, maskExpression, type Planes } from '../../src/logic/masks'
import { pick, seededRandom, type Random } from '../parts/random-designs'
import { randomLiterals } from './small-logics'

const NEVER: Expression = { sums: [], inverted: false }
const cellAt = (pin: number | null): LogicCell => ({
  pin,
  name: String(pin),
  defined: true,
  enable: NEVER,
  value: NEVER,
  register: null,
})

/** A logic of so many pins and cells, of which all can be read. */
function wideLogic(pinCount: number, cellCount: number): Logic {
  const pins = Array.from({ length: pinCount }, (_, i): Signal => ({ kind: 'pin', pin: i + 1 }))
  const registers = Array.from({ length: cellCount }, (_, cell): Signal => ({
    kind: 'register',
    cell,
    inverted: cell % 3 === 0,
  }))
  const cells = Array.from({ length: cellCount }, () => cellAt(null))
  return { pinCount, supplyPins: [], signals: [...pins, ...registers], cells }
}

type Level = '0' | '1' | 'X'
const turned = (level: Level): Level => (level === 'X' ? 'X' : level === '0' ? '1' : '0')

/** A term: 0 where it holds a contradiction or a 0, else unknown where something is. */
function termLevel({ literals }: Cube, levels: readonly Level[]): Level {
  const all = literals.map((literal) => (literal % 2 ? turned(levels[(literal - 1) / 2]!) : levels[literal / 2]!))
  if (all.includes('0') || literals.some((literal) => literals.includes(literal % 2 ? literal - 1 : literal + 1)))
    return '0'
  return all.includes('X') ? 'X' : '1'
}

function sumLevel(terms: readonly Level[]): Level {
  return terms.includes('1') ? '1' : terms.includes('X') ? 'X' : '0'
}

function levelOf({ sums, inverted }: Expression, levels: readonly Level[]): Level {
  const all = sums.map((sum) => sumLevel(sum.map((cube) => termLevel(cube, levels))))
  if (all.includes('X')) return 'X'
  return (all.filter((level) => level === '1').length + (inverted ? 1 : 0)) % 2 ? '1' : '0'
}

/** Levels of the signals, and the same as planes. */
function randomMoment(
  { signals, cells }: Logic,
  random: Random,
): { readonly levels: Level[]; readonly planes: Planes } {
  const planes: Planes = { pins0: 0, pins1: 0, q0: 0, q1: 0 }
  const q = cells.map((): Level => pick(random, ['0', '1', '0', '1', 'X']))
  q.forEach((level, cell) => {
    if (level !== '1') planes.q0 |= 2 ** cell
    if (level !== '0') planes.q1 |= 2 ** cell
  })
  const levels = signals.map((signal): Level => {
    if (signal.kind === 'register') return signal.inverted ? turned(q[signal.cell]!) : q[signal.cell]!
    const level = pick(random, ['0', '1', '0', '1', 'X'] as const)
    if (level !== '1') planes.pins0 |= 2 ** signal.pin
    if (level !== '0') planes.pins1 |= 2 ** signal.pin
    return level
  })
  return { levels, planes }
}

const NUMBER = { 0: 0, 1: 1, X: 2 } as const

test.each([0, 100, 200])('sums, single terms, and terms that others cover, seeds from %i', (first) => {
  for (let seed = first; seed < first + 100; seed++) {
    const random = seededRandom(seed)
    const logic = wideLogic(30, 31)
    const some = Array.from({ length: 3 }, () => random(logic.signals.length))
    const cube = (): Cube => ({ literals: randomLiterals(random, some), origin: random(9) - 1 })
    const cubes = (): Cube[] => Array.from({ length: random(4) }, cube)
    const expression: Expression = { sums: Array.from({ length: random(3) }, cubes), inverted: random(2) === 1 }
    const masked = maskExpression(logic, expression, null)
    // With rows that can change every term of theirs keeps its place, also one that is 0 now.
    const open = maskExpression(logic, expression, { places: new Map(), literalsOf: () => [] })
    for (let n = 0; n < 6; n++) {
      const { levels, planes } = randomMoment(logic, random)
      const expected = NUMBER[levelOf(expression, levels)]
      const found = [masked, open].map((each) => evaluateMasked(each, planes))
      expect(found, `seed ${seed}`).toEqual([expected, expected])
      if (open.constant !== null) continue
      expect(open.terms).toHaveLength(4 * expression.sums.flat().length)
      const words = [7, planes.pins0, planes.pins1, planes.q0, planes.q1]
      let at = 0
      for (const sum of expression.sums)
        sum.forEach((each, own) => {
          const term = open.terms.subarray(at, at + 4)
          expect(evaluateTerm([...term], words, 1), `seed ${seed}`).toBe(NUMBER[termLevel(each, levels)])
          // A contradiction is never 1: neither covers it.
          const isOther = (other: Cube, i: number): boolean => i !== own && termLevel(other, levels) === '1'
          expect(isCovered(open, at, { planes: words, moment: 1 }), `seed ${seed}`).toBe(sum.some(isOther))
          at += 4
        })
    }
  }
})

test('as many pins and cells as a word has bits but one', () => {
  const fast = (pins: number, cells: number): boolean => prepareFast(wideLogic(pins, cells)) !== null
  expect([fast(31, 3), fast(32, 3), fast(3, 31), fast(3, 32)]).toEqual([true, false, true, false])
})
