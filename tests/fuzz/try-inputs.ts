/** A seeded run over the entry points: each input from its own seed, so that a failure is made again by one number. */
import { seeded, textFrom } from '../jesd3/reference'
import type { Input } from './entry-point'
import { ENTRY_POINTS } from './entry-points'
import { minimised } from './minimise'

/** What is known of an entry point so far. */
export interface Tally {
  readonly name: string
  tried: number
  /** Inputs that ended in an exception. */
  threw: number
  /** Inputs with an answer that breaks a rule. */
  wrong: number
  slowest: number
  slowestSeed: number
  largestInput: number
  largestAnswer: number
}

export interface Failure {
  readonly name: string
  readonly seed: number
  readonly what: string
  readonly testCase: string
}

export function tallyOf(name: string): Tally {
  return { name, tried: 0, threw: 0, wrong: 0, slowest: 0, slowestSeed: 0, largestInput: 0, largestAnswer: 0 }
}

export function inputOf(name: string, seed: number): Input {
  const random = seeded(seed)
  return { contents: ENTRY_POINTS[name]!.make(random), choice: random.below(2 ** 30) }
}

interface Fault {
  readonly kind: 'threw' | 'wrong'
  readonly what: string
}

/** What is wrong with the answer to an input; an exception is. */
function faultOf(name: string, input: Input, answered: (value: unknown) => void = () => undefined): Fault | null {
  try {
    const what = ENTRY_POINTS[name]!.check(input, answered)
    return what === null ? null : { kind: 'wrong', what }
  } catch (error) {
    const what = error instanceof Error ? `${error.name}: ${error.message}` : String(error)
    return { kind: 'threw', what: `threw ${what}` }
  }
}

/** Without the numbers in it, by which one failure differs from another of the same kind. */
const kindOf = (what: string): string => what.replace(/\d+/g, '#').slice(0, 60)

const sizeOf = (value: unknown): number => (typeof value === 'string' ? value.length : (JSON.stringify(value) ?? '').length)

/** One input; `clock` gives milliseconds, and is never asserted on. */
export function tryOne(tally: Tally, seed: number, clock: () => number = () => 0): Failure | null {
  const { name } = tally
  const input = inputOf(name, seed)
  let answer = 0
  const start = clock()
  const fault = faultOf(name, input, (value) => (answer = sizeOf(value)))
  const time = clock() - start
  tally.tried++
  if (time > tally.slowest) [tally.slowest, tally.slowestSeed] = [time, seed]
  tally.largestInput = Math.max(tally.largestInput, ...input.contents.map(({ length }) => length))
  tally.largestAnswer = Math.max(tally.largestAnswer, answer)
  if (fault === null) return null
  tally[fault.kind]++
  const { what } = fault
  return { name, seed, what, testCase: testCaseOf(name, input, what) }
}

/** The least input that fails in the same way, as something to paste into a test. */
function testCaseOf(name: string, input: Input, what: string): string {
  const least = minimised(input, (next) => {
    const found = faultOf(name, next)
    return found !== null && kindOf(found.what) === kindOf(what)
  })
  const contents = least.contents.map((bytes) => JSON.stringify(textFrom(bytes)))
  return `ENTRY_POINTS['${name}'].check({ contents: [${contents.join(', ')}].map(latin1), choice: ${least.choice} }, () => undefined)`
}
