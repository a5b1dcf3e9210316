/**
 * The answers of `compare` against trying every state and every change of levels: 16R4, 16V8, 20RA10 and 22V10, seeded
 * pairs. More pairs in the long form.
 */
import { describe, expect, test } from 'vitest'
import { compare, fuseMapFrom, type Comparison } from '../../src/index'
import { sampleSize } from '../sample-size'
import { seededPair, type SeededPair } from './pairs'
import { relationByBruteForce } from './relation'
import { replays, type Example } from './replay'

/** A normal run of the file takes some seconds. */
const PAIRS = sampleSize(10, 200)

/** Largest share of pairs, in percent, that may stay undecided. */
const MAX_UNDECIDED = 10

const isEqual = ({ relation }: Comparison): boolean => relation === 'equivalent' || relation === 'identical'

/** What is wrong with the relation, null where nothing is. */
function wrongRelation({ machines }: SeededPair, comparison: Comparison): string | null {
  const published = machines[0].startIsPublished
  const fromStartOnly = comparison.findings.some(({ code }) => code === 'compare/from-start-only')
  const overAll = (): string => relationByBruteForce(...machines, { start: 'any-state' }).relation
  const fromStart = (): string => relationByBruteForce(...machines, { start: 'power-up' }).relation
  if (isEqual(comparison)) {
    if (published && fromStart() === 'different') return 'equal, but a difference shows from power-up'
    if (!(published && fromStartOnly) && overAll() === 'different') return 'equal, but only from power-up at best'
  }
  if (comparison.relation === 'different' && (published ? fromStart() : overAll()) === 'equal')
    return published ? 'different, but equal from power-up' : 'different, but equal over all states'
  return comparison.relation === 'not-comparable' ? 'not comparable' : null
}

/** Everything that a comparison gives to show a difference. */
function examplesOf({ outputs, machines }: Comparison): Example[] {
  const shown = outputs.flatMap(({ pin, counterexample }) => (counterexample ? [{ pin, ...counterexample }] : []))
  const { sequence = null, pin = null, intended = null, readback = null } = machines ?? {}
  if (!sequence || pin === null || intended === null || readback === null) return shown
  return [...shown, { pin: Number(pin), inputs: {}, state: {}, intended, readback, sequence }]
}

function compared({ part, fuses }: SeededPair): Comparison {
  const [a, b] = fuses.map((states) => fuseMapFrom(states.join('')))
  return compare(a!, b!, { device: part })
}

/** All that is wrong with the answer for a pair. */
function wrongOf(pair: SeededPair, comparison: Comparison): string[] {
  const failing = examplesOf(comparison).filter((example) => !replays(...pair.machines, example))
  return [
    ...[wrongRelation(pair, comparison)].filter((wrong) => wrong !== null),
    ...failing.map(
      ({ pin, sequence }) => `the ${sequence ? 'sequence' : 'counterexample'} of pin ${pin} does not replay`,
    ),
  ]
}

describe.each(['16R4', '16V8', '20RA10', '22V10'])('%s', (part) => {
  const judged = Array.from({ length: PAIRS }, (_, i) => {
    const pair = seededPair(part, i + 1)
    return { pair, comparison: compared(pair) }
  })

  test('no relation is wrong, and every counterexample and sequence replays', () => {
    const wrong = judged.flatMap(({ pair, comparison }) =>
      wrongOf(pair, comparison).map((what) => `seed ${pair.seed}, ${pair.kind}: ${what}`),
    )
    expect(wrong).toEqual([])
  })

  test('few pairs stay undecided', () => {
    const undecided = judged.filter(({ comparison }) => comparison.relation === 'undecided')
    expect(undecided.map(({ pair }) => pair.seed).length).toBeLessThanOrEqual((PAIRS * MAX_UNDECIDED) / 100)
  })
})
