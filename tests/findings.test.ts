/**
 * One small fuse file for every finding code, named after it, with a declaration of exactly what verifying it yields,
 * comparing it with other files, or the job that it names: codes, byte offsets, fuses, pins, vectors, sides, verdict. Pairs are found by
 * listing the directory, so that a new one is two files and no code. The offsets come from marks in the generator's
 * literals, not from this library.
 */
import { execFileSync } from 'node:child_process'
import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { describe, expect, test } from 'vitest'
import { examineAdapter, type AdapterReport, type Board, type BoardPart } from '../src/board'
import { examineCapture, type CaptureOptions, type CaptureReport } from '../src/capture'
import { adapterPage, capturePage } from '../src/report'
import { distinguish, exercise, grade, type ExerciseOptions } from '../src/vectors'
import {
  compare,
  compareReadings,
  findingCatalogue,
  findingWords,
  verify,
  type CatalogueEntry,
  type CompareOptions,
  type Comparison,
  type Finding,
  type FindingData,
  type FindingDataOf,
  type ReadingsReport,
  type Report,
  type Severity,
  type Verdict,
  type VerifyOptions,
} from '../src/index'
import { pageErrors } from './report/page-rules'
import { QUOTED, wordsInData } from './finding-words'

const DIRECTORY = fileURLToPath(new URL('../vectors/findings/', import.meta.url))

interface DeclaredFinding {
  readonly code: string
  readonly offset: number | null
  readonly fuse?: number
  readonly pin?: number
  readonly vector?: number
  readonly side?: Finding['side']
}

interface Declaration {
  readonly why: string
  /** What is done with it, where that is not to verify or compare it; `distinguish` takes `other` too. */
  readonly job?: 'grade' | 'exercise' | 'distinguish'
  /** The file that it is compared with; without one the file is verified by itself. */
  readonly other?: string
  /** Further reads of the chip that it is the first read of. */
  readonly reads?: readonly string[]
  /** The board whose part U1 it is the file of, the other parts' files by name; a second file is its original. */
  readonly board?: Omit<Board, 'parts'> & {
    readonly parts: readonly (Omit<BoardPart, 'file'> & { readonly file?: string })[]
  }
  /** The image, in hexadecimal, that the board is compared with under the wiring of the options. */
  readonly image?: string
  /** Images, in hexadecimal, that it is what they are compared with; or not, where they are examined alone. */
  readonly capture?: {
    readonly images: readonly string[]
    readonly down?: readonly string[]
    readonly alone?: boolean
    readonly pulls?: readonly [string, string]
  }
  readonly options: Omit<VerifyOptions, 'vectors'> &
    Pick<CaptureOptions, 'wiring' | 'search' | 'searchOptions'> &
    Omit<CompareOptions, keyof VerifyOptions> &
    Pick<ExerciseOptions, 'start' | 'maxVectors'> & { readonly vectors?: string }
  readonly verdict: Verdict
  readonly findings: readonly DeclaredFinding[]
}

interface Case extends Declaration {
  readonly name: string
  /** The code that the file is named after. */
  readonly code: string
  readonly bytes: Uint8Array
}

const bytesOf = (file: string): Uint8Array => readFileSync(join(DIRECTORY, file))

function readCase(name: string): Case {
  const declaration = JSON.parse(readFileSync(join(DIRECTORY, `${name}.json`), 'utf8')) as Declaration
  return { ...declaration, name, code: name.replace('-', '/'), bytes: bytesOf(`${name}.jed`) }
}

const namesWith = (ending: string): string[] =>
  readdirSync(DIRECTORY)
    .filter((file) => file.endsWith(ending))
    .map((file) => file.slice(0, -ending.length))
    .sort()

const CASES = namesWith('.json').map(readCase)
const CATALOGUE: Readonly<Record<string, CatalogueEntry>> = findingCatalogue()

