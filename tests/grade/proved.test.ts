/**
 * Faults that no vector shows, against trying every state and every change of levels on machines read straight from the
 * fuses: what does the same cannot be shown, what does not is missed, registers unknown or at power-up.
 */
import { expect, test } from 'vitest'
import { fuseMapFrom, writeFuseFile } from '../../src/index'
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
  // Polarity of registers that can be reset; the fuses that choose registers, but that of the register at an enable.
  reset: [5808, 5809, 5810, 5813, 5815, 5817, 5819, 5821, 5823, 5825, 5827],
  // Pin 23 in its own enable and terms.
  xor: [2, 3, 43],
}

/** Design, registers at the start, and one fault in how many is tried. */
const CASES = [
  ['ring', 'unknown', 3],
  ['ring', 'power-up', 1],
  ['reset', 'unknown', 5],
  ['reset', 'power-up', 4],
  ['xor', 'unknown', 11],
] as const

test.each(CASES)('%s, registers %s', (name, start, stride) => {
  const design = DESIGNS[name]!
  const states = encode(design)
  const task = granted(gradeTask(writeFuseFile({ fuses: fuseMapFrom(states.join('')) }), { device: design.part }))
  const { graded } = runPieces(gradeFaults(prepareFaultRuns(task.decoded, task.fuses, { set: task.set, start })))
  const own = machineFrom(design.part, states)
  const wrong = graded.flatMap(({ fault, state }, i) => {
    const other = states.slice()
    other[fault.fuse] = 1 - other[fault.fuse]!
    const faulty = i % stride === 0 ? machineOf(design.part, other) : null
    if (!faulty) return []
    const { relation } = relationByBruteForce(own, faulty, { start: start === 'unknown' ? 'any-state' : start })
    const proved = { equal: 'cannotBeShown', different: 'missed', open: 'undecided' }[relation]
    const expected = OPEN[name]!.includes(fault.fuse) ? 'undecided' : proved
    return state === expected ? [] : [`fuse ${fault.fuse} (${fault.class}): ${state}, not ${expected}`]
  })
  expect(wrong).toEqual([])
})

/** The machine of a map; null where no table says what it is. */
function machineOf(part: string, states: Uint8Array) {
  try {
    return machineFrom(part, states)
  } catch {
    return null
  }
}
