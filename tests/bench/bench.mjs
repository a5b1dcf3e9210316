/**
 * The bench: `npm run bench`, with `-- --json` for one JSON document. Most figures are ratios or sizes taken in this one
 * run, so that they mean the same on a slow machine and on a fast one; those in seconds are to be seen beside the time
 * of an empty process. Goals stand beside them. A missed goal is shown and fails nothing: a busy machine must not make
 * a sound build look broken.
 */
import { arch, platform } from 'node:os'
import { captures } from './measurements/captures.mjs'
import { loadTime } from './measurements/load-time.mjs'
import { logic } from './measurements/logic.mjs'
import { packageSize } from './measurements/package-size.mjs'
import { peakMemory } from './measurements/peak-memory.mjs'
import { reading } from './measurements/reading.mjs'
import { vectors } from './measurements/vectors.mjs'
import { wholeProcess } from './measurements/whole-process.mjs'

/**
 * A measurement is `{ name, unit, goal, sense, measure }`: `unit` is a key of UNITS, `sense` is 'at most' or 'at
 * least', `goal` may be null for a figure that only stands beside another, and `measure` gives the figure or a promise
 * of it. A new one goes into a file of measurements/ and into this list.
 */
const MEASUREMENTS = [
  ...reading,
  ...logic,
  ...vectors,
  ...captures,
  ...peakMemory,
  ...packageSize,
  ...wholeProcess,
  ...loadTime,
]

const UNITS = { ratio: ' ×', seconds: ' s', kilobytes: ' kB', exponent: '' }
const SIGNS = { 'at most': '≤', 'at least': '≥' }

function line({ name, measured, goal, sense, unit, met }) {
  const figure = `${measured.toFixed(2)}${UNITS[unit]}`
  const aim = goal === null ? '' : `   goal ${SIGNS[sense]} ${goal}${UNITS[unit]}, ${met ? 'met' : 'MISSED'}`
  return `${name.padEnd(WIDTH)}  ${figure.padStart(8)}${aim}`
}

const WIDTH = Math.max(...MEASUREMENTS.map(({ name }) => name.length))
const asJson = process.argv.includes('--json')
const machine = { node: process.version, platform: `${platform()} ${arch()}` }
const rows = []

if (!asJson) console.log(`Node ${machine.node}, ${machine.platform}\n`)
for (const { measure, ...measurement } of MEASUREMENTS) {
  const measured = Math.round((await measure()) * 1000) / 1000
  const { name, goal, sense, unit } = measurement
  const met = goal === null ? null : sense === 'at most' ? measured <= goal : measured >= goal
  const row = { name, measured, goal, sense, unit, met }
  rows.push(row)
  if (!asJson) console.log(line(row))
}
if (asJson) console.log(JSON.stringify({ ...machine, measurements: rows }, null, 2))
else
  console.log(
    `\n${rows.filter(({ met }) => met).length} of ${rows.filter(({ goal }) => goal !== null).length} goals met`,
  )
