/** `npm run fuzz -- --seconds N --seed S [--only NAME]`: rounds over the entry points until the time is over. */
import { ENTRY_POINTS } from './entry-points'
import { tallyOf, tryOne, type Failure } from './try-inputs'

export interface FuzzOptions {
  readonly seconds: number
  readonly seed: number
  readonly only: string | null
}

/** Most failures of one entry point that are made small and printed. */
const MOST_SHOWN = 3

/** Prints failures as they come and the table at the end; gives the number of failures. */
export function fuzz({ seconds, seed, only }: FuzzOptions, print: (line: string) => void): number {
  const names = Object.keys(ENTRY_POINTS).filter((name) => only === null || name.includes(only))
  if (names.length === 0) throw new RangeError(`--only ${only}: one of ${Object.keys(ENTRY_POINTS).join(', ')}`)
  const tallies = names.map(tallyOf)
  const clock = (): number => performance.now()
  const end = clock() + 1000 * seconds
  for (let round = 0; clock() < end; round++)
    for (const tally of tallies) {
      if (tally.failed >= MOST_SHOWN || clock() >= end) continue
      const failure = tryOne(tally, seed + round, clock)
      if (failure) printFailure(failure, print)
    }
  print(`| entry point | inputs | failures | slowest, ms (seed) | largest input, bytes | largest answer, characters |`)
  print(`|---|--:|--:|--:|--:|--:|`)
  for (const { name, tried, failed, slowest, slowestSeed, largestInput, largestAnswer } of tallies)
    print(`| ${name} | ${tried} | ${failed} | ${slowest.toFixed(0)} (${slowestSeed}) | ${largestInput} | ${largestAnswer} |`)
  return tallies.reduce((sum, { failed }) => sum + failed, 0)
}

function printFailure({ name, seed, what, testCase }: Failure, print: (line: string) => void): void {
  print(`${name}, seed ${seed}: ${what}\n  ${testCase}\n  again: npm run fuzz -- --seconds 1 --seed ${seed} --only '${name}'\n`)
}