type Outcome = Pick<Report | Comparison | ReadingsReport | AdapterReport | CaptureReport, 'findings' | 'verdict'>

function runCase({
  bytes,
  options,
  job,
  other,
  reads,
  board,
  image,
  capture,
}: Case): Outcome {
  const { vectors, ...others } = options
  if (job === 'grade') return grade(bytes, others)
  if (job === 'exercise') return exercise(bytes, others)
  if (job === 'distinguish') return distinguish([bytes, bytesOf(other!)], others)
  if (capture !== undefined)
    return examineCapture(capture.images.map(imageOf), {
      ...others,
      down: (capture.down ?? []).map(imageOf),
      ...(capture.pulls ? { pullUp: imageOf(capture.pulls[0]), pullDown: imageOf(capture.pulls[1]) } : {}),
      ...(capture.alone ? {} : { against: bytes }),
    })
  if (board !== undefined) {
    // The wiring is that of the image.
    const { wiring, ...ofBoard } = others
    return examineAdapter(withFiles(board, bytes), {
      faults: false,
      ...ofBoard,
      ...(image === undefined ? {} : { against: { image: imageOf(image), wiring: wiring! } }),
      ...(other === undefined ? {} : { against: { file: bytesOf(other), device: '14L4' } }),
    })
  }
  if (reads !== undefined) return compareReadings([bytes, ...reads.map(bytesOf)], others)
  if (other !== undefined) return compare(bytes, bytesOf(other), others)
  return verify(bytes, { ...others, ...(vectors === undefined ? {} : { vectors: bytesOf(vectors) }) })
}

function imageOf(digits: string): Uint8Array {
  return Uint8Array.from(digits.match(/../g)!, (byte) => parseInt(byte, 16))
}

/** A board with the bytes of its files. */
function withFiles(board: NonNullable<Declaration['board']>, bytes: Uint8Array): Board {
  return {
    ...board,
    parts: board.parts.map(({ file, ...part }) => ({ ...part, file: file === undefined ? bytes : bytesOf(file) })),
  }
}

/** A finding reduced to what a declaration states. */
function declared({ code, position, fuse, pin, vector, side }: Finding): DeclaredFinding {
  return {
    code,
    offset: position?.offset ?? null,
    ...(fuse === undefined ? {} : { fuse }),
    ...(pin === undefined ? {} : { pin }),
    ...(vector === undefined ? {} : { vector }),
    ...(side === undefined ? {} : { side }),
  }
}

const inOrder = (findings: readonly DeclaredFinding[]): DeclaredFinding[] =>
  [...findings].sort(
    (a, b) =>
      a.code.localeCompare(b.code) ||
      (a.side ?? '').localeCompare(b.side ?? '') ||
      (a.offset ?? -1) - (b.offset ?? -1) ||
      (a.pin ?? 0) - (b.pin ?? 0),
  )

describe('the set of vectors', () => {
  test('every code of the catalogue has a vector named after it', () => {
    const covered = new Set(CASES.map(({ code }) => code))
    expect(Object.keys(CATALOGUE).filter((code) => !covered.has(code))).toEqual([])
  })

  test('every vector is named after a code of the catalogue and declares it', () => {
    expect(CASES.filter(({ code }) => !(code in CATALOGUE)).map(({ name }) => name)).toEqual([])
    expect(
      CASES.filter(({ code, findings }) => !findings.some((finding) => finding.code === code)).map(
        ({ name }) => name,
      ),
    ).toEqual([])
  })

  test('every fuse file has a declaration or is named in one', () => {
    const named = new Set(
      CASES.flatMap(({ name, options, other, reads = [] }) => [
        name,
        ...[options.vectors, other, ...reads].flatMap((file) =>
          file === undefined ? [] : [file.replace(/\.jed$/, '')],
        ),
      ]),
    )
    expect(namesWith('.jed').filter((name) => !named.has(name))).toEqual([])
  })

  test('every declaration says why', () => {
    expect(CASES.filter(({ why }) => !/^[A-Z0-9].*\.$/.test(why)).map(({ name }) => name)).toEqual([])
  })

  test('the generator beside them makes exactly these files', () => {
    const made = mkdtempSync(join(tmpdir(), 'findings-'))
    try {
      execFileSync('node', [join(DIRECTORY, 'make.mjs'), made])
      const files = readdirSync(made).sort()
      expect(files).toEqual(
        readdirSync(DIRECTORY)
          .filter((file) => /\.(jed|json)$/.test(file))
          .sort(),
      )
      const differing = files.filter(
        (file) => readFileSync(join(made, file), 'latin1') !== readFileSync(join(DIRECTORY, file), 'latin1'),
      )
      expect(differing).toEqual([])
    } finally {
      rmSync(made, { recursive: true, force: true })
    }
  })
})

