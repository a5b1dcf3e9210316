/**
 * How fast a captured table is compared with a map, and its wiring found, against looking at every byte of the image
 * once.
 */
import { compareCapture, findWiring, readCapture } from '../../../dist/capture.js'
import { deviceInOrder, fuseMapFrom } from '../../../dist/index.js'
import { decode, tableImage, truthTable } from '../../../dist/logic.js'
import { numbersFrom } from '../files.mjs'
import { ratioOf } from '../timing.mjs'

const INPUTS = [9, 8, 7, 6, 5, 4, 3, 2, 27, 26, 25, 24, 23, 22, 21, 20]
const OUTPUTS = [18, 17, 16, 15, 13, 12, 11, 10]

/** A map of a 16 × 48 × 8 array: 48 terms of about six literals, each in one or two sums. */
function arrayMap() {
  const next = numbersFrom(0x82100)
  const states = new Uint8Array(1928).fill(1)
  for (let term = 0; term < 48; term++) {
    for (let input = 0; input < 16; input++) if (next() % 16 < 6) states[40 * term + 2 * input + (next() & 1)] = 0
    for (let output = 0; output < 8; output++) if (next() % 6 === 0) states[40 * term + 32 + output] = 0
  }
  return fuseMapFrom(states.join(''))
}

const tableOf = (map) =>
  truthTable(decode(deviceInOrder('82S100', 'term-by-term'), map), {
    inputs: INPUTS,
    outputs: OUTPUTS,
    held: { 19: 0 },
  })

/** Decoded once, swept once, compared once: a person's question from the beginning. */
function compared(image, map) {
  const result = compareCapture(readCapture(image, 'plain-28').capture, tableOf(map))
  if (result.relation !== 'equivalent' || result.judgedRows !== 65536) throw new Error('the bench made another image')
  return result
}

function addBytes(bytes) {
  let sum = 0
  for (let i = 0; i < bytes.length; i++) sum += bytes[i]
  return sum
}

function againstAdding() {
  const map = arrayMap()
  const image = tableImage(tableOf(map)).bytes
  return ratioOf(
    () => compared(image, map),
    () => addBytes(image),
    { pairs: 41, times: 20, warmUp: 8 },
  )
}

function searchAgainstComparing() {
  const map = arrayMap()
  const table = tableOf(map)
  const image = tableImage(table).bytes
  if (findWiring(table, table).relation !== 'found') throw new Error('the bench made another table')
  return ratioOf(
    () => findWiring(table, table),
    () => compared(image, map),
    { pairs: 11 },
  )
}

export const captures = [
  {
    name: 'comparing 65,536 captured rows with a map, against adding their bytes',
    unit: 'ratio',
    goal: 20,
    sense: 'at most',
    measure: againstAdding,
  },
  {
    name: 'finding the wiring of 65,536 rows, against comparing them',
    unit: 'ratio',
    goal: null,
    sense: 'at most',
    measure: searchAgainstComparing,
  },
]
