/**
 * Random designs for every part: the exported module against the reference simulation and against straight
 * evaluation.
 */
import { expect, test } from 'vitest'
import { findDevice, fuseMapFrom } from '../../src/index'
import { decode } from '../../src/logic'
import { encode, TABLES, type PartTable } from '../parts/encoder'
import { asynchronousVectors, randomAsynchronousDesign } from '../parts/random-asynchronous'
import { randomDesign, seededRandom, vectorsFor } from '../parts/random-designs'
import { sampleSize } from '../sample-size'
import { judge, runVector, startSideBySide, type SideBySide } from './side-by-side'

const DESIGNS = sampleSize(4, 20)
const VECTORS = 16

/** A random design of a part run through its vectors, and how many of the levels that they expect were judged. */
function runDesign(
  table: PartTable,
  seed: number,
): { readonly pair: SideBySide; readonly expected: number; readonly judged: number } {
  const random = seededRandom(seed)
  const asynchronous = table.kinds.registered?.clockRow !== undefined
  const design = asynchronous ? randomAsynchronousDesign(table, random) : randomDesign(table, random)
  const vectors = asynchronous
    ? asynchronousVectors(table, design, { random, count: 2 * VECTORS })
    : vectorsFor(table, design, { random, count: VECTORS })
  const decoded = decode(findDevice(table.part)!, fuseMapFrom([...encode(design)].join('')))
  const pair = startSideBySide(decoded, `${table.part} ${table.mode ?? ''} seed ${seed}`)
  let [judged, expected] = [0, 0]
  vectors.forEach((conditions, i) => {
    runVector(pair, conditions, `vector ${i + 1}`)
    expected += pair.reference.logic.cells.filter(({ pin }) => 'HLZ'.includes(conditions[pin! - 1]!)).length
    judged += judge(pair, conditions, `vector ${i + 1}`)
  })
  return { pair, expected, judged }
}

test.each(TABLES.map((table) => [`${table.part} ${table.mode ?? ''}`.trim(), table] as const))(
  '%s: the module does what the part does',
  (_, table) => {
    const total = { known: 0, open: 0, unknown: 0, expected: 0, judged: 0 }
    for (let i = 0; i < DESIGNS; i++) {
      const { pair, expected, judged } = runDesign(table, 20_000 + 100 * TABLES.indexOf(table) + i)
      total.known += pair.counts.known
      total.open += pair.counts.open
      total.unknown += pair.counts.unknown
      total.expected += expected
      total.judged += judged
    }
    // Six orders of events, and a vector with a clock is three steps. Only the 20RA10, where inputs clock, leaves
    // much open: where the order of changes counts, a third of all levels.
    const counts = JSON.stringify(total)
    const points = total.known + total.open + total.unknown
    expect(points, counts).toBeGreaterThanOrEqual(6 * DESIGNS * VECTORS * table.cells.length)
    expect(total.known, counts).toBeGreaterThan(points * (table.registers?.loadPin === undefined ? 0.94 : 0.65))
    expect(total.unknown, counts).toBeLessThan(points * 0.01)
    expect(total.judged, counts).toBeGreaterThan(
      total.expected * (table.registers?.loadPin === undefined ? 0.95 : 0.55),
    )
  },
)
