/**
 * Findings: what a step has to say about a file, a part or a chip. Content never throws; it yields findings.
 * Fields come first, text is made from them in one place, and callers branch on `code`, never on `message`.
 */

import { CLOSING } from './closing-findings'

/** `error`: do not burn. `warning`: look before you burn. `note`: worth knowing. */
export type Severity = 'error' | 'warning' | 'note'

/** A place in a file: byte offset from 0, line and column from 1 (CR LF, LF and a lone CR each end one line). */
export interface Position {
  readonly offset: number
  readonly line: number
  readonly column: number
}

/**
 * One finding. `pin` is always the number on the DIP package; `fuse` counts from 0; `vector` is the vector's own
 * number.
 */
export interface Finding {
  readonly code: string
  readonly severity: Severity
  readonly message: string
  readonly position?: Position
  readonly fuse?: number
  readonly pin?: number
  readonly vector?: number
  /** In a comparison: the file that the finding is about. */
  readonly side?: 'intended' | 'readback'
  /** The clause, data sheet or practice behind the finding. */
  readonly clause: string
  /** What to do about it. */
  readonly hint: string
}

/** One entry of the catalogue; `{name}` and `{name:one|many}` in the texts stand for parameters of the finding. */
export interface CatalogueEntry {
  readonly severity: Severity
  readonly message: string
  readonly hint: string
  readonly clause: string
}

/** A group of the catalogue: code → entry. */
export type Catalogue = Readonly<Record<string, CatalogueEntry>>

/** Where a finding lies; every field is optional. `offset` is in bytes. */
export interface Place {
  readonly offset?: number | undefined
  readonly fuse?: number
  readonly pin?: number
  readonly vector?: number
}

/** How many findings of each severity were made, listed or not. */
export interface FindingCounts {
  readonly error: number
  readonly warning: number
  readonly note: number
}

/** Findings, worst first and bounded, with the counts of all of them. */
export interface FindingList {
  readonly findings: readonly Finding[]
  readonly counts: FindingCounts
}

export type Parameters = Readonly<Record<string, string | number>>

/** Collects findings of one catalogue group, at most `limit` of each severity; surplus ones are only counted. */
export interface FindingCollector<Code extends string> {
  add(code: Code, place?: Place, parameters?: Parameters): void
  /** Everything collected so far, with a closing entry where some is not listed; positions are computed here, once. */
  list(): FindingList
}

/** Gives line and column of a byte offset; quick when the offsets asked for ascend. */
export type Locate = (offset: number) => Position

const SEVERITIES: readonly Severity[] = ['error', 'warning', 'note']

/**
 * A collector over one group of the catalogue. `locate` turns offsets into positions and is only called for
 * findings that are listed, so that a flood of them costs a counter each.
 */
export function collectFindings<C extends Catalogue>(
  catalogue: C,
  options: { readonly limit: number; readonly locate?: Locate },
): FindingCollector<keyof C & string> {
  const kept: { code: keyof C & string; place: Place; parameters: Parameters }[] = []
  const counts = { error: 0, warning: 0, note: 0 }
  return {
    add(code, place = {}, parameters = {}) {
      const severity = (catalogue[code] as CatalogueEntry).severity
      if (counts[severity]++ < options.limit) kept.push({ code, place, parameters })
    },
    list() {
      // Ascending, so that the lines of a file are counted once.
      kept.sort((a, b) => (a.place.offset ?? -1) - (b.place.offset ?? -1))
      const findings = kept.map(({ code, place, parameters }) =>
        makeFinding(code, catalogue[code] as CatalogueEntry, { place, parameters, locate: options.locate }),
      )
      return { findings: withClosing(findings.sort(worstFirst), counts), counts: { ...counts } }
    },
  }
}

/** The one constructor of findings. */
function makeFinding(
  code: string,
  entry: CatalogueEntry,
  given: { readonly place: Place; readonly parameters: Parameters; readonly locate: Locate | undefined },
): Finding {
  const { offset, ...place } = given.place
  return {
    code,
    severity: entry.severity,
    message: fill(entry.message, given.parameters),
    ...(offset === undefined || !given.locate ? {} : { position: given.locate(offset) }),
    ...place,
    clause: fill(entry.clause, given.parameters),
    hint: fill(entry.hint, given.parameters),
  }
}

/** Fills `{name}` with a parameter, and `{name:one|many}` with a count and the word that goes with it. */
function fill(text: string, parameters: Parameters): string {
  return !text.includes('{')
    ? text
    : text.replace(/\{(\w+)(?::([^|}]*)\|([^}]*))?\}/g, (whole, name: string, one?: string, many?: string) => {
        const value = parameters[name]
        if (value === undefined) return whole
        return many === undefined ? String(value) : `${value} ${value === 1 ? one : many}`
      })
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
  return [
    ...listed,
    makeFinding(code, CLOSING[code], { place: {}, parameters: { surplus, ...counts }, locate: undefined }),
  ]
}

/** The verdict on a list: `fail` with any error, else `caution` with any warning, else `pass`. */
export type Verdict = 'pass' | 'caution' | 'fail'

export function verdictOf(counts: FindingCounts): Verdict {
  return counts.error > 0 ? 'fail' : counts.warning > 0 ? 'caution' : 'pass'
}
