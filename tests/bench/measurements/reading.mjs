/** How fast a file is read: against the least that any reader must do, against a simple reader, and as files grow. */
import { readFuseFile } from '../../../dist/index.js'
import { fileOf16V8, fileOfSize } from '../files.mjs'
import { splitReader } from '../split-reader.mjs'
import { exponentOf, median, ratioOf, timeOf } from '../timing.mjs'

/** The least that a check of the transmission sum can do: look at every byte once. */
function addBytes(bytes) {
  let sum = 0
  for (let i = 0; i < bytes.length; i++) sum += bytes[i]
  return sum
}

/** A wrong figure is worse than none: a file that is not read as sound would take another way through the reader. */
function sound(bytes) {
  const { checksums } = readFuseFile(bytes)
  if (checksums.fuse.status !== 'match' || checksums.transmission.status !== 'match')
    throw new Error('the bench made an unsound file')
  return bytes
}

function againstAdding() {
  const bytes = sound(fileOfSize(10e6))
  return ratioOf(
    () => readFuseFile(bytes),
    () => addBytes(bytes),
    { pairs: 21 },
  )
}

function againstSplitting() {
  const bytes = sound(fileOf16V8())
  const simple = splitReader(bytes)
  if (!simple.fuseSumFits || !simple.sumFits) throw new Error('the simple reader disagrees')
  return ratioOf(
    () => splitReader(bytes),
    () => readFuseFile(bytes),
    { pairs: 41, times: 500, warmUp: 40 },
  )
}

const SIZES = [10e3, 30e3, 100e3, 300e3, 1e6, 3e6, 10e6, 20e6]

function growth() {
  const files = SIZES.map((size) => sound(fileOfSize(size)))
  const times = (bytes) => Math.max(1, Math.round(2e6 / bytes.length))
  for (let i = 0; i < 3; i++) for (const bytes of files) timeOf(() => readFuseFile(bytes), times(bytes))
  const samples = files.map(() => [])
  // Round by round over all sizes, so that a slow moment of the machine does not fall on one size alone.
  for (let round = 0; round < 11; round++)
    files.forEach((bytes, i) => samples[i].push(timeOf(() => readFuseFile(bytes), times(bytes)) / times(bytes)))
  return exponentOf(files.map((bytes, i) => [bytes.length, median(samples[i])]))
}

export const reading = [
  {
    name: 'reading 10 MB with both sums, against adding its bytes',
    unit: 'ratio',
    goal: 4,
    sense: 'at most',
    measure: againstAdding,
  },
  {
    name: 'a split-and-regular-expression reader, against reading, 2 kB',
    unit: 'ratio',
    goal: 3,
    sense: 'at least',
    measure: againstSplitting,
  },
  {
    name: 'growth exponent of reading from 10 kB to 20 MB',
    unit: 'exponent',
    goal: 1.05,
    sense: 'at most',
    measure: growth,
  },
]
