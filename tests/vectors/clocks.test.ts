/**
 * Clock edges and the order of changes in one vector (3-A, "Test conditions": levels change first, in no defined order,
 * then clocks pulse, then outputs are tested). Registers of the 16V8: pin 1 rising, D sampled as before the edge
 * (GAL16V8 data sheet p. 4). Vectors are grouped as pin 1, pins 2–9, 10, 11, pins 12–19, 20.
 */
import { describe, expect, test } from 'vitest'
import { driven, mapOf, numbered, register } from './maps'
import { lastCauses, letters, report, run, story } from './outcomes'

/** Four bits: pin 2 → 19 → 18 → 17 → 16, one place an edge. */
const shift = mapOf('registered', { 19: register([2]), 18: register([19]), 17: register([18]), 16: register([17]) })

/** A vector of `shift`: condition at pin 1, level at pin 2, expectations at pins 16 to 19. */
function shifted(clock: string, data: string, expected: string): string {
  return `${clock} ${data}0000000 N 0 NNNN${expected} N`
}

describe('pulses', () => {
  test.each(['C', 'K'])('%s shifts every register by one place', (pulse) => {
    // Data 1, 0, 1, 1 go in at pin 19; each later register takes its neighbour as it was before the edge.
    const vectors = [
      shifted(pulse, '1', 'NNNH'),
      shifted(pulse, '0', 'NNHL'),
      shifted(pulse, '1', 'NHLH'),
      shifted(pulse, '1', 'HLHH'),
    ]
    expect(letters(run(shift, vectors))).toBe('pppp')
    // Two places an edge would put the 1 of V1 at pin 17 already in V2.
    expect(story(run(shift, [...vectors.slice(0, 1), shifted(pulse, '0', 'NHHL')])).at(1)).toBe(
      'V2 pin 17 expects H, finds X: undetermined',
    )
  })

  test('outputs are tested after the pulse', () => {
    // Pin 19 held 0 until the pulse of V2 itself.
    expect(story(run(shift, [shifted('C', '0', 'NNNL'), shifted('C', '1', 'NNNL')])).at(-1)).toBe(
      'V2 pin 19 expects L, finds 1: failed',
    )
  })

  test('C after a high level makes one edge, its own', () => {
    // V2: 1 → 0 as C takes its rest, no edge; then the pulse. Pin 18 has the bit of V1, pin 17 nothing known yet.
    const result = run(shift, [
      shifted('C', '1', 'NNNH'),
      shifted('C', '0', 'NNHL'),
      shifted('1', '0', 'NHLL'),
      shifted('C', '1', 'HLLH'),
    ])
    expect(letters(result)).toBe('pppp')
  })

  test('K after a low level makes two: its rest is high', () => {
    // 3-A, table: K drives high, low, high. V3: pin 1 rises from the 0 of V2 to K’s rest, falls, rises again. Before:
    // pins 19, 18 = 0, 1; first edge 17 = 1; second edge 16 = 1, all others 0.
    expect(
      letters(run(shift, [shifted('C', '1', 'NNNH'), shifted('C', '0', 'NNHL'), shifted('K', '0', 'HLLL')])),
    ).toBe('ppp')
  })
})

describe('level changes between vectors', () => {
  test('0 to 1 on the clock pin is an edge, 1 to 0 is none', () => {
    // 3-A, "Test conditions": vectors may make an edge by levels. Data change only while the clock falls or rests.
    const vectors = [
      shifted('0', '1', 'NNNN'),
      shifted('1', '1', 'NNNH'), // edge: 1
      shifted('0', '0', 'NNNH'), // falling: nothing
      shifted('1', '0', 'NNHL'), // edge: 0
      shifted('1', '1', 'NNHL'), // no change of the clock
      shifted('0', '1', 'NNHL'), // falling
      shifted('U', '1', 'NHLH'), // U drives high: an edge
    ]
    expect(letters(run(shift, vectors))).toBe('ppppppp')
  })
})

