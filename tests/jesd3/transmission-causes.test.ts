/**
 * What a wrong transmission sum is consistent with. Each cause is made by really changing the bytes; the arithmetic of
 * the library (13 for a CR, 10 for an LF) appears nowhere here.
 */
import { describe, expect, test } from 'vitest'
import { verify, type TransmissionCause, type ReportedTransmissionSum } from '../../src/index'
import { readExplained, type ExplainedFile } from './read-explained'
import { framed, hex4, latin1, seeded, textFrom, transmissionSum } from './reference'

/** A file of 16V8 size with one line end after each field; `ends` are used in turn. */
function fieldsWith(ends: readonly string[]): string {
  const fields = [
    'Title',
    'QP20',
    'QF2194',
    'G0',
    'F0',
    ...Array.from({ length: ends.length - 6 }, (_, i) => `L${String(i * 32).padStart(4, '0')} ${'10'.repeat(16)}`),
    'C0000',
  ]
  return fields
    .slice(0, ends.length)
    .map((field, i) => `${field}*${ends[i]}`)
    .join('')
}

function repeat(end: string, count: number): string[] {
  return Array<string>(count).fill(end)
}

/** Reads fields with a stated sum; the fuses are beside the matter here. */
function transmissionOf(fields: string, stated: string): ReportedTransmissionSum {
  return readExplained(framed(fields, stated)).checksums.transmission
}

/** Stored as `stored` with the sum taken of `made`. */
function explained(made: string, stored: string): ReportedTransmissionSum {
  return transmissionOf(stored, transmissionSum(framed(made)))
}

const WORDS: Readonly<Record<TransmissionCause, string>> = {
  'line-ends-lf-to-crlf': 'LF having been CR LF',
  'line-ends-crlf-to-lf': 'CR LF were LF',
  'line-ends-cr': 'lone CR',
  'carriage-returns-lost': 'carriage returns lost',
  'start-mark-left-out': 'without the start mark',
  'end-mark-left-out': 'without the end mark',
  'wrong-digit-count': 'digits',
}

describe('one cause', () => {
  const count = 30
  const [crlf, lf, cr] = ['\r\n', '\n', '\r'].map((end) => fieldsWith(repeat(end, count))) as [string, string, string]

  test.each<[string, TransmissionCause, string, string]>([
    ['CR LF stored as LF', 'line-ends-lf-to-crlf', crlf, lf],
    ['LF stored as CR LF', 'line-ends-crlf-to-lf', lf, crlf],
    ['lone CR stored as CR LF', 'line-ends-cr', cr, crlf],
    ['lone CR stored as LF', 'line-ends-cr', cr, lf],
    ['CR LF stored as lone CR', 'line-ends-cr', crlf, cr],
  ])('%s', (_, code, made, stored) => {
    expect(explained(made, stored)).toEqual({
      stated: transmissionSum(framed(made)),
      computed: transmissionSum(framed(stored)),
      status: 'mismatch',
      explanation: code,
    })
  })

  test.each([1, 2, 3, 4])('%i carriage returns lost in a file of CR LF', (lost) => {
    const stored = fieldsWith([...repeat('\r\n', count - lost), ...repeat('\n', lost)])
    expect(explained(crlf, stored).explanation).toBe('carriage-returns-lost')
  })

  test.each([1, 2, 3, 4])('%i carriage returns lost in a file of LF', (lost) => {
    const made = fieldsWith([...repeat('\r\n', lost), ...repeat('\n', count - lost)])
    expect(explained(made, lf).explanation).toBe('carriage-returns-lost')
  })

  test.each([1, 2, 3, 4])('%i of eight lone LF in a mixed file', (lost) => {
    const made = fieldsWith([...repeat('\r\n', 22 + lost), ...repeat('\n', 8 - lost)])
    const stored = fieldsWith([...repeat('\r\n', 22), ...repeat('\n', 8)])
    expect(explained(made, stored).explanation).toBe('carriage-returns-lost')
  })

  test('five of eight lone LF in a mixed file are too many to tell from chance', () => {
    const made = fieldsWith([...repeat('\r\n', 27), ...repeat('\n', 3)])
    const stored = fieldsWith([...repeat('\r\n', 22), ...repeat('\n', 8)])
    expect(explained(made, stored)).toMatchObject({ status: 'mismatch', explanation: null })
  })

  test('five carriage returns too few where no LF stands alone are not explained', () => {
    const sum = parseInt(transmissionSum(framed(crlf)), 16)
    for (let lost = 1; lost <= 5; lost++) expect(transmissionOf(crlf, hex4(sum + 13 * lost)).explanation).toBeNull()
  })

  test('a sum taken without a mark', () => {
    const sum = parseInt(transmissionSum(framed(crlf)), 16)
    expect(transmissionOf(crlf, hex4(sum - 2)).explanation).toBe('start-mark-left-out')
    expect(transmissionOf(crlf, hex4(sum - 3)).explanation).toBe('end-mark-left-out')
  })

  test('a right value in another number of digits', () => {
    const fields = ['F', 'G']
      .map((title) => `${title}*QF8*F0*`)
      .find((text) => transmissionSum(framed(text)).startsWith('0'))!
    const sum = transmissionSum(framed(fields))
    for (const text of [sum.slice(1), `0${sum}`])
      expect(transmissionOf(fields, text)).toEqual({
        stated: text,
        computed: sum,
        status: 'mismatch',
        explanation: 'wrong-digit-count',
      })
    expect(transmissionOf(fields, `${sum}0`).status).toBe('match')
  })

  test('small letters do not hide a cause', () => {
    const made = transmissionSum(framed(crlf))
    expect(made).toMatch(/[A-F]/)
    expect(transmissionOf(lf, made.toLowerCase()).explanation).toBe('line-ends-lf-to-crlf')
  })
})

