/** The work of each entry point against the size of what it is given, counted: bytes, reads, vectors, steps, rows. */
import { expect, test } from 'vitest'
import { countWork, exponentOf, growthOf } from './counted-work'
import { granted } from './granted'

// Loaded after the count began.
const { check, compare, compareReadings, readFuseFile, rewrite, setFuse, verify, writeFuseFile } = await import('../src/index')
const { runSteps, tableCsv, truthTable, valueChangeDump } = await import('../src/logic')
const { distinguish, exercise, grade } = await import('../src/vectors')
const { examineCapture } = await import('../src/capture')
const { mapOf, output } = await import('./compare/pairs')

/** Eight outputs of two terms each over nine inputs. */
const fuses = mapOf({
  part: '16V8',
  mode: 'simple',
  outputs: [19, 18, 17, 14, 13, 12].map((pin, i) => output(pin, [[2 + i, -3 - i], [-2 - i, 9]])),
})
/** One output of one term, on a part of 320 fuses: each of them is a fault. */
const small = mapOf({ part: '10H8', mode: null, outputs: [output(19, [[2, -3]], { activeHigh: true })] })
const decoded = check(writeFuseFile({ fuses }), { device: '16V8' }).decoded!
const notes = (count: number): string[] => Array.from({ length: count }, (_, i) => ` note ${i}`)
const changed = (count: number): typeof fuses => {
  const copy = { ...fuses, bits: fuses.bits.slice() }
  for (let i = 0; i < count; i++) setFuse(copy, i, 1)
  return copy
}

/** For each entry point: its input of a size, and the work on it. */
const KINDS: Readonly<Record<string, readonly [sizes: readonly number[], prepare: (size: number) => () => unknown]>> = {
  'verify, by vectors': [
    [100, 200, 400, 800],
    (count) => {
      const vectors = Array.from({ length: count }, (_, i) => ({
        number: i + 1,
        conditions: `N${(i & 255).toString(2).padStart(8, '0')}N0XX${'X'.repeat(6)}N`.slice(0, 20),
        offset: null,
      }))
      const bytes = writeFuseFile({ fuses, vectors, pinCount: 20 })
      return () => verify(bytes, { device: '16V8' })
    },
  ],
  'rewrite, by notes': [
    [1000, 2000, 4000, 8000],
    (count) => {
      const file = readFuseFile(writeFuseFile({ fuses, notes: notes(count) }))
      return () => granted(rewrite(file, { security: 0 }))
    },
  ],
  'compare, by differing fuses of the array': [
    [64, 128, 256, 512],
    (count) => {
      const [a, b] = [fuses, changed(count)]
      return () => compare(a, b, { device: '16V8' })
    },
  ],
  'compareReadings, by reads': [
    [4, 8, 16, 32],
    (count) => {
      const reads = Array.from({ length: count }, (_, i) => writeFuseFile({ fuses: changed(i) }))
      return () => compareReadings(reads)
    },
  ],
  'runSteps and valueChangeDump, by steps': [
    [100, 200, 400, 800],
    (count) => {
      const steps = Array.from({ length: count }, (_, i) => ({ set: { 2: (i & 1) as 0 | 1, 3: ((i >> 1) & 1) as 0 | 1 } }))
      return () => valueChangeDump(granted(runSteps(decoded, { steps })))
    },
  ],
  'truthTable and tableCsv, by rows': [
    [64, 128, 256, 512],
    (rows) => {
      const inputs = [2, 3, 4, 5, 6, 7, 8, 9, 11].slice(0, Math.log2(rows))
      const held = Object.fromEntries([2, 3, 4, 5, 6, 7, 8, 9].filter((pin) => !inputs.includes(pin)).map((pin) => [pin, 0 as const]))
      return () => tableCsv(truthTable(decoded, { inputs, held }) as Parameters<typeof tableCsv>[0])
    },
  ],
  'grade, by vectors': [
    [25, 50, 100, 200],
    (count) => {
      const vectors = Array.from({ length: count }, (_, i) => ({
        number: i + 1,
        conditions: `N${(i & 255).toString(2).padStart(8, '0')}N0${'X'.repeat(8)}N`,
        offset: null,
      }))
      const bytes = writeFuseFile({ fuses: small, vectors, pinCount: 20 })
      return () => grade(bytes, { device: '10H8' })
    },
  ],
  // Faults and vectors both grow with the outputs.
  'exercise, by outputs times outputs': [
    [4, 9, 16],
    (size) => {
      const pins = [17, 16, 15, 14].slice(0, Math.sqrt(size))
      const outputs = pins.map((pin, i) => output(pin, [[2 + i, -3 - i], [-2 - i, 9]]))
      const map = mapOf({ part: '14L4', mode: null, outputs })
      return () => exercise(map, { device: '14L4' })
    },
  ],
  'distinguish, by pairs of maps': [
    [6, 15, 28, 66],
    (pairs) => {
      const count = (1 + Math.sqrt(1 + 8 * pairs)) / 2
      const maps = Array.from({ length: count }, (_, i) => changed(i))
      return () => distinguish(maps, { device: '16V8' })
    },
  ],
  'examineCapture, by rows': [
    [1024, 2048, 4096, 8192],
    (rows) => {
      const lines = Math.log2(rows)
      const image = new Uint8Array(rows).map((_, i) => (i * 37) & 255)
      const wiring = { address: Array.from({ length: lines }, (_, i) => i + 1), data: [20, 21, 22, 23, 24, 25, 26, 27] }
      return () => examineCapture(image, { wiring })
    },
  ],
}

/** What grows with the square lies near 2; a table of n inputs looks at each, so a little more than 1 is right. */
const MOST = 1.3

test.for(Object.keys(KINDS))('%s', (kind, { task }) => {
  const [sizes, prepare] = KINDS[kind]!
  const points = sizes.map((size) => {
    const work = prepare(size)
    return [size, countWork(work)] as const
  })
  Object.assign(task.meta, { growth: growthOf(kind, points) })
  expect(exponentOf(points), JSON.stringify(points)).toBeLessThanOrEqual(MOST)
})
