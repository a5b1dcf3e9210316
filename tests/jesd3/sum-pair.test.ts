/**
 * What two wrong sums say together. A small file is damaged in one character after the other; every claim of the
 * library is then held against trying all single changes on the damaged file.
 */
import { describe, expect, test } from 'vitest'
import { verify, type Finding } from '../../src/index'
import { readExplained } from './read-explained'
import { framed, fuseSum, hex4, seeded, transmissionSum } from './reference'

/** A file as the parts that a fault may hit. `digits` are fuses 0 and up; what they do not reach takes the default. */
interface Parts {
  readonly title: string
  readonly count: number
  readonly ground: '0' | '1'
  readonly digits: string
  readonly sum: string
}

function fieldsOf({ title, count, ground, digits, sum }: Parts): string {
  return `${title}*QF${count}*F${ground}*L0 ${digits}*C${sum}*`
}

function sumsOf(parts: Parts): { readonly fuse: string; readonly transmission: string } {
  return {
    fuse: fuseSum(parts.digits.padEnd(parts.count, parts.ground)),
    transmission: transmissionSum(framed(fieldsOf(parts))),
  }
}

function right(parts: Omit<Parts, 'sum'>): Parts {
  return { ...parts, sum: sumsOf({ ...parts, sum: '' }).fuse }
}

/** Reads the damaged parts under the transmission sum of the undamaged ones. */
function damaged(
  parts: Parts,
  transmission: string,
): { readonly pair: Finding | undefined; readonly codes: readonly string[] } {
  const { findings } = readExplained(framed(fieldsOf(parts), transmission))
  return { pair: findings.find(({ code }) => PAIR.includes(code)), codes: findings.map(({ code }) => code) }
}

const PAIR = ['checksum/one-fuse-digit', 'checksum/sum-digit', 'checksum/exchanged-digits']
const HEX = '0123456789ABCDEF'

function replaced(text: string, at: number, character: string): string {
  return text.slice(0, at) + character + text.slice(at + 1)
}

function flipped(digits: string, ...places: readonly number[]): string {
  return places.reduce((text, at) => replaced(text, at, text[at] === '0' ? '1' : '0'), digits)
}

const GOOD = right({ title: 'T', count: 24, ground: '0', digits: '101100011101001011110000' })
const GOOD_SUM = sumsOf(GOOD).transmission

describe('one fuse digit', () => {
  test('every flip is found, with its class and direction and how many fuses it may be', () => {
    for (let i = 0; i < GOOD.digits.length; i++) {
      const digits = flipped(GOOD.digits, i)
      const { pair, codes } = damaged({ ...GOOD, digits }, GOOD_SUM)
      const now = digits[i]!
      const suspects = [...digits].filter((digit, j) => digit === now && j % 8 === i % 8).length
      expect(codes.slice(0, 2), `fuse ${i}`).toEqual(['checksum/fuse-mismatch', 'checksum/transmission-mismatch'])
      expect(pair, `fuse ${i}`).toMatchObject({ code: 'checksum/one-fuse-digit', severity: 'note' })
      expect(pair!.message, `fuse ${i}`).toContain(
        `consistent with one fuse digit that reads ${now} and was ${1 - Number(now)}, at a fuse i with i mod 8 = ${i % 8} (${suspects} such`,
      )
      expect(pair!.message, `fuse ${i}`).not.toContain('default')
    }
  })

  test('it points at the C field and lowers no verdict', () => {
    const bytes = framed(fieldsOf({ ...GOOD, digits: flipped(GOOD.digits, 5) }), GOOD_SUM)
    const report = verify(bytes)
    const pair = report.findings.find(({ code }) => PAIR.includes(code))!
    expect(pair.position?.offset).toBe(1 + fieldsOf(GOOD).indexOf(`C${GOOD.sum}`))
    expect(report.verdict).toBe('fail')
    expect(report.checksums).toMatchObject({
      fuse: { status: 'mismatch', explanation: null },
      transmission: { status: 'mismatch', explanation: null },
    })
  })

  test('fuses that no list sets are no suspects', () => {
    // Fuses 8 to 23 are defaulted to 1; of class 0 only fuse 0 is listed.
    const good = right({ title: 'T', count: 24, ground: '1', digits: '00000000' })
    const { pair } = damaged({ ...good, digits: '10000000' }, sumsOf(good).transmission)
    expect(pair!.message).toContain('i mod 8 = 0 (1 such')
  })
})