describe('each vector yields exactly what it declares', () => {
  test.each(CASES)('$name', (given) => {
    const { findings, verdict } = runCase(given)
    expect(inOrder(findings.map(declared))).toEqual(inOrder(given.findings))
    expect(verdict).toBe(given.verdict)
  })
})

describe('the page of a capture keeps to the rules of pages', () => {
  test.each(CASES.filter(({ capture }) => capture))('$name', (given) => {
    const report = runCase(given) as CaptureReport
    const images = report.rows ? given.capture!.images.map(imageOf) : []
    const pages = [capturePage(report), capturePage(report, { images })]
    expect(pages.flatMap(pageErrors)).toEqual([])
    for (const page of pages) expect(page).not.toMatch(/undefined|NaN|>null<|\[object/)
  })
})

describe('the page of a board keeps to the rules of pages', () => {
  test.each(CASES.filter(({ board }) => board))('$name', (given) => {
    const report = runCase(given) as AdapterReport
    const pages = [adapterPage(report), adapterPage(report, { board: withFiles(given.board!, given.bytes) })]
    expect(pages.flatMap(pageErrors)).toEqual([])
    for (const page of pages) expect(page).not.toMatch(/undefined|NaN|>null<|\[object/)
  })
})

/** Line and column by splitting the whole file at its line ends: CR LF, lone LF and lone CR each end one line. */
function lineAndColumn(bytes: Uint8Array, offset: number): { readonly line: number; readonly column: number } {
  const text = Array.from(bytes, (byte) => String.fromCharCode(byte)).join('')
  const starts = [0, ...Array.from(text.matchAll(/\r\n|\n|\r/g), (end) => end.index + end[0].length)]
  const passed = starts.filter((start) => start <= offset)
  return { line: passed.length, column: offset - passed[passed.length - 1]! + 1 }
}

const LISTED = CASES.flatMap((given) =>
  runCase(given).findings.map((finding) => ({
    name: given.name,
    bytes: finding.side === 'readback' ? bytesOf(given.other!) : given.bytes,
    finding,
  })),
)

const namesOf = (data: FindingData): string[] => Object.keys(data).sort()

/** Names in a text and in the texts of the codes that the data hold; records of lists are held to their own texts. */
function namesAsked(
  text: string,
  data: FindingData,
  { words = {}, items = {} }: Pick<CatalogueEntry, 'words' | 'items'>,
): string[] {
  const names = [...text.matchAll(/\{(\w+)/g)].map(([, name]) => name!)
  for (const name of names) {
    const [item, value] = [items[name], data[name]]
    if (Array.isArray(value) && typeof item === 'object')
      for (const each of value as FindingData[])
        expect([name, ...namesOf(each)]).toEqual([name, ...namesAsked(item.message, each, item)])
  }
  const deeper = names.flatMap((name) => {
    const chosen = words[name]?.[String(data[name])]
    return chosen === undefined ? [] : namesAsked(chosen, data, { words, items })
  })
  return [...new Set([...names, ...deeper])].sort()
}

describe('each listed finding', () => {
  test('has the line and column that counting the line ends gives', () => {
    const placed = LISTED.filter(({ finding }) => finding.position)
    expect(placed.length).toBeGreaterThan(50)
    for (const { name, bytes, finding } of placed) {
      const { offset } = finding.position!
      expect({ name, ...finding.position }).toEqual({ name, offset, ...lineAndColumn(bytes, offset) })
    }
  })

  test('is written out: no placeholder is left in message, hint or clause', () => {
    const unfilled = LISTED.filter(({ finding: { message, hint, clause } }) =>
      /\{\w*\}|undefined|NaN/.test(message + hint + clause),
    )
    expect(
      unfilled.map(({ name, finding }) => `${name}: ${finding.message} ${finding.hint} (${finding.clause})`),
    ).toEqual([])
  })

  test('can be made again from its code and its data alone, also after a trip through JSON', () => {
    for (const { name, finding } of LISTED) {
      const { code, data } = JSON.parse(JSON.stringify(finding)) as Finding
      const { message, hint, clause } = finding
      expect({ name, ...findingWords(code, data) }).toEqual({ name, message, hint, clause })
    }
  })

  test('has data under exactly the names that its wording asks for, with the codes that stand in it', () => {
    for (const { finding } of LISTED) {
      const { message, hint, clause, ...entry } = CATALOGUE[finding.code]!
      expect([finding.code, ...namesOf(finding.data)]).toEqual([
        finding.code,
        ...namesAsked(message + hint + clause, finding.data, entry),
      ])
    }
  })

  test('has a code with words for each parameter that has any', () => {
    for (const { finding } of LISTED)
      for (const [name, words] of Object.entries(CATALOGUE[finding.code]!.words ?? {}))
        for (const value of [finding.data[name] ?? []].flat())
          expect([finding.code, name, Object.keys(words)]).toEqual([
            finding.code,
            name,
            expect.arrayContaining([String(value)]),
          ])
  })

  test('has codes, numbers and addresses in its data, and no words but those of documents', () => {
    expect(LISTED.flatMap(({ finding: { code, data } }) => wordsInData(data).map((words) => [code, words]))).toEqual([])
  })

  test.each(Object.keys(QUOTED))('quotes documents under %s, which some text asks for', (name) => {
    expect(JSON.stringify(CATALOGUE)).toMatch(new RegExp(`\\{${name}[,}]`))
  })

  test('has the severity of the catalogue, and the verdict follows from the severities', () => {
    for (const { finding } of LISTED) expect(finding.severity).toBe(CATALOGUE[finding.code]!.severity)
    // A grade is never better than its file, whose own findings it does not repeat.
    for (const given of CASES.filter(({ job, verdict }) => job !== 'grade' || verdict !== 'fail')) {
      const severities = given.findings.map(({ code }): Severity => CATALOGUE[code]!.severity)
      const expected: Verdict = severities.includes('error')
        ? 'fail'
        : severities.includes('warning')
          ? 'caution'
          : 'pass'
      expect([given.name, given.verdict]).toEqual([given.name, expected])
    }
  })
})

test('every entry of the catalogue has a severity, a message, a hint and a clause', () => {
  expect(Object.keys(CATALOGUE).length).toBeGreaterThan(0)
  for (const [code, { severity, message, hint, clause }] of Object.entries(CATALOGUE)) {
    expect(code).toMatch(/^[a-z]+\/[a-z]+(-[a-z]+)*$/)
    expect(['error', 'warning', 'note']).toContain(severity)
    for (const text of [message, hint, clause]) expect({ code, text: text.trim() }).not.toEqual({ code, text: '' })
  }
})

test('the types know the data of each code: a name less, one more or a misspelt one does not compile', () => {
  const sum: FindingDataOf<'compare/equal-sums'> = { sum: '40AA' }
  // @ts-expect-error: a name of the wording is missing
  const less: FindingDataOf<'compare/equal-sums'> = {}
  // @ts-expect-error: a misspelt name
  const misspelt: FindingDataOf<'compare/equal-sums'> = { som: '40AA' }
  // @ts-expect-error: what is counted is a number
  const counted: FindingDataOf<'compare/dont-care'> = { count: '3' }
  // @ts-expect-error: this wording asks for nothing
  const none: FindingDataOf<'readback/signature-only'> = { count: 3 }
  expect([sum, less, misspelt, counted, none]).toHaveLength(5)
  expect(findingWords('compare/equal-sums', sum).message).toBe(
    'The maps differ although their fuse checksums are equal (40AA).',
  )
  expect(() => findingWords('compare/no-such-code' as 'compare/loops', {})).toThrow(RangeError)
})

/** 448 fuses, fuse 0 alone in state 1 (fuse checksum 0001), no transmission checksum computed: one note. */
const flooded = (remarks: string, sum: string, vector: string): string =>
  `\x02Flood*QP20*QF448*G0*F0*${remarks}L0 1*${sum}*${vector}*\x030000`

/** A field of no known form: one note each. */
const REMARKS = 300
const MANY_NOTES = 'QZ*'.repeat(REMARKS)
const HOLDING = 'V1 NNNNNNNNNNNNNHHHHNNN'

describe('a bounded list keeps the worst', () => {
  test.each([
    ['an error found while reading', flooded(MANY_NOTES, 'C0006', HOLDING), 'checksum/fuse-mismatch'],
    ['an error found by a later step', flooded(MANY_NOTES, 'C0001', 'V1 NNNNNNNNNNNNNLHHHNNN'), 'vector/failed'],
  ])('%s, behind three hundred notes', (_, text, code) => {
    const { findings, verdict } = verify(text, { device: '14L4' })
    // Every malformed field is a note, and so is the transmission checksum 0000.
    const notes = REMARKS + 1
    const shown = 100
    expect(findings).toHaveLength(shown + 1)
    expect(findings[0]).toMatchObject({ code, severity: 'error' })
    expect(findings.slice(1, shown).every(({ severity }) => severity === 'note')).toBe(true)
    expect(verdict).toBe('fail')
    const closing = findings[shown]!
    expect(closing.code).toBe('file/more-findings')
    expect(closing.message.match(/\d+/g)!.map(Number)).toEqual([1 + notes - shown, 1, 0, notes])
  })

  test('the verdict counts what is not listed: of two errors one is shown, of one warning and the notes none', () => {
    const text = flooded(MANY_NOTES, 'C0006', 'V1 NNNNNNNNNNNNNLHHHNNN').replace('G0*', 'G1*')
    const { findings, verdict } = verify(text, { device: '14L4', maxFindings: 1 })
    expect(findings.map(({ code }) => code)).toEqual(['checksum/fuse-mismatch', 'file/more-findings'])
    expect(findings[1]!.message.match(/\d+/g)!.map(Number)).toEqual([REMARKS + 1 + 1 + 1, 2, 1, REMARKS + 1])
    expect(verdict).toBe('fail')
  })

  test('a list that fits has no closing entry', () => {
    const { findings } = verify(flooded('QZ*', 'C0001', HOLDING), { device: '14L4', maxFindings: 2 })
    expect(findings.map(({ code }) => code)).toEqual(['file/field-malformed', 'checksum/transmission-not-computed'])
  })
})

test.each([
  ['82S100', 'An'],
  ['8L14', 'An'],
  ['18V10', 'An'],
  ['18L4', 'An'],
  ['16V8', 'A'],
])('before %s stands “%s”, as it is spoken', (device, article) => {
  const { findings } = verify('\x02T*QF8*F0*C0000*\x030000', { device })
  const { message } = findings.find(({ code }) => code === 'device/size-mismatch')!
  expect(message.split(' ').slice(0, 2)).toEqual([article, device])
})
