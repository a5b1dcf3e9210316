/** Logs of SARIF 2.1.0: the rules of the standard over every file of vectors/, places, fingerprints, names as URIs. */
import { describe, expect, test } from 'vitest'
import { compare, findingCatalogue, verify, type CompareOptions, type VerifyOptions } from '../../src/index'
import { renderSarif, type SarifOptions } from '../../src/report'
import { sarifErrors } from './sarif-rules'
import { bytesOf, files, pairs } from './vector-files'

const EXAMPLE = bytesOf('published/jesd3a-14l4.jed')
const FLIPPED = bytesOf('demo/example-one-fuse-flipped.jed')

const logOf = (results: Parameters<typeof renderSarif>[0], options?: SarifOptions): any =>
  JSON.parse(renderSarif(results, options))
const checkLog = (input: Uint8Array | string, options: VerifyOptions = {}): any =>
  logOf(verify(input, { name: 'a.jed', ...options }))
const compareLog = (a: Uint8Array | string, b: Uint8Array | string, options: CompareOptions = {}): any =>
  logOf(compare(a, b, { name: 'a.jed', otherName: 'b.jed', ...options }))
const resultOf = (log: any, code: string): any => log.runs[0].results.find(({ ruleId }: any) => ruleId === code)

describe('the rules of the standard', () => {
  test.each(files)('hold for %s', (name) => {
    expect(sarifErrors(checkLog(bytesOf(name), { name }))).toEqual([])
  })

  test.each(pairs)('hold for $name against $other', ({ name, other }) => {
    expect(sarifErrors(compareLog(bytesOf(name), bytesOf(other), { name, otherName: other }))).toEqual([])
  })

  test('hold for all of them in one log, which numbers rules and files over all', () => {
    const log = logOf([
      ...files.map((name) => verify(bytesOf(name), { name })),
      ...pairs.map(({ name, other }) => compare(bytesOf(name), bytesOf(other), { name, otherName: other })),
    ])
    expect(sarifErrors(log)).toEqual([])
    expect(log.runs[0].artifacts).toHaveLength(files.length)
    expect(log.runs[0].properties.outcomes).toHaveLength(files.length + pairs.length)
  })

  test('are seen where they are broken', () => {
    const log = checkLog('')
    const [run] = log.runs
    const broken = (change: (copy: any) => void): string[] => {
      const copy = structuredClone(log)
      change(copy.runs[0])
      return sarifErrors(copy)
    }
    expect(sarifErrors(log)).toEqual([])
    expect(run.results.length).toBeGreaterThan(0)
    expect(broken(({ results }) => (results[0].level = 'fatal'))).toHaveLength(1)
    expect(broken(({ results }) => (results[0].ruleIndex = 99))).toHaveLength(1)
    expect(broken(({ results }) => (results[0].hint = 'x'))).toHaveLength(1)
    expect(broken(({ results }) => delete results[0].message)).toHaveLength(1)
    expect(broken(({ artifacts }) => (artifacts[0].location.uri = 'a b.jed'))).toHaveLength(1)
  })
})

test('rules are those of the catalogue that occur, their parameters as names', () => {
  const { rules } = checkLog(EXAMPLE, { device: '16V8' }).runs[0].tool.driver
  const catalogue = findingCatalogue()
  for (const { id, defaultConfiguration } of rules)
    expect(defaultConfiguration.level).toBe(catalogue[id as keyof typeof catalogue].severity)
  const log = compareLog(EXAMPLE, FLIPPED, { device: '14L4' })
  const rule = log.runs[0].tool.driver.rules.find(({ id }: any) => id === 'compare/different')
  // The wording is '{count:output differs|outputs differ} in logic: {outputs}.'
  expect(rule.shortDescription.text).toBe('⟨count⟩ outputs differ in logic: ⟨outputs⟩.')
})

