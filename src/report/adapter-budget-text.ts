/** The budget of a board as text for a person: in short whether its limits hold, in full each line and path. */
import { MISSING, type MissingLimit } from '../findings/adapter-findings'
import { fill } from '../findings/wording'
import type { AdapterReport } from '../jobs/board/adapter-report'
import type { Budget } from '../jobs/board/board-budget'
import { counted } from './answer'
import { row, type Look } from './screen'

/** A value with a prefix of the SI, three digits. */
function inUnit(value: number, unit: string): string {
  if (unit === 'V' || value === 0) return `${Number(value.toFixed(3))} ${unit}`
  const [factor, prefix] = value >= 1 ? [1, ''] : value >= 1e-3 ? [1e3, 'm'] : value >= 1e-6 ? [1e6, 'µ'] : [1e9, 'n']
  return `${Number((value * factor).toPrecision(3))} ${prefix}${unit}`
}

const MOST_PATHS = 4

/** A path with those of the same time through the same things. */
export type PathGroup = readonly [Budget['paths'][number], ...Budget['paths'][number][]]

/** Paths of one kind and one time together, slowest first; those without a time come first. */
export function pathGroups(paths: Budget['paths']): readonly PathGroup[] {
  const groups = new Map<string, Budget['paths'][number][]>()
  for (const path of paths) {
    const key = `${path.through.join(', ')} ${path.seconds}`
    groups.set(key, [...(groups.get(key) ?? []), path])
  }
  const made = [...groups.values()] as unknown as PathGroup[]
  return made.sort(([a], [b]) => (b.seconds ?? Infinity) - (a.seconds ?? Infinity))
}

/** The first path of a group, and how many others there are. */
export function pathWords([first, ...others]: PathGroup): string {
  const more = others.length > 0 ? ` (and ${counted(others.length, 'such path')})` : ''
  return `pin ${first.from} to pin ${first.to}${more}`
}

function pathRows(paths: Budget['paths'], look: Look): string[] {
  const sorted = pathGroups(paths)
  const rows = sorted.slice(0, MOST_PATHS).map((group) => {
    const [first] = group
    const through = first.through.length > 0 ? ` through ${first.through.join(', ')}` : ''
    return row('', `${pathWords(group)}${through}: ${judgedWords(first.seconds, 's', first)}`, look)
  })
  return [
    ...rows,
    ...(sorted.length > MOST_PATHS ? [row('', 'and faster paths; the JSON document lists them', look)] : []),
  ]
}

interface Judged {
  readonly limit: number | null
  readonly result: string
  readonly missing: readonly MissingLimit[]
}

const missingWords = (limit: MissingLimit): string => fill(MISSING.message, limit, MISSING)

/** A value with its limit, and what became of it. */
export function judgedWords(value: number | null, unit: string, { limit, result, missing }: Judged): string {
  if (value === null) return `not computed: no limit for ${missing.map(missingWords).join(', ')}`
  return `${inUnit(value, unit)}${limit === null ? '' : `, limit ${inUnit(limit, unit)}: ${result}`}`
}

/** Where the limits stand: what they are of, and the source. */
export function sourcesOf({ sources }: Budget): readonly (readonly [of: string, source: string])[] {
  return [...new Set(sources.map(({ source }) => source))].map((source) => {
    const stated = sources.filter((each) => each.source === source).map(({ of }) => of)
    return [stated.join(', '), source]
  })
}

/** The budget; nothing where the board states no limits. */
export function budgetRows(budget: AdapterReport['budget'], look: Look): string[] {
  if (!budget || budget.sources.length === 0) return []
  if (!look.all) return [row('budget', `estimate: ${shortBudget(budget)}`, look)]
  const { lines, paths, assumptions } = budget
  const bySource = sourcesOf(budget).map(([of, source]) => `${of}: ${source}`)
  return [
    row('budget', 'an estimate from the limits that the board states', look),
    ...lines.map((line) => {
      const judged = judgedWords(line.value, line.unit, line)
      return row('', `${line.net}, ${line.kind.replace('-', ' ')}: ${judged}`, look)
    }),
    ...pathRows(paths, look),
    row('limits from', bySource.join('; '), look),
    row('assumed', assumptions.join('; '), look),
  ]
}

/** How many limits hold, and the slowest way through the board. */
function shortBudget({ lines, paths }: Budget): string {
  const all = [...lines, ...paths]
  const count = (wanted: string): number => all.filter(({ result }) => result === wanted).length
  const [exceeded, open] = [count('exceeded'), count('not-computed')]
  const slowest = paths.reduce<Budget['paths'][number] | null>(
    (most, path) => ((path.seconds ?? 0) > (most?.seconds ?? 0) ? path : most),
    null,
  )
  return [
    `${count('holds')} of ${count('holds') + exceeded} limits hold`,
    ...(exceeded > 0 ? [`${exceeded} exceeded`] : []),
    ...(open > 0 ? [`${open} not computed`] : []),
    ...(slowest?.seconds ? [`slowest way ${inUnit(slowest.seconds, 's')}`] : []),
  ].join(', ')
}
