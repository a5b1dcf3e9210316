/** Findings for tools that show results of analyses: one log of SARIF 2.1.0 (OASIS Standard, 27 March 2020). */
import { listOf, madeBy, optionsOf, stringOf } from '../arguments/arguments'
import { findingCatalogue, type FindingCode } from '../findings/catalogue'
import type { Finding, Position } from '../findings/finding'
import type { Report } from '../jobs/check/report'
import type { Comparison } from '../jobs/compare/comparison'
import { COMPARISON, leadOf } from './comparison-text'
import { REPORT } from './report-text'
import { fileUri } from './sarif-uri'

/** What else a log says. */
export interface SarifOptions {
  /** Version of the program that writes the log. */
  readonly version?: string
  /** Files that were to be looked at and could not be read. */
  readonly unread?: readonly { readonly name: string; readonly reason: string }[]
}

/** A value of a JSON document. */
type Json = string | number | boolean | null | readonly Json[] | { readonly [key: string]: Json | undefined }

const SCHEMA = 'https://docs.oasis-open.org/sarif/sarif/v2.1.0/os/schemas/sarif-schema-2.1.0.json'

/**
 * Reports and comparisons as one SARIF log: a result for each finding, with the place of the finding where it has one.
 * Rules are those of the catalogue that occur. `partialFingerprints` are made from code, data and what the finding is
 * about, so that a finding whose line has moved keeps them; the number at the end counts equal ones of a file. Columns
 * count bytes, as positions do. The verdict of each file, and the relation of two, stand in the properties of the run.
 *
 * @param results what `verify` and `compare` returned, one or a list
 * @param options version of the program that writes the log, and files that could not be read
 * @returns a JSON document
 * @throws TypeError naming `results` or an option
 * @example JSON.parse(renderSarif(verify(bytes, { name: 'a.jed' }))).version // '2.1.0'
 */
export function renderSarif(
  results: Report | Comparison | readonly (Report | Comparison)[],
  options: SarifOptions = {},
): string {
  const { version, unread = [] } = optionsOf(options, { version: true, unread: true })
  if (version !== undefined) stringOf(version, 'options.version')
  listOf(unread, 'options.unread')
  const list = (Array.isArray(results) ? results : [results]) as readonly (Report | Comparison)[]
  const log: Log = { rules: new Map(), files: new Map(), seen: new Map() }
  const made = list.flatMap((result) => resultsOf(checkedResult(result), log))
  const run = {
    tool: { driver: { name: 'fuse-assay', version, rules: [...log.rules.keys()].map(ruleOf) } },
    invocations: [{ executionSuccessful: unread.length === 0, toolExecutionNotifications: unread.map(notification) }],
    artifacts: [...log.files.keys()].map((uri) => ({ location: { uri }, roles: ['analysisTarget'] })),
    // A position counts bytes: so read, each byte is one character of a line.
    defaultEncoding: 'ISO-8859-1',
    newlineSequences: ['\r\n', '\n', '\r'],
    columnKind: 'unicodeCodePoints',
    results: made,
    properties: { outcomes: list.map(outcomeOf) },
  }
  return `${JSON.stringify({ $schema: SCHEMA, version: '2.1.0', runs: [run] }, null, 2)}\n`
}

/** What is numbered over a whole log: rules, files, and how often a fingerprint was seen. */
interface Log {
  readonly rules: Map<FindingCode, number>
  readonly files: Map<string, number>
  readonly seen: Map<string, number>
}

function numberOf<K>(map: Map<K, number>, key: K): number {
  const index = map.get(key) ?? map.size
  map.set(key, index)
  return index
}

const isComparison = (result: Report | Comparison): result is Comparison => 'relation' in result

function checkedResult(result: Report | Comparison): Report | Comparison {
  return typeof result === 'object' && result !== null && isComparison(result)
    ? madeBy(result, 'results', COMPARISON)
    : madeBy(result, 'results', { ...REPORT, maker: 'what verify or compare returned' })
}

function outcomeOf(result: Report | Comparison): Json {
  const { verdict, scope } = result
  return isComparison(result)
    ? { intended: result.intended, readback: result.readback, relation: result.relation, verdict, scope }
    : { file: result.file, verdict, scope }
}

function notification({ name, reason }: { readonly name: string; readonly reason: string }): Json {
  return {
    level: 'error',
    message: { text: literal(`The file was not looked at: ${reason}.`) },
    locations: [{ physicalLocation: { artifactLocation: { uri: fileUri(name) } } }],
  }
}

