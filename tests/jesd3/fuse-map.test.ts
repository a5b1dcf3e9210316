/** Fuse maps against plain text of digits: packing, sum, differences, uniform states. */
import { describe, expect, test } from 'vitest'
import { createFuseMap, differingFuses, fuseAt, fuseChecksum, fuseDigits, fuseMapFrom, setFuse, uniformState } from '../../src/index'
import { clearSpareBits, countOnes } from '../../src/fuses/fuse-map'
import { fuseSum, hex4, seeded } from './reference'

/** Seeded maps of all small lengths and some larger ones, of three densities. */
function* seededDigits(seed: number): Generator<string> {
  const random = seeded(seed)
  for (let length = 0; length <= 40; length++) yield random.text(length, '01')
  for (let round = 0; round < 60; round++)
    yield random.text(random.below(3000), random.pick(['01', '0001', '1110', '1']))
}

describe('a fuse map', () => {
  test('holds fuse 0 in the least significant bit of byte 0', () => {
    expect([...fuseMapFrom('01001110 0000\r\n1000').bits]).toEqual([0x72, 0x10])
    expect([...fuseMapFrom('1').bits]).toEqual([1])
    expect(fuseMapFrom('')).toEqual({ length: 0, bits: new Uint8Array(0) })
  })

  test('gives back its digits, whole and in every stretch', () => {
    const digits = seeded(121).text(67, '01')
    const map = fuseMapFrom(digits)
    for (let first = 0; first <= 67; first++)
      for (let count = 0; first + count <= 67; count++)
        expect(fuseDigits(map, first, count), 'seed 121').toBe(digits.slice(first, first + count))
    expect(fuseDigits(map, 60)).toBe(digits.slice(60))
    for (const each of seededDigits(122)) expect(fuseDigits(fuseMapFrom(each)), 'seed 122').toBe(each)
  })

  test('sums like a bit loop, modulo 65536', () => {
    for (const digits of seededDigits(123))
      expect(hex4(fuseChecksum(fuseMapFrom(digits))), 'seed 123').toBe(fuseSum(digits))
    // 257 words of 255 are 65535, one more is 254 past 65536 (a modulus of 65535 would give 0 and 255).
    expect([257, 258].map((words) => fuseChecksum(createFuseMap(words * 8, 1)))).toEqual([0xffff, 0xfe])
  })

  test('begins in one state, with no bit past its last fuse', () => {
    for (let length = 0; length <= 70; length++) {
      expect(fuseDigits(createFuseMap(length))).toBe('0'.repeat(length))
      expect(fuseDigits(createFuseMap(length, 1))).toBe('1'.repeat(length))
      expect(createFuseMap(length, 1)).toEqual(fuseMapFrom('1'.repeat(length)))
    }
  })

  test('as many as there are numbers of thirty bits, and not one more', () => {
    // Its memory is of zeros that nothing writes.
    expect(createFuseMap(2 ** 30).bits.length).toBe(2 ** 27)
    expect(() => createFuseMap(2 ** 30 + 1)).toThrow(RangeError)
  })

  test('clears its spare bits', () => {
    for (let length = 1; length <= 16; length++) {
      const bits = new Uint8Array(Math.ceil(length / 8)).fill(0xff)
      clearSpareBits(bits, length)
      expect(bits).toEqual(createFuseMap(length, 1).bits)
    }
  })

  test('sets single fuses in place', () => {
    const random = seeded(124)
    const digits = [...random.text(100, '01')]
    const map = fuseMapFrom(digits.join(''))
    for (let round = 0; round < 500; round++) {
      const index = random.below(100)
      const state = random.below(2) as 0 | 1
      digits[index] = String(state)
      setFuse(map, index, state)
      expect(fuseAt(map, index), `seed 124, round ${round}`).toBe(state)
      expect(fuseDigits(map), `seed 124, round ${round}`).toBe(digits.join(''))
    }
  })

  test('knows the state that all its fuses share', () => {
    expect(uniformState(createFuseMap(0))).toBeNull()
    for (let length = 1; length <= 20; length++) {
      expect([uniformState(createFuseMap(length)), uniformState(createFuseMap(length, 1))]).toEqual([0, 1])
      for (let index = 0; index < length && length > 1; index++)
        for (const state of [0, 1] as const) {
          const map = createFuseMap(length, state)
          setFuse(map, index, state === 0 ? 1 : 0)
          expect(uniformState(map)).toBeNull()
        }
    }
  })

  test('counts its ones', () => {
    for (const digits of seededDigits(125))
      expect(countOnes(fuseMapFrom(digits)), 'seed 125').toBe(digits.replaceAll('0', '').length)
  })
})

describe('differences', () => {
  test('are the places where the digits differ, ascending', () => {
    const random = seeded(126)
    for (const a of seededDigits(127)) {
      const b = [...a].map((digit) => (random.below(9) === 0 ? String(1 - Number(digit)) : digit)).join('')
      const places = [...a].flatMap((digit, i) => (digit === b[i] ? [] : [i]))
      expect(differingFuses(fuseMapFrom(a), fuseMapFrom(b)), 'seeds 126 and 127').toEqual({
        count: places.length,
        fuses: places,
      })
      expect(differingFuses(fuseMapFrom(a), fuseMapFrom(b), 3), 'seeds 126 and 127').toEqual({
        count: places.length,
        fuses: places.slice(0, 3),
      })
    }
  })

  test('of a map and itself are none', () => {
    const map = fuseMapFrom('1011000')
    expect(differingFuses(map, map)).toEqual({ count: 0, fuses: [] })
    expect(differingFuses(map, fuseMapFrom('0011001'), 0)).toEqual({ count: 2, fuses: [] })
  })

  // Rows of 32 fuses begin at word boundaries, so their sums only trade places: equal sums do not prove equal maps.
  test('can hide from the checksum', () => {
    const [first, second] = ['1101'.repeat(8), '0010'.repeat(8)]
    const [a, b] = [fuseMapFrom(first + second), fuseMapFrom(second + first)]
    expect(fuseChecksum(a)).toBe(fuseChecksum(b))
    expect(differingFuses(a, b).count).toBe(64)
  })
})
