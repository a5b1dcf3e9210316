/**
 * Faults that no vector shows, against trying every state and every change of levels on machines read straight from the
 * fuses: what does the same cannot be shown, what does not is missed, registers unknown or at power-up.
 */
import { expect, test } from 'vitest'
import { fuseMapFrom, readDevice, writeFuseFile } from '../../src/index'
import { runPieces } from '../../src/arguments/pieces'
import { prepareFaultRuns } from '../../src/jobs/grade/fault-runs'
import { gradeFaults } from '../../src/jobs/grade/grade'
import { gradeTask } from '../../src/jobs/grade/grade-task'
import { granted } from '../granted'
import type { Design } from '../parts/design'
import { encode } from '../parts/encoder'
import { machineFrom } from '../reference/machine'
import { relationByBruteForce } from '../reference/relation'

const DESIGNS: Readonly<Record<string, Design>> = {
  ring: {
    part: '16V8',
    mode: 'registered',
    outputs: [
      { pin: 19, kind: 'registered', activeHigh: true, enable: { lowPin: 11 }, terms: [[-19, -18]] },
      { pin: 18, kind: 'registered', activeHigh: true, enable: { lowPin: 11 }, terms: [[19, -18]] },
      { pin: 17, kind: 'combinational', activeHigh: false, enable: { term: [2, 19] }, terms: [[18, 2]] },
    ],
  },
  reset: {
    part: '22V10',
    mode: null,
    outputs: [
      { pin: 23, kind: 'registered', activeHigh: true, enable: 'always', terms: [[2, 23], [-22]] },
      { pin: 22, kind: 'registered', activeHigh: false, enable: { term: [2] }, terms: [[-23, 3]] },
    ],
    reset: [2, -3],
    clockedPreset: [-2, -3],
  },
  // Both take pin 2; 11 is met on the way only, since the reset ends it at once.
  pair: {
    part: '22V10',
    mode: null,
    outputs: [
      { pin: 23, kind: 'registered', activeHigh: true, enable: 'always', terms: [[2]] },
      { pin: 22, kind: 'registered', activeHigh: true, enable: 'always', terms: [[2]] },
    ],
    reset: [-23, -22],
  },
  hidden: {
    part: '22V10',
    mode: null,
    outputs: [
      { pin: 23, kind: 'registered', activeHigh: true, enable: 'never', terms: [[2]] },
      { pin: 22, kind: 'registered', activeHigh: true, enable: 'never', terms: [[3]] },
      { pin: 21, kind: 'combinational', activeHigh: false, enable: 'always', terms: [[-23, 2], [1]] },
    ],
  },
  xor: {
    part: '20X4',
    mode: null,
    outputs: [
      {
        ...{ pin: 20, kind: 'registered', activeHigh: false, enable: { lowPin: 13 } },
        ...{ terms: [[2, 20]], otherTerms: [[3], [-2]] },
      },
      { pin: 23, kind: 'combinational', activeHigh: false, enable: { term: [20] }, terms: [[20, 2]] },
    ],
  },
}

/** What is open: fuses that put a register in the place of a gate or take one away, or close a loop, or polarity. */
const OPEN: Readonly<Record<string, readonly number[]>> = {
  // Pin 17 in its own enable and term; the eight fuses that choose registers.
  ring: [522, 523, 555, 2120, 2121, 2122, 2123, 2124, 2125, 2126, 2127],
  // Polarity of registers that can be reset; the fuse that takes the register of pin 23 away.
  reset: [5808, 5809, 5810],
  // Polarity of registers that can be reset, and the fuses that take them away.
  pair: [5808, 5809, 5810, 5811],
  // Of a register that another output shows, and of a gate that becomes a register.
  hidden: [5808, 5809, 5813],
  // Pin 23 in its own enable and terms.
  xor: [2, 3, 43],
}

/** Design, registers at the start, one fault in how many is tried, and the first fuse of these. */
const CASES = [
  ['ring', 'unknown', 5, 0],
  ['ring', 'power-up', 3, 0],
  ['reset', 'unknown', 11, 0],
  ['reset', 'power-up', 9, 0],
  ['pair', 'power-up', 13, 0],
  ['xor', 'unknown', 11, 0],
  ['hidden', 'unknown', 1, 5808],
] as const