function ruleOf(code: FindingCode): Json {
  const { severity, message, hint, clause } = findingCatalogue()[code]
  return {
    id: code,
    shortDescription: { text: pattern(message) },
    help: { text: pattern(hint) },
    defaultConfiguration: { level: severity },
    properties: { clause: pattern(clause) },
  }
}

/** A wording as words: its parameters stay as names. */
function pattern(wording: string): string {
  const words = wording.replace(/\{(\w+)(?::[^|}]*\|([^}]*))?\}/g, (_, name: string, many?: string) =>
    many === undefined ? `⟨${name}⟩` : `⟨${name}⟩ ${many}`,
  )
  return literal(words)
}

/** A text in which braces and brackets mean themselves, and no placeholder or link (3.11.5, 3.11.6). */
function literal(text: string): string {
  return text.replace(/[{}]/g, '$&$&').replaceAll('](', '\\](')
}

function resultsOf(result: Report | Comparison, log: Log): Json[] {
  const names = isComparison(result) ? [result.intended, result.readback] : [result.file]
  for (const name of names) fileOf(name, log)
  const lead = isComparison(result) ? leadOf(result) : null
  return result.findings.map((finding) => {
    const { code, severity, message, hint, data, fuse, pin, vector, side } = finding
    return {
      ruleId: code,
      ruleIndex: numberOf(log.rules, code),
      level: severity,
      message: { text: literal(`${message} ${hint}`) },
      ...placesOf(finding, { result, log, isLead: finding === lead }),
      partialFingerprints: { 'codeAndData/v1': fingerprintOf(finding, names.join(' '), log) },
      properties: { data, fuse, pin, vector, side },
    }
  })
}

/** The same text for the same finding, wherever in the file it stands; the last number tells equal ones apart. */
function fingerprintOf({ code, data, fuse, pin, vector, side }: Finding, file: string, { seen }: Log): string {
  const sorted = Object.entries(data).sort(([a], [b]) => (a < b ? -1 : 1))
  const made = JSON.stringify([code, Object.fromEntries(sorted), fuse, pin, vector, side])
  const count = (seen.get(`${file} ${made}`) ?? 0) + 1
  seen.set(`${file} ${made}`, count)
  return `${made}:${count}`
}

function fileOf(name: string | null, { files }: Log): Json | undefined {
  if (name === null) return undefined
  const uri = fileUri(name)
  return { uri, index: numberOf(files, uri) }
}

interface Around {
  readonly result: Report | Comparison
  readonly log: Log
  readonly isLead: boolean
}

/** Where a finding lies. What two files show only together lies in the read-back, and the intended file beside it. */
function placesOf({ position, side }: Finding, { result, log, isLead }: Around): { readonly [key: string]: Json } {
  if (!isComparison(result)) return { locations: locationsIn(result.file, log, position) }
  if (side !== undefined) return { locations: locationsIn(result[side], log, position) }
  const fuses = isLead ? fusePlaces(result, log) : []
  const intended = locationsIn(result.intended, log).map((place) => withText(place, 'the intended file'))
  const related = [...intended, ...fuses].map((place, id) => ({ id, ...place }))
  return { locations: locationsIn(result.readback, log), relatedLocations: related }
}

interface Location {
  readonly [key: string]: Json
}

function withText(place: Location, text: string): Location {
  return { ...place, message: { text: literal(text) } }
}

function locationsIn(name: string | null, log: Log, position?: Position | null): Location[] {
  const artifactLocation = fileOf(name, log)
  return artifactLocation === undefined
    ? []
    : [{ physicalLocation: { artifactLocation, ...(position ? { region: regionOf(position) } : {}) } }]
}

/** A position is a place between characters: a region without length. */
function regionOf({ offset, line, column }: Position): Json {
  return { startLine: line, startColumn: column, endColumn: column, byteOffset: offset, byteLength: 0 }
}

/** Most differing fuses that a result points at in both files: enough for a cluster, and no second copy of a map. */
const MAX_FUSES = 64

/** Both places of each differing fuse; none where a file leaves the fuse to its default. */
function fusePlaces(comparison: Comparison, log: Log): Location[] {
  return comparison.fuseDifferences.fuses.slice(0, MAX_FUSES).flatMap(({ fuse, positions, ...states }) =>
    (['intended', 'readback'] as const).flatMap((side) => {
      const position = positions[side]
      const locations = position ? locationsIn(comparison[side], log, position) : []
      return locations.map((place) => withText(place, `fuse ${fuse} is ${states[side]}`))
    }),
  )
}