describe('two causes at once', () => {
  test.each<[string, string[], number, TransmissionCause[]]>([
    ['six LF and two CR LF', [...repeat('\n', 6), ...repeat('\r\n', 2)], -2, ['line-ends-cr', 'start-mark-left-out']],
    ['twelve LF and one CR LF', [...repeat('\n', 12), '\r\n'], 26, ['line-ends-cr', 'carriage-returns-lost']],
    // 5041 line ends: 13 each is 65533, three short of 65536.
    ['5041 LF', repeat('\n', 5041), -3, ['line-ends-lf-to-crlf', 'end-mark-left-out']],
  ])('%s', (_, ends, change, codes) => {
    const fields = ends.map((end, i) => (i === 0 ? `T*QF8*F1*C00FF*${end}` : `N*${end}`)).join('')
    const file = readExplained(framed(fields, hex4(parseInt(transmissionSum(framed(fields)), 16) + 65536 + change)))
    expect(file.checksums.transmission).toMatchObject({ status: 'mismatch', explanation: null })
    const message = file.findings.find(({ code }) => code === 'checksum/transmission-explained')!.message
    expect(message).toContain('consistent with')
    for (const code of codes) expect(message).toContain(WORDS[code])
  })
})

/** All causes under which `stated` is the sum of the stored fields, each found by changing the bytes. */
function causesByChange(stored: string, stated: string): Set<TransmissionCause> {
  const frame = `\x02${stored}\x03`
  const bare = (text: string): string => hex4([...latin1(text)].reduce((a, b) => a + b, 0))
  const causes = new Set<TransmissionCause>()
  const when = (code: TransmissionCause, text: string): void => {
    if (text !== frame && bare(text) === stated) causes.add(code)
  }
  const lone = frame.split(/(?<!\r)\n/).length - 1
  const returns = frame.includes('\r\n')
  // A few lone LF among CR LF are lost carriage returns; LF throughout is another kind of line end.
  const few = returns && lone <= 4
  if (!few) when('line-ends-lf-to-crlf', frame.replace(/(?<!\r)\n/g, '\r\n'))
  if (returns) when('line-ends-crlf-to-lf', frame.replaceAll('\r\n', '\n'))
  if (frame.includes('\n')) when('line-ends-cr', frame.replace(/\r?\n/g, '\r'))
  else when('line-ends-cr', frame.replaceAll('\r', '\r\n'))
  for (let lost = 1; lost <= 4 && lost <= lone; lost++) {
    let left = lost
    if (lost < lone || few)
      when(
        'carriage-returns-lost',
        frame.replace(/(?<!\r)\n/g, (end) => (left-- > 0 ? '\r\n' : end)),
      )
  }
  when('start-mark-left-out', frame.slice(1))
  when('end-mark-left-out', frame.slice(0, -1))
  return causes
}

