/**
 * Findings: what a step has to say about a file, a part or a chip. Content never throws; it yields findings.
 * Fields come first, text is made from them in one place, and callers branch on `code`, never on `message`.
 */

import type { FindingCode } from './catalogue'
import { CLOSING } from './closing-findings'
import { fill, type DataOf, type FindingData, type FindingInside, type ItemEntry, type Words } from './wording'

/** `error`: do not burn. `warning`: look before you burn. `note`: worth knowing. */
export type Severity = 'error' | 'warning' | 'note'

/** A place in a file: byte offset from 0, line and column from 1 (CR LF, LF and a lone CR each end one line). */
export interface Position {
  /** Bytes from the start of the file, from 0. */
  readonly offset: number
  /** Line, from 1. */
  readonly line: number
  /** Column, from 1, in bytes. */
  readonly column: number
}

/**
 * One finding: a code and its data, from which `findingWords` makes message, hint and clause. `pin` is always the
 * number on the DIP package; `fuse` counts from 0; `vector` is the vector's own number.
 */
export interface Finding {
  /** Stable; what callers branch on. */
  readonly code: FindingCode
  /** How bad it is. */
  readonly severity: Severity
  /** What is the case, in words that may change. */
  readonly message: string
  /** The parameters of the wording. */
  readonly data: FindingData
  /** Place in the file. */
  readonly position?: Position
  /** Number of the fuse that it is about, from 0. */
  readonly fuse?: number
  /** Number on the DIP package. */
  readonly pin?: number
  /** The vector's own number. */
  readonly vector?: number
  /** In a comparison: the file that the finding is about. */
  readonly side?: 'intended' | 'readback'
  /** The clause, data sheet or practice behind the finding. */
  readonly clause: string
  /** What to do about it. */
  readonly hint: string
}

/** One entry of the catalogue; what stands in braces in the texts are parameters of the finding (`wording.ts`). */
export interface CatalogueEntry {
  /** How bad it is. */
  readonly severity: Severity
  /** What is the case. */
  readonly message: string
  /** What to do about it. */
  readonly hint: string
  /** The clause, data sheet or practice behind it. */
  readonly clause: string
  /** Words for values of a parameter, by its name: what the data hold are codes, which other languages word anew. */
  readonly words?: Words
  /** How a record of a list is told, by the list's name. */
  readonly items?: Readonly<Record<string, ItemEntry>>
}

/** A group of the catalogue: code → entry. */
export type Catalogue = Readonly<Record<string, CatalogueEntry>>

/** Where a finding lies; every field is optional. `offset` is in bytes. */
export interface FindingPlace {
  readonly offset?: number | undefined
  readonly fuse?: number
  readonly pin?: number
  readonly vector?: number
}

/** How many findings of each severity were made, listed or not. */
export interface FindingCounts {
  /** Findings that forbid burning. */
  readonly error: number
  /** Findings to look at before burning. */
  readonly warning: number
  /** Findings that are worth knowing. */
  readonly note: number
}

/** Findings, worst first and bounded, with the counts of all of them. */
export interface FindingList {
  /** The listed ones, with a closing entry where some are not listed. */
  readonly findings: readonly Finding[]
  /** Counts of all of them. */
  readonly counts: FindingCounts
}

/** The data of each code of a group. */
export type DataByCode<C extends Catalogue> = { readonly [K in keyof C]: DataOf<C[K]> }

/** The data of a code; where the code is one of several, data that suit each of them. */
export type DataOfEach<C extends Catalogue, K extends keyof C> = {
  [Code in K]: (data: DataOf<C[Code]>) => void
}[K] extends (data: infer All) => void
  ? All
  : never

/** Codes whose wording asks for no data. */
type BareCode<C extends Catalogue> = {
  [K in keyof C]: DataOf<C[K]> extends Readonly<Record<string, never>> ? K : never
}[keyof C]

/** Collects findings of one catalogue group, at most `limit` of each severity; surplus ones are only counted. */
export interface FindingCollector<C extends Catalogue> {
  add(code: BareCode<C>, place?: FindingPlace): void
  add<K extends keyof C>(code: K, place: FindingPlace, data: DataOfEach<C, K>): void
  /** Everything collected so far, with a closing entry where some is not listed; positions are computed here, once. */
  list(): FindingList
}

/** Gives line and column of a byte offset; quick when the offsets asked for ascend. */
export type Locate = (offset: number) => Position

const SEVERITIES: readonly Severity[] = ['error', 'warning', 'note']

/**
 * A collector over one group of the catalogue. `locate` turns offsets into positions and is only called for
 * findings that are listed, so that a flood of them costs a counter each. `inside`: the catalogue of findings that
 * stand in the data of others.
 */
