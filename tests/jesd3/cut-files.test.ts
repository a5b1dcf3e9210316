/** A download that ends anywhere: the standard's complete example cut at every byte. */
import { readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import { verify } from '../../src/index'
import { readExplained } from './read-explained'
import { brokenReading } from './properties'
import { latin1, textFrom } from './reference'

const WHOLE = Uint8Array.from(readFileSync(new URL('../../vectors/published/jesd3a-14l4.jed', import.meta.url)))
const ETX = WHOLE.indexOf(3)
const SUM_FIELD = textFrom(WHOLE).indexOf('C124E')

/** The errors that say what is the matter with a cut file. */
const CLEAR = ['file/empty', 'file/not-a-fuse-file', 'file/cut-short']

/** Errors that follow from a cut before the default has arrived, or right behind an L. */
const FOLLOWING = ['file/uncovered-fuses', 'file/list-address-missing']

test('the example is laid out as these tests take it', () => {
  expect(textFrom(WHOLE.subarray(SUM_FIELD))).toBe('C124E*\x038A76')
  expect(verify(WHOLE, { device: '14L4' }).verdict).toBe('pass')
})

describe('cut before the end mark', () => {
  test('never passes; an error says that it was cut, until the fuse checksum has arrived', () => {
    for (let length = 0; length <= ETX; length++) {
      const cut = WHOLE.slice(0, length)
      const report = verify(cut, { device: '14L4' })
      const errors = report.findings.filter(({ severity }) => severity === 'error').map(({ code }) => code)
      const vouched = length >= SUM_FIELD + 5
      expect([length, report.verdict], `the first ${length} bytes`).toEqual([length, vouched ? 'caution' : 'fail'])
      if (vouched) expect(report.findings[0]!.code).toBe('file/end-mark-missing')
      else
        expect(
          errors.some((code) => CLEAR.includes(code)),
          `the first ${length} bytes: ${errors.join()}`,
        ).toBe(true)
      expect(
        errors.filter((code) => ![...CLEAR, ...FOLLOWING].includes(code)),
        `the first ${length} bytes`,
      ).toEqual([])
      expect(brokenReading(cut), `the first ${length} bytes`).toBeNull()
    }
  })

  test('the finding of a cut stands at the open field and quotes it', () => {
    const at = textFrom(WHOLE).indexOf('L0224')
    const [error] = readExplained(WHOLE.slice(0, at + 12)).findings
    expect(error).toMatchObject({
      code: 'file/cut-short',
      position: { offset: at },
      message: expect.stringContaining('L0224 010101'),
    })
  })

  test('a checksum before the last list vouches for nothing', () => {
    const text = textFrom(WHOLE)
    const early = latin1(text.slice(0, SUM_FIELD).replace('L0000', 'C124E*\r\nL0000'))
    for (let length = early.length - 250; length <= early.length; length++) {
      const { verdict, findings } = verify(early.slice(0, length), { device: '14L4' })
      expect([length, verdict, findings.some(({ code }) => code === 'file/cut-short')]).toEqual([
        length,
        'fail',
        true,
      ])
    }
  })

  test('a wrong checksum vouches for nothing', () => {
    const wrong = latin1(textFrom(WHOLE.slice(0, ETX)).replace('C124E', 'C124D'))
    expect(
      readExplained(wrong)
        .findings.filter(({ severity }) => severity === 'error')
        .map(({ code }) => code)
        .sort(),
    ).toEqual(['checksum/fuse-mismatch', 'file/cut-short'])
  })
})

test('cut among the digits after the end mark: absent, then wrong, then right', () => {
  const statuses = [1, 2, 3, 4, 5].map(
    (more) => readExplained(WHOLE.slice(0, ETX + more)).checksums.transmission.status,
  )
  expect(statuses).toEqual(['absent', 'mismatch', 'mismatch', 'mismatch', 'match'])
  for (const more of [2, 3, 4]) expect(verify(WHOLE.slice(0, ETX + more), { device: '14L4' }).verdict).toBe('caution')
})

test('a bare file, without marks, is never passed before its checksum has arrived', () => {
  const bare = WHOLE.slice(1, ETX)
  const arrived = SUM_FIELD + 4
  for (let length = 0; length <= bare.length; length++) {
    const { verdict } = verify(bare.slice(0, length), { device: '14L4' })
    if (length < arrived) expect(verdict, `the first ${length} bytes`).not.toBe('pass')
  }
  expect(verify(bare, { device: '14L4' }).verdict).toBe('pass')
})

test('a bare file cut inside a field says so, as long as no checksum vouches for its lists', () => {
  const bare = WHOLE.slice(1, ETX)
  for (const field of ['L0112 010101', 'V0003 1000', 'C12']) {
    const at = textFrom(bare).indexOf(field)
    const { verdict, findings } = verify(bare.slice(0, at + field.length), { device: '14L4' })
    expect([field, verdict]).toEqual([field, 'fail'])
    expect(findings.find(({ code }) => code === 'file/cut-short')).toMatchObject({
      severity: 'error',
      position: { offset: at },
    })
  }
})

test('the tail of a file, its head lost, never throws', () => {
  for (let from = 1; from < WHOLE.length; from++) {
    const tail = WHOLE.slice(from)
    // Behind the marks' place there is nothing to read.
    if (from < ETX - 3) expect(brokenReading(tail), `from byte ${from} on`).toBeNull()
  }
})