describe('places', () => {
  test('are a point in the file: line and column from 1, the byte from 0', () => {
    const result = resultOf(checkLog(FLIPPED, { device: '14L4' }), 'checksum/fuse-mismatch')
    const text = new TextDecoder('latin1').decode(FLIPPED)
    const offset = text.indexOf('C124E')
    const before = text.slice(0, offset).split('\n')
    expect(result.locations).toEqual([
      {
        physicalLocation: {
          artifactLocation: { uri: 'a.jed', index: 0 },
          region: {
            startLine: before.length,
            startColumn: before.at(-1)!.length + 1,
            endColumn: before.at(-1)!.length + 1,
            byteOffset: offset,
            byteLength: 0,
          },
        },
      },
    ])
    expect([result.level, result.message.text.startsWith('The fuse checksum')]).toEqual(['error', true])
  })

  test('of a comparison: differing fuses in both files, beside what leads', () => {
    const { locations, relatedLocations } = resultOf(
      compareLog(EXAMPLE, FLIPPED, { device: '14L4' }),
      'compare/different',
    )
    expect(locations[0].physicalLocation.artifactLocation).toEqual({ uri: 'b.jed', index: 1 })
    // Fuse 125 = 120 + 5: the sixth of the row that begins at fuse 112 stands 13 behind "L0112 ", in both files.
    const place = relatedLocations.map((each: any) => [
      each.physicalLocation.artifactLocation.uri,
      each.physicalLocation.region?.byteOffset ?? null,
      each.message.text,
    ])
    expect(place).toEqual([
      ['a.jed', null, 'the intended file'],
      ['a.jed', 282, 'fuse 125 is 0'],
      ['b.jed', 282, 'fuse 125 is 1'],
    ])
    expect(String.fromCharCode(EXAMPLE[282]!, FLIPPED[282]!)).toBe('01')
  })

  test('of a finding about one side lie in its file', () => {
    const result = resultOf(compareLog(EXAMPLE, 'nothing', { device: '14L4' }), 'file/not-a-fuse-file')
    expect(result.locations[0].physicalLocation.artifactLocation.uri).toBe('b.jed')
  })

  test('are left out without a name', () => {
    const { results, artifacts } = logOf(verify('')).runs[0]
    expect(artifacts).toEqual([])
    expect(results.flatMap(({ locations }: any) => locations)).toEqual([])
  })
})

describe('fingerprints', () => {
  const prints = (log: any): string[] =>
    log.runs[0].results.map(({ partialFingerprints }: any) => partialFingerprints['codeAndData/v1'])

  test('stay where lines are put in before what was found', () => {
    const text = new TextDecoder('latin1').decode(FLIPPED)
    const moved = text.replace('*', '*\n\n\n')
    const [before, after] = [text, moved].map((each) => checkLog(each, { device: '14L4' }))
    const line = (log: any): number =>
      resultOf(log, 'checksum/fuse-mismatch').locations[0].physicalLocation.region.startLine
    expect(line(after)).toBe(line(before) + 3)
    // The lines change the transmission sum, and with it what both sums say together.
    const own = (log: any): string[] => prints(log).filter((each) => !/transmission|one-fuse/.test(each))
    expect(own(before)).toHaveLength(3)
    expect(own(after)).toEqual(own(before))
  })

  test('are the same for the same finding in every file, and count equal ones of one file', () => {
    const named = (name: string): ReturnType<typeof verify> => verify('', { name })
    const one = prints(logOf(named('a.jed')))
    expect(one[0]).toMatch(/^\["file\/empty".*\]:1$/)
    expect(prints(logOf([named('a.jed'), named('b.jed')]))).toEqual([...one, ...one])
    expect(prints(logOf([named('a.jed'), named('a.jed')]))).toEqual([...one, ...one.map((each) => each.replace(/1$/, '2'))])
  })
})

test.each([
  ['a b/ü%#?.jed', 'a%20b/%C3%BC%25%23%3F.jed'],
  ['/a/b.jed', 'file:///a/b.jed'],
  ['C:\\fuses\\a.jed', 'file:///C:/fuses/a.jed'],
  ['\\\\host\\share\\a.jed', 'file://host/share/a.jed'],
  ['./a.jed', 'a.jed'],
  ['../a.jed', '../a.jed'],
  ['x:y.jed', 'x%3Ay.jed'],
  ['lone\ud800.jed', 'lone%EF%BF%BD.jed'],
])('the name %j is the reference %s', (name, uri) => {
  expect(logOf(verify('', { name })).runs[0].artifacts[0].location.uri).toBe(uri)
})

test('a file that could not be read is told, and the run is not called successful', () => {
  const [invocation] = logOf([], { unread: [{ name: 'x.jed', reason: 'it is {empty}' }] }).runs[0].invocations
  expect(invocation.executionSuccessful).toBe(false)
  expect(invocation.toolExecutionNotifications[0].message.text).toBe('The file was not looked at: it is {{empty}}.')
})
