/**
 * What the fast ways to look at logic are worth: against the reference simulation row by row, and a proof against
 * trying everything.
 */
import { compare, check, simulate } from '../../../dist/index.js'
import { levelInTable, truthTable } from '../../../dist/logic.js'
import { dense16V8, denseTwins } from '../maps.mjs'
import { ratioOf } from '../timing.mjs'

/** Rows that the reference is timed on; it takes each by itself, so that the rest takes as long in proportion. */
const SAMPLE = 1024
const INPUTS = [1, 2, 3, 4, 5, 6, 7, 8, 9, 11, 12, 13, 14, 17, 18, 19]
const OUTPUTS = [16, 15]

/** The vector that applies a row of the table and expects the level that the table has. */
function vectorOf(table, row, number) {
  const conditions = Array.from({ length: 20 }, () => 'N')
  INPUTS.forEach((pin, k) => (conditions[pin - 1] = String((row >>> k) & 1)))
  OUTPUTS.forEach((pin, i) => (conditions[pin - 1] = levelInTable(table, i, row) === '1' ? 'H' : 'L'))
  return { number, conditions: conditions.join(''), offset: null }
}

function againstReference() {
  const bytes = dense16V8()
  const { decoded } = check(bytes)
  const table = truthTable(decoded, { inputs: INPUTS, outputs: OUTPUTS })
  if (table.rowCount !== 65536 || table.unlisted.length > 0) throw new Error('the bench made another table')
  const set = {
    vectors: Array.from({ length: SAMPLE }, (_, i) => vectorOf(table, i * (65536 / SAMPLE) + (i % 61), i + 1)),
    pinOrder: null,
    defaultCondition: null,
  }
  const reference = () => simulate(bytes, { vectors: set })
  if (reference().results.some(({ result }) => result !== 'passed')) throw new Error('table and reference disagree')
  return (
    (65536 / SAMPLE) *
    ratioOf(reference, () => truthTable(decoded, { inputs: INPUTS, outputs: OUTPUTS }), { pairs: 9 })
  )
}

function againstSweeping() {
  const [first, second] = denseTwins()
  const sweep = (bytes) => truthTable(check(bytes, { device: '22V10' }).decoded, { maxInputs: 22 })
  const sweepBoth = () => {
    const [a, b] = [sweep(first), sweep(second)]
    if (a.rowCount !== 2 ** 22) throw new Error('the bench made another map')
    return (
      a.ones.every((words, i) => words.every((word, at) => word === b.ones[i][at])) &&
      a.open.every((words, i) => words.every((word, at) => word === b.open[i][at]))
    )
  }
  const prove = () => compare(first, second, { device: '22V10' }).relation
  if (prove() !== 'equivalent' || !sweepBoth()) throw new Error('the maps are not the same')
  return ratioOf(sweepBoth, prove, { pairs: 3, warmUp: 1 })
}

export const logic = [
  {
    name: 'the reference simulation of 65,536 rows of a dense 16V8, against its truth table',
    unit: 'ratio',
    goal: null,
    sense: 'at least',
    measure: againstReference,
  },
  {
    name: 'sweeping all 2^22 rows of two equal dense 22V10 maps, against proving them equal',
    unit: 'ratio',
    goal: null,
    sense: 'at least',
    measure: againstSweeping,
  },
]