describe('data and clock change in one vector', () => {
  // 3-A: the mutual order of level changes is undefined, pin 5 may be set before or after pin 4.
  test('stays open where the two orders differ', () => {
    // Pin 2 rises with pin 1: 1 is clocked in if it rises first, 0 if it rises last.
    const vectors = [shifted('0', '0', 'NNNN'), shifted('1', '1', 'NNNH')]
    const result = run(shift, vectors)
    expect(story(result)).toEqual(['V2 pin 19 expects H, finds X: undetermined'])
    expect(lastCauses(result)).toEqual([{ kind: 'order', pin: 1 }])
    expect(story(run(shift, vectors, { order: 'data-then-clock' }))).toEqual(['V2 pin 19 expects H, finds 1: passed'])
  })

  test('is settled by one vector more', () => {
    expect(
      letters(run(shift, [shifted('0', '0', 'NNNN'), shifted('0', '1', 'NNNN'), shifted('1', '1', 'NNNH')])),
    ).toBe('ppp')
  })

  test('is certain where both orders agree', () => {
    // D = pin 2 ∨ pin 3 with pin 3 high throughout; pin 4 is not used at all.
    const either = mapOf('registered', { 19: register([2], [3]) })
    expect(letters(run(either, ['0 01000000 N 0 NNNNNNNN N', '1 11100000 N 0 NNNNNNNH N']))).toBe('pp')
  })

  test('stays open where an order in between differs', () => {
    // D = pin 2 exclusive-or pin 3. Both rise: 0 before and 0 after, but 1 while only one of them has risen.
    const exclusive = mapOf('registered', { 19: register([2, -3], [-2, 3]) })
    const result = run(exclusive, ['0 00000000 N 0 NNNNNNNN N', '1 11000000 N 0 NNNNNNNL N'])
    expect(story(result)).toEqual(['V2 pin 19 expects L, finds X: undetermined'])
    expect(lastCauses(result)).toEqual([{ kind: 'order', pin: 1 }])
  })

  test('concerns C and K not at all: they pulse when levels are stable', () => {
    expect(
      letters(run(shift, [shifted('C', '0', 'NNNL'), shifted('C', '1', 'NNLH'), shifted('C', '0', 'NLHL')])),
    ).toBe('ppp')
  })
})

describe('clock levels that are unknown', () => {
  test('make no edge certain: registers keep what old and new agree on', () => {
    // No X field, so X is unknown. V2: 0 → unknown, perhaps an edge, D = 1 = Q: still 1. V3: unknown → 0, no edge.
    // V4: perhaps an edge with D = 0 against Q = 1: open. V5: C rests low and pulses: certain.
    const vectors = [
      shifted('C', '1', 'NNNH'),
      shifted('X', '1', 'NNNH'),
      shifted('0', '0', 'NNNH'),
      shifted('X', '0', 'NNNH'),
    ]
    const result = run(shift, vectors)
    expect(letters(result)).toBe('pppu')
    expect(lastCauses(result)).toEqual([{ kind: 'clock', pin: 19 }])
    expect(letters(run(shift, [...vectors, shifted('C', '0', 'NNNL')]))).toBe('pppup')
    // X as 1 makes V4 an edge that takes 0, X as 0 makes none.
    expect(letters(run(shift, vectors, { x: 1 }))).toBe('pppf')
    expect(letters(run(shift, vectors, { x: 0 }))).toBe('pppp')
  })

  test.each([
    ['a floating pin', 'N'],
    ['a floating pin', 'F'],
    ['a super voltage', '5'],
  ])('%s (condition %s) is an unknown level', (_, condition) => {
    const result = run(shift, [shifted('C', '1', 'NNNH'), shifted('0', '0', 'NNNH'), shifted(condition, '0', 'NNNH')])
    expect(letters(result)).toBe('ppu')
    expect(lastCauses(result)).toEqual([{ kind: 'clock', pin: 19 }])
  })

  test('a high level in the first vector rises from nothing', () => {
    // Whether pin 1 rose is unknown, whether pin 2 was there first too, and Q anyhow. After power-up, with data first,
    // it does not matter: Q shows high (GAL16V8 data sheet p. 20), and D = 1 shows high too.
    const vectors = [shifted('1', '1', 'NNNH')]
    expect(letters(run(shift, vectors))).toBe('u')
    expect(letters(run(shift, vectors, { registers: 'power-up' }))).toBe('u')
    expect(letters(run(shift, vectors, { registers: 'power-up', order: 'data-then-clock' }))).toBe('p')
  })

  test('a steady unknown level makes no edge, a floating one may', () => {
    // V2 leaves the level of X unknown; in V3 pin 1 is the same X, so the new data at pin 2 are not taken.
    expect(
      letters(run(shift, [shifted('C', '1', 'NNNH'), shifted('X', '1', 'NNNH'), shifted('X', '0', 'NNNH')])),
    ).toBe('ppp')
    // A pin to which nothing is applied twice may have moved in between.
    expect(
      letters(run(shift, [shifted('C', '1', 'NNNH'), shifted('N', '1', 'NNNH'), shifted('N', '0', 'NNNH')])),
    ).toBe('ppu')
  })
})

