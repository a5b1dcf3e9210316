/** `npm run fuzz -- --seconds N --seed S [--only NAME]`: rounds over the entry points until the time is over. */
import { ENTRY_POINTS } from './entry-points'
import { tableOf } from './table'
import { tallyOf, tryOne, type Failure } from './try-inputs'

export interface FuzzOptions {
  readonly seconds: number
  readonly seed: number
  readonly only: string | null
}

/** Milliseconds that have passed, and those that the processor has worked, which other programs leave as they are. */
export interface Clocks {
  readonly passed: () => number
  readonly worked: () => number
}

/** Most failures of one entry point that are made small and printed. */
const MOST_SHOWN = 3

/** Prints failures as they come and the table at the end; gives the number of failures. */
export function fuzz({ seconds, seed, only }: FuzzOptions, clocks: Clocks, print: (line: string) => void): number {
  const names = Object.keys(ENTRY_POINTS).filter((name) => only === null || name.includes(only))
  if (names.length === 0) throw new RangeError(`--only ${only}: one of ${Object.keys(ENTRY_POINTS).join(', ')}`)
  const tallies = names.map(tallyOf)
  const end = clocks.passed() + 1000 * seconds
  for (let round = 0; clocks.passed() < end; round++)
    for (const tally of tallies) {
      if (tally.threw + tally.wrong >= MOST_SHOWN || clocks.passed() >= end) continue
      const failure = tryOne(tally, seed + round, clocks.worked)
      if (failure) printFailure(failure, print)
    }
  for (const line of tableOf(tallies)) print(line)
  return tallies.reduce((sum, { threw, wrong }) => sum + threw + wrong, 0)
}

function printFailure({ name, seed, what, testCase }: Failure, print: (line: string) => void): void {
  print(`${name}, seed ${seed}: ${what}\n  ${testCase}\n  again: npm run fuzz -- --seconds 1 --seed ${seed} --only '${name}'\n`)
}
