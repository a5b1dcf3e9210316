/**
 * A 22V10 of 5893 fuses, the last of which makes pin 4 a control input, in one of its states: which one is not published
 * (ATF22V10C data sheet), so that where it differs nothing is claimed of what pin 4 has a part in.
 */
import { expect, test } from 'vitest'
import { compare, fuseMapFrom, type Comparison } from '../../src/index'
import type { DesignOutput, Term } from '../parts/design'
import { encode } from '../parts/encoder'
import { codesOf, output } from './pairs'

const design = (...outputs: readonly DesignOutput[]): string => encode({ part: '22V10', mode: null, outputs }).join('')
const sum = (pin: number, ...terms: readonly Term[]): DesignOutput => output(pin, terms, { activeHigh: true })

/** Both with the fuse, at 0 and at 1. */
const unlike = (intended: string, readback: string): Comparison =>
  compare(fuseMapFrom(`${intended}0`), fuseMapFrom(`${readback}1`), { device: '22V10' })

const relationsOf = ({ outputs }: Comparison): unknown => outputs.map(({ pin, relation, reason }) => [pin, relation, reason])

test('of a pin that nothing reads does not matter', () => {
  const comparison = unlike(design(sum(23, [2])), design(sum(23, [2])))
  expect(comparison).toMatchObject({ relation: 'equivalent' })
  expect(codesOf(comparison)).toEqual([])
})

test.each([0, 1])('of a pin that side %i alone reads leaves open what reads it, and nothing else', (side) => {
  // p2 ∧ p4 ∨ p2 is p2, so that both are the same but for what pin 4 is.
  const [reading, plain] = [design(sum(23, [2, 4], [2]), sum(22, [3])), design(sum(23, [2]), sum(22, [3]))]
  const comparison = side === 0 ? unlike(reading, plain) : unlike(plain, reading)
  expect(comparison).toMatchObject({ relation: 'undecided', verdict: 'caution' })
  expect(relationsOf(comparison)).toEqual([
    [22, 'equivalent', null],
    [23, 'undecided', 'power-down'],
  ])
  expect(codesOf(comparison)).toContain('compare/power-down-differs')
})

test('a difference that stands without the pin is one; what reads the pin through another output is open', () => {
  const [a, b] = [
    design(sum(23, [4, 2]), sum(22, [3]), sum(21, [23, 5])),
    design(sum(23, [4, 3]), sum(22, [5]), sum(21, [23, 5])),
  ]
  const comparison = unlike(a, b)
  expect(comparison).toMatchObject({ relation: 'different', verdict: 'fail' })
  expect(relationsOf(comparison)).toEqual([
    [21, 'undecided', 'power-down'],
    [22, 'different', null],
    [23, 'undecided', 'power-down'],
  ])
  const told = comparison.findings.filter(({ code }) => code === 'compare/different')
  expect(told.map(({ data }) => data)).toEqual([{ count: 1, outputs: 'pins', pins: [22] }])
})

test('opposite levels are told of an output that does not hang on the pin', () => {
  const outputs = (activeHigh: boolean): string =>
    design(output(23, [[4]], { activeHigh }), output(22, [[3]], { activeHigh }))
  const comparison = unlike(outputs(true), outputs(false))
  const told = comparison.findings.filter(({ code }) => code === 'compare/opposite-level')
  expect(told.map(({ pin }) => pin)).toEqual([22])
})

test('one side without the fuse is told, and changes nothing', () => {
  const states = design(sum(23, [2, 4]))
  for (const [a, b] of [
    [states, `${states}0`],
    [`${states}0`, states],
  ] as const) {
    const comparison = compare(fuseMapFrom(a), fuseMapFrom(b), { device: '22V10' })
    expect(comparison.relation).toBe('equivalent')
    expect(codesOf(comparison)).toContain('compare/power-down-one-sided')
    expect(comparison.findings.find(({ code }) => code === 'compare/power-down-one-sided')!.data).toEqual({
      pin: 4,
      side: a === states ? 'intended' : 'readback',
      state: 0,
    })
  }
})