describe('several pulses in one vector', () => {
  // 3-A: with more than one clock input the order is undefined. A 16V8 has one clock pin, but C may pulse any input,
  // and a latch of combinational cells remembers it.
  /** Pin 18 is set by pin 2 and held while pin 3 is low. */
  const latch = driven([2], [18, -3])

  test('stay open where their orders differ: set and reset of a latch', () => {
    const map = mapOf('complex', { 18: latch })
    // V1 clears. V2 pulses both: set then reset leaves 0, reset then set leaves 1. Either alone is certain.
    const cleared = '0 01000000 N 0 NNNNNNLN N'
    const both = (expected: string): string => `0 CC000000 N 0 NNNNNN${expected}N N`
    expect(story(run(map, [cleared, both('L')])).at(-1)).toBe('V2 pin 18 expects L, finds X: undetermined')
    expect(story(run(map, [cleared, both('H')])).at(-1)).toBe('V2 pin 18 expects H, finds X: undetermined')
    expect(letters(run(map, [cleared, '0 C0000000 N 0 NNNNNNHN N', '0 0C000000 N 0 NNNNNNLN N']))).toBe('ppp')
  })

  test('stay open where their orders differ: a clock and the latch before its register', () => {
    const map = mapOf('registered', { 18: latch, 19: register([18]) })
    // V2: the register takes 1 if pin 2 pulses first and 0 if pin 1 does; the latch is set in either order.
    const result = run(map, ['0 01000000 N 0 NNNNNNLN N', 'C C0000000 N 0 NNNNNNHH N'])
    expect(story(result).slice(1)).toEqual([
      'V2 pin 18 expects H, finds 1: passed',
      'V2 pin 19 expects H, finds X: undetermined',
    ])
    expect(lastCauses(result)?.map(({ kind }) => kind)).toEqual(['order'])
    // Two vectors fix the order.
    expect(
      letters(run(map, ['0 01000000 N 0 NNNNNNLN N', '0 C0000000 N 0 NNNNNNHN N', 'C 00000000 N 0 NNNNNNHH N'])),
    ).toBe('ppp')
  })

  test('are certain where their orders agree', () => {
    const map = mapOf('registered', { 18: latch, 19: register([18]) })
    // The latch is set already, so that a further set changes nothing for the register.
    expect(letters(run(map, ['0 C0000000 N 0 NNNNNNHN N', 'C C0000000 N 0 NNNNNNHH N']))).toBe('pp')
  })

  test('the high phase of C and the low phase of K act', () => {
    // A pulse of C sets the latch, whose other input set is by the low phase of K (pin 4 inverted).
    const map = mapOf('complex', { 18: driven([2], [-4], [18, -3]) })
    expect(letters(run(map, ['0 01100000 N 0 NNNNNNLN N', '0 C0100000 N 0 NNNNNNHN N']))).toBe('pp')
    expect(letters(run(map, ['0 01100000 N 0 NNNNNNLN N', '0 00K00000 N 0 NNNNNNHN N']))).toBe('pp')
  })
})

describe('levels that change together without a clock', () => {
  test('leave a latch open where their order decides, and three vectors settle it', () => {
    // Pin 18 = set ∨ (18 ∧ ¬reset). From set = reset = 1 both fall: set first clears it, reset first keeps it. The text
    // of 3-A uses more vectors where the order matters.
    const map = mapOf('complex', { 18: driven([2], [18, -3]) })
    const both = '0 11000000 N 0 NNNNNNHN N'
    expect(story(run(map, [both, '0 00000000 N 0 NNNNNNHN N'])).at(-1)).toBe(
      'V2 pin 18 expects H, finds X: undetermined',
    )
    expect(letters(run(map, [both, '0 10000000 N 0 NNNNNNHN N', '0 00000000 N 0 NNNNNNHN N']))).toBe('ppp')
    expect(letters(run(map, [both, '0 01000000 N 0 NNNNNNLN N', '0 00000000 N 0 NNNNNNLN N']))).toBe('ppp')
    expect(report(map, numbered([both, '0 00000000 N 0 NNNNNNHN N'])).verdict).toBe('caution')
  })
})