describe('the default', () => {
  test.each(['0', '1'] as const)('F%s having become the other is found', (was) => {
    const good = right({ title: 'T', count: 24, ground: was, digits: '1011000111' })
    const now = was === '0' ? '1' : '0'
    const { pair } = damaged({ ...good, ground: now }, sumsOf(good).transmission)
    expect(pair?.code).toBe('checksum/one-fuse-digit')
    expect(pair!.message).toContain(`consistent with the default F${was} having become F${now}`)
  })

  test('where it weighs as much as one listed fuse, both are named', () => {
    // Only fuse 12 is defaulted; fuse 4 is listed and of the same class.
    const good = right({ title: 'T', count: 13, ground: '0', digits: '000010000000' })
    const { pair } = damaged({ ...good, ground: '1' }, sumsOf(good).transmission)
    expect(pair!.message).toMatch(/i mod 8 = 4 \(1 such.*, or with the default F0 having become F1/)
  })

  test('a default that is as it was is not named, though it weighs as much', () => {
    const good = right({ title: 'T', count: 13, ground: '0', digits: '000000000000' })
    const { pair } = damaged({ ...good, digits: flipped(good.digits, 4) }, sumsOf(good).transmission)
    expect(pair!.message).toContain('i mod 8 = 4 (1 such')
    expect(pair!.message).not.toContain('default')
  })

  test('where every fuse is listed it changes no fuse, and nothing is said', () => {
    const { pair, codes } = damaged({ ...GOOD, ground: '1' }, GOOD_SUM)
    expect(pair).toBeUndefined()
    expect(codes).toContain('checksum/transmission-mismatch')
    expect(codes).not.toContain('checksum/fuse-mismatch')
  })
})

test('every digit of C changed into every other is found as such', () => {
  for (const digits of [GOOD.digits, '1'.repeat(24), '0'.repeat(24), '0'.repeat(23) + '1']) {
    const good = right({ ...GOOD, digits })
    for (let place = 0; place < 4; place++)
      for (const character of HEX) {
        if (character === good.sum[place]) continue
        const sum = replaced(good.sum, place, character)
        const { pair } = damaged({ ...good, sum }, sumsOf(good).transmission)
        expect(pair?.code, `C${good.sum} written as C${sum}`).toBe('checksum/sum-digit')
        expect(pair!.message).toContain(`consistent with ${good.sum} having been written as ${sum}`)
      }
  }
})

test('a digit of a C in small letters is found as well', () => {
  const good = { ...right({ ...GOOD, digits: '111111111111111100000000' }), sum: '01fe' }
  expect(damaged(good, sumsOf(good).transmission).codes).not.toContain('checksum/fuse-mismatch')
  for (const sum of ['71fe', '017e', '01f7', '01fa'])
    expect([sum, damaged({ ...good, sum }, sumsOf(good).transmission).pair?.code]).toEqual([
      sum,
      'checksum/sum-digit',
    ])
})

test('every exchange of a 0 and a 1 is found, except where neither sum can see it', () => {
  for (let i = 0; i < GOOD.digits.length; i++)
    for (let j = 0; j < GOOD.digits.length; j++) {
      if (GOOD.digits[i] !== '0' || GOOD.digits[j] !== '1') continue
      const { pair, codes } = damaged({ ...GOOD, digits: flipped(GOOD.digits, i, j) }, GOOD_SUM)
      const trial = `fuse ${i} became 1 and fuse ${j} became 0`
      expect(codes, trial).not.toContain('checksum/transmission-mismatch')
      expect(codes.includes('checksum/fuse-mismatch'), trial).toBe(i % 8 !== j % 8)
      expect(pair?.code, trial).toBe(i % 8 === j % 8 ? undefined : 'checksum/exchanged-digits')
      if (pair) expect(pair.message, trial).toContain(`i mod 8 = ${i % 8} (now 1) and i mod 8 = ${j % 8} (now 0)`)
    }
})

test('an exchange is not said where no listed fuses could have been exchanged', () => {
  // Two digits of C exchanged: the sums are off as by an exchange of fuses 0 and 4, but neither reads that way.
  const good = right({ title: 'T', count: 8, ground: '0', digits: '01001000' })
  expect(good.sum).toBe('0012')
  expect(damaged({ ...good, sum: '0021' }, sumsOf(good).transmission).pair).toBeUndefined()
})

test('without both sums nothing is said', () => {
  for (const transmission of ['0000', ''])
    expect(damaged({ ...GOOD, digits: flipped(GOOD.digits, 3) }, transmission).pair).toBeUndefined()
})

/** Every single change, or exchange of two fuse digits, that would make both sums right. */
function candidates(parts: Parts, transmission: string): Set<string> {
  const found = new Set<string>()
  const attempt = (code: string, changed: Parts): void => {
    const sums = sumsOf(changed)
    if (sums.fuse === changed.sum && sums.transmission === transmission) found.add(code)
  }
  const { digits } = parts
  for (let i = 0; i < digits.length; i++) attempt('checksum/one-fuse-digit', { ...parts, digits: flipped(digits, i) })
  attempt('checksum/one-fuse-digit', { ...parts, ground: parts.ground === '0' ? '1' : '0' })
  for (let place = 0; place < 4; place++)
    for (const character of HEX)
      attempt('checksum/sum-digit', { ...parts, sum: replaced(parts.sum, place, character) })
  for (let i = 0; i < digits.length; i++)
    for (let j = i + 1; j < digits.length; j++)
      if (digits[i] !== digits[j]) attempt('checksum/exchanged-digits', { ...parts, digits: flipped(digits, i, j) })
  return found
}

describe('several faults at once', () => {
  const FAULTS: readonly ((parts: Parts, random: ReturnType<typeof seeded>) => Parts)[] = [
    (parts, random) => ({ ...parts, digits: flipped(parts.digits, random.below(parts.digits.length)) }),
    (parts, random) => ({ ...parts, digits: flipped(parts.digits, random.below(parts.digits.length)) }),
    (parts, random) => ({ ...parts, sum: replaced(parts.sum, random.below(4), random.pick(HEX)) }),
    (parts, random) => ({ ...parts, title: random.pick('RSTUV') }),
    (parts) => ({ ...parts, ground: parts.ground === '0' ? '1' : '0' }),
  ]

  test('two or three: what is said is what one change would explain, and is said wherever one would', () => {
    const random = seeded(101)
    let said = 0
    for (let round = 0; round < 600; round++) {
      const good = right({
        title: 'T',
        count: 20,
        ground: random.pick(['0', '1'] as const),
        digits: random.text(8 + random.below(9), '01'),
      })
      let parts: Parts = good
      for (let faults = 2 + random.below(2); faults > 0; faults--) parts = random.pick(FAULTS)(parts, random)
      const transmission = sumsOf(good).transmission
      const possible = sumsOf(parts).fuse === parts.sum ? new Set<string>() : candidates(parts, transmission)
      const { pair } = damaged(parts, transmission)
      const trial = `seed 101, round ${round}: ${fieldsOf(good)} became ${fieldsOf(parts)}`
      expect(pair === undefined ? possible.size : Number(possible.has(pair.code)), trial).toBe(
        pair === undefined ? 0 : 1,
      )
      if (pair) expect(pair.message, trial).toContain('consistent with')
      if (pair) said++
    }
    expect(said, 'cases in which something was said').toBeGreaterThan(20)
  })

  test('two fuse digits the same way are never called one', () => {
    for (let i = 0; i < GOOD.digits.length; i++)
      for (let j = i + 1; j < GOOD.digits.length; j++)
        if (GOOD.digits[i] === GOOD.digits[j])
          expect(
            damaged({ ...GOOD, digits: flipped(GOOD.digits, i, j) }, GOOD_SUM).pair,
            `fuses ${i} and ${j}`,
          ).toBeUndefined()
  })

  test('random sums are explained only where one change explains them', () => {
    const random = seeded(102)
    for (let round = 0; round < 600; round++) {
      const parts = { ...GOOD, sum: hex4(parseInt(GOOD.sum, 16) + 65536 + random.below(300) - 150) }
      const transmission = hex4(parseInt(sumsOf(parts).transmission, 16) + random.below(5) - 2)
      const possible = parts.sum === GOOD.sum ? new Set<string>() : candidates(parts, transmission)
      const { pair } = damaged(parts, transmission)
      expect(
        pair === undefined ? possible.size : Number(possible.has(pair.code)),
        `seed 102, round ${round}: C${parts.sum}, ${transmission}`,
      ).toBe(pair === undefined ? 0 : 1)
    }
  })
})
