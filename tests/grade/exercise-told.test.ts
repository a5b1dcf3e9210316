/** What making vectors tells beside its counts: start, misses, limits, and the file that it makes. */
import { expect, test } from 'vitest'
import type { Progress } from '../../src/arguments/watch'
import { fuseMapFrom, readFuseFile, writeFuseFile } from '../../src/index'
import { exercise, type Exercise, type ExerciseOptions } from '../../src/vectors'
import { granted } from '../granted'
import type { Design, DesignOutput, Term } from '../parts/design'
import { encode } from '../parts/encoder'

const register = (pin: number, ...terms: readonly Term[]): DesignOutput => {
  return { pin, kind: 'registered', activeHigh: false, enable: { lowPin: 11 }, terms }
}
const gate = (pin: number, ...terms: readonly Term[]): DesignOutput => {
  return { pin, kind: 'combinational', activeHigh: false, enable: 'always', terms }
}
const on16R4 = (...outputs: readonly DesignOutput[]): Design => ({ part: '16R4', mode: null, outputs })
const bytesOf = (design: Design): Uint8Array =>
  writeFuseFile({
    ...{ fuses: fuseMapFrom(encode(design).join('')), designSpecification: 'A note', notes: ['another'] },
    ...{ vectors: [{ number: 1, conditions: 'N'.repeat(20), offset: null }], otherFields: ['DX1'] },
  })
const made = (design: Design, options: ExerciseOptions = {}): Exercise =>
  granted(exercise(bytesOf(design), { device: design.part, ...options }))
const codesOf = ({ findings }: Exercise): readonly string[] =>
  findings.map(({ code }) => code).filter((code) => code.startsWith('exercise/'))

/** Pin 17 takes its own complement whatever it is, 16 takes pin 2. */
const HALF = on16R4(register(17, [17]), register(16, [2]))

test('registers that never become known are named, and what hangs on them is missed', () => {
  const told = made(HALF)
  expect(codesOf(told)).toEqual(['exercise/start-unknown', 'exercise/missed'])
  const [start, missed] = told.findings.filter(({ code }) => code.startsWith('exercise/'))
  expect([start!.data, missed!.data]).toEqual([{ places: [17] }, { count: told.faults.missed }])
  expect([told.verdict, told.lowerBound]).toEqual(['caution', null])
  expect(codesOf(made(on16R4(register(16, [2]))))).not.toContain('exercise/start-unknown')
})

const INVERTER: Design = { part: '10L8', mode: null, outputs: [gate(19, [1])] }

test('one fault alone that two vectors leave is told', () => {
  // Pin 19 is ¬p1. A literal of another pin in its term shows with p1 at 1, and there at one level of that pin: two
  // vectors, in which all other pins stand at both levels. That p1 is left out shows with p1 at 0 alone: a third.
  const two = made(INVERTER, { maxVectors: 2 })
  expect(two).toMatchObject({ vectors: 2, verdict: 'caution', faults: { missed: 1, undecided: 0 } })
  expect(codesOf(two)).toEqual(['exercise/missed'])
  const three = made(INVERTER, { maxVectors: 3 })
  expect(three).toMatchObject({ vectors: 3, faults: { missed: 0, undecided: 0 } })
  expect(codesOf(three)).toEqual([])
})

test('before each vector it is told how many of the faults that can be shown are shown', () => {
  const looks: Progress[] = []
  made(INVERTER, { onProgress: (look) => void looks.push(look) })
  const vectors = looks.filter(({ work }) => work === 'vectors')
  // Of the twenty literals of the row of ¬p1 each shows where it is changed; all other rows are 0 with a fuse less too.
  expect(vectors.map(({ most }) => most)).toEqual(vectors.map(() => 20))
  // Three vectors show all of them, see above, and each shows some.
  expect(vectors[0]!.done).toBe(0)
  expect(vectors.length).toBeGreaterThanOrEqual(3)
  expect(vectors.every(({ done }, i) => i === 0 || done > vectors[i - 1]!.done)).toBe(true)
})

test('a file of the same fuses and texts with the vectors made, and as many as the caller allows', () => {
  const design = on16R4(register(16, [2]), gate(19, [16, 3]))
  const whole = made(design)
  expect(whole.vectors).toBeGreaterThan(3)
  for (const maxVectors of [1, 2, 3, 65_536]) {
    const told = made(design, { maxVectors })
    expect(told.vectors).toBe(Math.min(maxVectors, whole.vectors))
    const [file, before] = [readFuseFile(told.bytes), readFuseFile(bytesOf(design))]
    expect(file.vectors).toHaveLength(told.vectors)
    expect(file.vectors.map(({ number }) => number)).toEqual(file.vectors.map((_, i) => i + 1))
    expect(file.vectors.every(({ conditions }) => /^[01CKHLZN]{20}$/.test(conditions!))).toBe(true)
    const keys = ['fuses', 'designSpecification', 'notes', 'otherFields'] as const
    for (const key of keys) expect(file[key]).toEqual(before[key])
    expect([file.pinCount, file.vectorLimit]).toEqual([20, told.vectors])
    expect([file.checksums.fuse.status, file.checksums.transmission.status]).toEqual(['match', 'match'])
  }
  for (const maxVectors of [0, 65_537, 1.5])
    expect(() => exercise(bytesOf(design), { device: '16R4', maxVectors })).toThrow(/options\.maxVectors/)
})

test('ends where its steps do, which a finding says with the limit', () => {
  const told = made(HALF, { maxSteps: 30_000 })
  expect(codesOf(told)).toContain('exercise/steps-limit')
  expect(told.findings.find(({ code }) => code === 'exercise/steps-limit')!.data).toEqual({ limit: 30_000 })
  expect(codesOf(made(HALF, { maxSteps: 100_000_000 }))).not.toContain('exercise/steps-limit')
})