export function collectFindings<C extends Catalogue>(
  catalogue: C,
  options: { readonly limit: number; readonly locate?: Locate; readonly inside?: Catalogue },
): FindingCollector<C> {
  const kept: { code: FindingCode; place: FindingPlace; data: FindingData }[] = []
  const counts = { error: 0, warning: 0, note: 0 }
  return {
    add(code: keyof C, place: FindingPlace = {}, data: unknown = {}) {
      const { severity } = catalogue[code] as CatalogueEntry
      if (counts[severity]++ < options.limit)
        kept.push({ code: code as FindingCode, place, data: data as FindingData })
    },
    list() {
      // Ascending, so that the lines of a file are counted once.
      kept.sort((a, b) => (a.place.offset ?? -1) - (b.place.offset ?? -1))
      const findings = kept.map(({ code, place, data }) =>
        makeFinding(code, catalogue[code] as CatalogueEntry, { ...options, place, data }),
      )
      return { findings: withClosing(findings.sort(worstFirst), counts), counts: { ...counts } }
    },
  }
}

/** The one constructor of findings. */
function makeFinding(
  code: FindingCode,
  entry: CatalogueEntry,
  given: {
    readonly place: FindingPlace
    readonly data: FindingData
    readonly locate?: Locate
    readonly inside?: Catalogue
  },
): Finding {
  const { offset, ...place } = given.place
  return {
    code,
    severity: entry.severity,
    ...wordsOf(entry, given.data, given.inside),
    data: given.data,
    ...(offset === undefined || !given.locate ? {} : { position: given.locate(offset) }),
    ...place,
  }
}

/** A finding as data of another one. */
export function insideOf({ code, data }: Finding): FindingInside {
  return { code, data }
}

/** What a finding says. */
export type FindingWords = Pick<Finding, 'message' | 'hint' | 'clause'>

/** An entry with its parameters filled in; `inside` tells findings that the data hold. */
export function wordsOf(entry: CatalogueEntry, data: FindingData, inside?: Catalogue): FindingWords {
  const say = (text: string): string => fill(text, data, inside ? { ...entry, inside } : entry)
  return { message: say(entry.message), hint: say(entry.hint), clause: say(entry.clause) }
}

/**
 * Order of a report: severity, then place in the file, those without one last, then the order of discovery (sorting
 * is stable).
 */
function worstFirst(a: Finding, b: Finding): number {
  const bySeverity = SEVERITIES.indexOf(a.severity) - SEVERITIES.indexOf(b.severity)
  return bySeverity || (a.position?.offset ?? 2 ** 53) - (b.position?.offset ?? 2 ** 53)
}

/**
 * Joins the findings of several steps, worst first, at most `limit` plus one closing entry that says how many are
 * not listed. The counts are those of all findings.
 */
export function mergeFindings(lists: readonly FindingList[], limit: number): FindingList {
  const all = lists
    .flatMap((list) => list.findings)
    .filter((finding) => !(finding.code in CLOSING))
    .sort(worstFirst)
  const counts = { error: 0, warning: 0, note: 0 }
  for (const list of lists) for (const severity of SEVERITIES) counts[severity] += list.counts[severity]
  return { findings: withClosing(all.slice(0, limit), counts), counts }
}

/** A list without the finding of a code that is raised at most once, and was raised, whether it is listed or not. */
export function withoutFinding({ findings, counts }: FindingList, code: string, severity: Severity): FindingList {
  const kept = findings.filter((finding) => finding.code !== code && !(finding.code in CLOSING))
  const left = { ...counts, [severity]: counts[severity] - 1 }
  return { findings: withClosing(kept, left), counts: left }
}

/** Listed findings with an entry behind them that says how many more there are, where there are more. */
function withClosing(listed: readonly Finding[], counts: FindingCounts): readonly Finding[] {
  const surplus = counts.error + counts.warning + counts.note - listed.length
  if (surplus === 0) return listed
  const code = 'file/more-findings'
  return [...listed, makeFinding(code, CLOSING[code], { place: {}, data: { surplus, ...counts } })]
}

/** The verdict on a list: `fail` with any error, else `caution` with any warning, else `pass`. */
export type Verdict = 'pass' | 'caution' | 'fail'

/** The worse of two verdicts. */
export function worseVerdict(a: Verdict, b: Verdict): Verdict {
  if (a === 'fail' || b === 'fail') return 'fail'
  return a === 'pass' ? b : a
}

export function verdictOf(counts: FindingCounts): Verdict {
  return counts.error > 0 ? 'fail' : counts.warning > 0 ? 'caution' : 'pass'
}
