/**
 * Faults of maps with loops, without a vector: each against all total states (levels of the inputs, levels at the pins
 * of the loops) of machines read straight from the fuses. What no total state tells apart does the same. What tells
 * apart while the map rests is missed: the map stays there, and with the fault it does not. The rest is undecided.
 */
import { expect, test } from 'vitest'
import { runPieces } from '../../src/arguments/pieces'
import { fuseMapFrom, writeFuseFile } from '../../src/index'
import { prepareFaultRuns } from '../../src/jobs/grade/fault-runs'
import { gradeFaults, type GradedFault } from '../../src/jobs/grade/grade'
import { allOf, NONE, type Ground } from '../../src/jobs/grade/differences'
import { gradeTask } from '../../src/jobs/grade/grade-task'
import { createDiagrams } from '../../src/logic/diagrams'
import { granted } from '../granted'
import { encode } from '../parts/encoder'
import { holds, valueOf } from '../reference/behaviour'
import { machineFrom, type Machine } from '../reference/machine'
import type { DesignOutput, Term } from '../parts/design'

/** Pins that a total state has; every other pin stands at 0. */
const INPUTS = [2, 3]
const LOOPS = [18, 17]

const output = (pin: number, activeHigh: boolean, terms: readonly Term[]): DesignOutput => ({
  pin,
  kind: 'combinational',
  activeHigh,
  enable: 'always',
  terms,
})

/** Two of the first are circuits of textbooks; the last is none, since p ∨ ¬p is 1 at any level of p. */
const DESIGNS: readonly (readonly [name: string, outputs: readonly DesignOutput[]])[] = [
  ['two NOR gates, each reading the other', [output(18, false, [[2], [17]]), output(17, false, [[3], [18]])]],
  ['a latch that is open while pin 2 is high', [output(18, true, [[2, 3], [-2, 18]])]],
  ['the same with its consensus term', [output(18, true, [[2, 3], [-2, 18], [3, 18]])]],
  ['a latch and a circle that decides nothing', [output(18, true, [[2], [-3, 18]]), output(17, true, [[17], [-17]])]],
]

/** H, L or Z that each of the pins is driven to in a total state. */
function driven({ cells }: Machine, levels: Uint8Array): string {
  const none = new Uint8Array(levels.length)
  return LOOPS.map((pin) => {
    const cell = cells.find((each) => each.pin === pin)
    if (!cell || !cell.enable.some((term) => holds(term, levels, none))) return 'Z'
    return valueOf(cell, levels, none) ? 'H' : 'L'
  }).join('')
}

function totalStates(): Uint8Array[] {
  const pins = [...INPUTS, ...LOOPS]
  return Array.from({ length: 2 ** pins.length }, (_, bits) => {
    const levels = new Uint8Array(25)
    pins.forEach((pin, i) => (levels[pin] = (bits >> i) & 1))
    return levels
  })
}

function restsAt(machine: Machine, levels: Uint8Array): boolean {
  const found = driven(machine, levels)
  return LOOPS.every((pin, i) => found[i] === 'Z' || Number(found[i] === 'H') === levels[pin])
}

test.each(DESIGNS)('%s', (_, outputs) => {
  const states = encode({ part: '16V8', mode: 'complex', outputs })
  const graded = gradedOf(states)
  const own = machineFrom('16V8', states)
  // Literals of other pins change nothing that these total states do not show, but for pins that read as 0 here.
  const columns = [2, 3, 17, 18].flatMap((pin) => [0, 1].map((side) => columnOf(pin) + side))
  const judged = graded.filter(
    ({ fault }) =>
      fault.pin !== null &&
      outputs.some(({ pin }) => pin === fault.pin) &&
      (fault.class !== 'array' || columns.includes(fault.fuse % 32)),
  )
  const constants = LOOPS.map((_, i) => {
    const seen = new Set(totalStates().map((levels) => driven(own, levels)[i]))
    return seen.size === 1 && !seen.has('Z') ? Number(seen.has('H')) : null
  })
  const wrong = judged.flatMap(({ fault, state }) => {
    const other = states.slice()
    other[fault.fuse] = 1 - other[fault.fuse]!
    const faulty = machineOf(other)
    // A mode or cell that is not defined: nobody says what it does.
    if (!faulty) return state === 'undecided' ? [] : [`fuse ${fault.fuse}: ${state}, and not defined`]
    // A pin that is driven to one level in every total state has no other once it is settled.
    const isSettled = (levels: Uint8Array): boolean =>
      LOOPS.every((pin, i) => pin === fault.pin || constants[i] === null || levels[pin] === constants[i])
    const differing = totalStates().filter(
      (levels) => isSettled(levels) && driven(own, levels) !== driven(faulty, levels),
    )
    const atRest = differing.some((levels) => restsAt(own, levels))
    const unequal = atRest ? 'missed' : 'undecided'
    const expected = differing.length === 0 ? 'cannotBeShown' : unequal
    return state === expected ? [] : [`fuse ${fault.fuse} (${fault.class}, pin ${fault.pin}): ${state}, not ${expected}`]
  })
  expect(judged.length).toBeGreaterThan(40)
  expect(wrong).toEqual([])
})