describe('every stated value', () => {
  test('near the right one has just the causes that changing the bytes shows', () => {
    for (const [returns, feeds, lone] of [
      [0, 0, 0],
      [8, 0, 0],
      [0, 8, 0],
      [0, 0, 8],
      [7, 1, 0],
      [4, 4, 0],
      [3, 5, 0],
      [2, 6, 0],
      [1, 12, 0],
      [0, 1, 0],
      [1, 0, 0],
      [0, 0, 1],
      [0, 4, 0],
    ] as const) {
      const stored = fieldsWith([
        ...repeat('\r\n', returns),
        ...repeat('\n', feeds),
        ...repeat('\r', lone),
        ...repeat('', 7),
      ])
      const computed = transmissionSum(framed(stored))
      for (let change = -130; change <= 170; change++) {
        const stated = hex4(parseInt(computed, 16) + change + 65536)
        const causes = causesByChange(stored, stated)
        const found = transmissionOf(stored, stated)
        const trial = `${returns} CR LF, ${feeds} LF, ${lone} CR, ${change} off`
        expect(found.explanation, trial).toBe(causes.size === 1 ? [...causes][0] : null)
        expect(found, trial).toMatchObject({ stated, computed, status: change === 0 ? 'match' : 'mismatch' })
      }
    }
  })

  test('far from it is not explained', () => {
    const random = seeded(91)
    const stored = fieldsWith(repeat('\r\n', 40))
    const computed = parseInt(transmissionSum(framed(stored)), 16)
    for (let round = 0; round < 500; round++) {
      const stated = hex4(computed + 600 + random.below(64000))
      expect(transmissionOf(stored, stated).explanation, `seed 91, round ${round}: ${stated}`).toBeNull()
    }
  })
})

describe('an explanation', () => {
  const good = 'T*QP20*QF2194*G0*F0*L0000 10101010*L2192 11*C0058*N.*'.replaceAll('*', '*\r\n')

  test('lowers neither the status nor the warning', () => {
    const explainedFile = framed(good.replaceAll('\r\n', '\n'), transmissionSum(framed(good)))
    const unexplained = framed(good, '1234')
    for (const [bytes, explanation] of [
      [explainedFile, 'line-ends-lf-to-crlf'],
      [unexplained, null],
    ] as const) {
      const file = readExplained(bytes)
      expect(file.checksums.transmission).toMatchObject({ status: 'mismatch', explanation })
      expect(file.findings.find(({ code }) => code === 'checksum/transmission-mismatch')!.severity).toBe('warning')
      expect(verify(bytes, { device: '16V8' }).verdict).toBe('caution')
      expect(verify(bytes, { device: '16V8' }).checksums.transmission).toEqual(file.checksums.transmission)
    }
  })

  test('is always “consistent with”', () => {
    const file = readExplained(framed(good.replaceAll('\r\n', '\n'), transmissionSum(framed(good))))
    expect(file.findings.at(-1)!.message).toContain(
      `consistent with its ${textFrom(file.bytes).split('\n').length - 1} line ends LF`,
    )
  })

  test('is not sought where the sum matches, is 0000 or is absent', () => {
    for (const stated of [transmissionSum(framed(good)), '0000', ''])
      expect(transmissionOf(good, stated).explanation).toBeNull()
  })
})

describe('line ends and the verdict', () => {
  /** A sound file of `count` lines stored with LF, its transmission sum taken with CR LF. */
  const changed = (count: number): ExplainedFile => {
    const fields = ['T*QP4*QV1', 'QF16*G0*F0*X0', 'L0 1011000111010010*C00D8', 'V1 01HL', ...repeat('N', count - 4)]
    const made = framed(fields.map((field) => `${field}*\r\n`).join(''))
    return readExplained(framed(fields.map((field) => `${field}*\n`).join(''), transmissionSum(made)))
  }

  test('ten lines change the sum by 130, more than one byte of seven bits can: a note', () => {
    expect(changed(10).findings.map(({ code, severity }) => [code, severity])).toEqual([
      ['checksum/line-ends-changed', 'note'],
    ])
  })

  test('nine change it by 117, as one damaged character could: a warning with the same explanation', () => {
    const file = changed(9)
    expect(file.checksums.transmission.explanation).toBe('line-ends-lf-to-crlf')
    expect(file.findings.map(({ code, severity }) => [code, severity])).toEqual([
      ['checksum/transmission-mismatch', 'warning'],
      ['checksum/transmission-explained', 'note'],
    ])
  })

  test('without a fuse checksum that is right it is a warning', () => {
    const stored = Array.from({ length: 20 }, () => 'N*')
    const fields = `T*QP4*QF8*G0*F0*\n${stored.join('\n')}\n`
    const file = readExplained(framed(fields, transmissionSum(framed(fields.replaceAll('\n', '\r\n')))))
    expect(file.findings.map(({ code }) => code)).toContain('checksum/transmission-mismatch')
    expect(file.checksums.transmission.explanation).toBe('line-ends-lf-to-crlf')
  })
})