test.each(CASES)('%s, registers %s', (name, start, stride, from) => {
  const design = DESIGNS[name]!
  const states = encode(design)
  const task = granted(gradeTask(writeFuseFile({ fuses: fuseMapFrom(states.join('')) }), { device: design.part }))
  const { graded } = runPieces(gradeFaults(prepareFaultRuns(task.decoded, task.fuses, { set: task.set, start })))
  const own = machineFrom(design.part, states)
  const wrong = graded.flatMap(({ fault, state }, i) => {
    const other = states.slice()
    other[fault.fuse] = 1 - other[fault.fuse]!
    const faulty = i % stride === 0 && fault.fuse >= from ? machineOf(design.part, other) : null
    if (!faulty) return []
    const { relation } = relationByBruteForce(own, faulty, { start: start === 'unknown' ? 'any-state' : start })
    const proved = { equal: 'cannotBeShown', different: 'missed', open: 'undecided' }[relation]
    const expected = OPEN[name]!.includes(fault.fuse) ? 'undecided' : proved
    return state === expected ? [] : [`fuse ${fault.fuse} (${fault.class}): ${state}, not ${expected}`]
  })
  expect(wrong).toEqual([])
})

test('what ends a state at once can be shown, although no part rests in that state', () => {
  // From power-up, 00, a clock with pin 2 at 1 takes 11, and the reset makes it 00. Fuse 5 of row 0 puts ¬pin 2 into
  // the reset, so that 11 stays; fuse 4 puts pin 2 in, which is 1 whenever 11 is met: that does the same.
  const design = DESIGNS['pair']!
  const bytes = writeFuseFile({ fuses: fuseMapFrom(encode(design).join('')) })
  const task = granted(gradeTask(bytes, { device: design.part }))
  const runs = prepareFaultRuns(task.decoded, task.fuses, { set: task.set, start: 'power-up' })
  const { graded } = runPieces(gradeFaults(runs))
  const stateOf = (fuse: number) => graded.find(({ fault }) => fault.fuse === fuse)?.state
  expect([stateOf(4), stateOf(5)]).toEqual(['cannotBeShown', 'missed'])
})

/** The machine of a map; null where no table says what it is. */
function machineOf(part: string, states: Uint8Array) {
  try {
    return machineFrom(part, states)
  } catch {
    return null
  }
}

test('where the states that can be met are not known, what differs is open', () => {
  // No data sheet says how the registers of a PAL start.
  const design = DESIGNS['xor']!
  const states = encode(design)
  const task = granted(gradeTask(writeFuseFile({ fuses: fuseMapFrom(states.join('')) }), { device: design.part }))
  const runs = prepareFaultRuns(task.decoded, task.fuses, { set: task.set, start: 'power-up' })
  const own = machineFrom(design.part, states)
  const wrong = runPieces(gradeFaults(runs)).graded.flatMap(({ fault, state }, i) => {
    if (i % 29 > 0) return []
    const other = states.slice()
    other[fault.fuse] = 1 - other[fault.fuse]!
    const { relation } = relationByBruteForce(own, machineFrom(design.part, other), { start: 'any-state' })
    return state === (relation === 'equal' ? 'cannotBeShown' : 'undecided') ? [] : [`fuse ${fault.fuse}: ${state}`]
  })
  expect(wrong).toEqual([])
})

test('the polarity of a register that has no pin and is read by nothing cannot be shown', () => {
  // Rows of four columns (pins 1 and 2): cell B has rows 0 and 1 (clock, data), pin 3 rows 2 to 4 (enable besides).
  const setting = { output: 'registered', polarity: 'before', inverting: false }
  const device = readDevice({
    part: 'BURIED',
    ...{ fuseCount: 22, pinCount: 5, groundPin: 4, powerPin: 5, array: { rows: 5, columns: 4 } },
    blocks: [
      { use: 'array', name: 'AND array', first: 0, count: 20 },
      { use: 'polarity', name: 'polarity', first: 20, count: 2 },
    ],
    cells: [
      { pin: null, name: 'B', firstRow: 0, rowCount: 2 },
      { pin: 3, firstRow: 2, rowCount: 3 },
    ],
    modes: [
      {
        columns: [1, 2],
        registerFeedback: 'pin',
        cellSettings: [0, 1],
        settings: [
          { ...setting, enable: 'never', clock: { row: 0 }, sums: [{ from: 1, count: 1 }] },
          { ...setting, enable: { row: 0 }, clock: { row: 1 }, sums: [{ from: 2, count: 1 }] },
        ],
      },
    ],
  })
  // Clocks are pin 1, data pin 2; pin 3 is always on.
  const cell = '01111101'
  const task = granted(gradeTask(fuseMapFrom(`${cell}1111${cell}00`), { device }))
  const runs = prepareFaultRuns(task.decoded, task.fuses, { set: task.set, start: 'unknown' })
  const { graded } = runPieces(gradeFaults(runs))
  expect(graded.find(({ fault }) => fault.fuse === 20)?.state).toBe('cannotBeShown')
})