test('a fault by which a circle that decided nothing holds what it has is not proved to do nothing', () => {
  // p = p ∨ ¬p is 1. With ¬p taken out (both fuses of a pair intact make a term 0) p = p holds either level.
  const states = encode({ part: '16V8', mode: 'complex', outputs: [output(17, true, [[17], [-17]])] })
  const graded = gradedOf(states)
  // Row 16 is the enable of pin 17, row 18 its second term.
  const fuse = 18 * 32 + columnOf(17)
  expect(states[fuse]).toBe(1)
  expect(graded.find(({ fault }) => fault.fuse === fuse)?.state).toBe('undecided')
})

test('what a register takes of a loop is open, whether a literal changes or the row is taken out', () => {
  const states = encode({
    part: '16V8',
    mode: 'registered',
    outputs: [
      { pin: 19, kind: 'registered', activeHigh: true, enable: { lowPin: 11 }, terms: [[18, 4], [5]] },
      output(18, false, [[2], [17]]),
      output(17, false, [[3], [18]]),
    ],
  })
  const graded = gradedOf(states)
  const stateOf = (fuse: number) => graded.find(({ fault }) => fault.fuse === fuse)?.state
  // Row 0 is [18, 4] and row 1 is [5]; pins 2, 19, 3, 18, 4 have the first column pairs (16v8_04, p. 5). Fuse 8 takes
  // pin 4 out of row 0, fuse 2128 + i takes row i out, fuse 2048 is the polarity of pin 19.
  expect([8, 2128].map(stateOf)).toEqual(['undecided', 'undecided'])
  // Pin 19 takes the complement at every clock.
  expect(stateOf(2048)).toBe('missed')
})

/** Every fault of a 16V8, without a vector. */
function gradedOf(states: Uint8Array): readonly GradedFault[] {
  const task = granted(gradeTask(writeFuseFile({ fuses: fuseMapFrom(states.join('')) }), { device: '16V8' }))
  const runs = prepareFaultRuns(task.decoded, task.fuses, { set: task.set, start: 'unknown' })
  return runPieces(gradeFaults(runs)).graded
}

/** The machine of a map; null where no table says what it is. */
function machineOf(states: Uint8Array): Machine | null {
  try {
    return machineFrom('16V8', states)
  } catch {
    return null
  }
}

/** First column of a pin in the array of a 16V8 in complex mode (GAL16V8 data sheet, 16v8_04, p. 7: logic diagram). */
function columnOf(pin: number): number {
  const order = [2, 1, 3, 18, 4, 17, 5, 16, 6, 15, 7, 14, 8, 13, 9, 11]
  return 2 * order.indexOf(pin)
}

test('of several places with loops one that is certain tells, whatever is not known of the others', () => {
  const diagrams = createDiagrams(1)
  const x = diagrams.variable(0)
  const ground = (...loops: readonly number[]): Ground => {
    return { space: { diagrams }, functions: { loops: loops.map((pin) => ({ pin, excitation: x })) } } as unknown as Ground
  }
  const [seen, taken] = [{ ...NONE, seen: x }, { ...NONE, taken: x }]
  const of = (...each: Parameters<typeof allOf>[1]) => [allOf(ground(18), each), allOf(ground(), each)]
  expect(of(seen, 'unknown')).toEqual(['differs', 'unknown'])
  expect(of('unknown', taken)).toEqual(['differs', 'unknown'])
  expect(of(NONE, 'unknown')).toEqual(['unknown', 'unknown'])
  expect(of('differs', 'unknown')).toEqual(['differs', 'differs'])
  // Without loops `differs` has no place either; where all have one, they are taken together.
  const both = { ...NONE, seen: x, taken: x }
  expect(of(seen, taken)).toEqual([both, both])
})
