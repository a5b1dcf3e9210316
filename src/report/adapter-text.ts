/** The report on a board as text for a person. */
import { madeBy } from '../arguments/arguments'
import { repairWords } from '../jobs/board/adapter-remarks'
import type { AdapterOutput, AdapterReport } from '../jobs/board/adapter-report'
import type { Budget } from '../jobs/board/board-budget'
import type { FaultResult } from '../jobs/board/board-faults'
import { hexAddress } from '../jobs/table/row-words'
import { findingLines, reportRow } from './layout'

const REPORT = {
  keys: ['relation', 'verdict', 'outputs', 'repairs', 'findings'],
  maker: 'what examineAdapter returned',
}

/**
 * The report on a board.
 *
 * @param report what `examineAdapter` gave
 * @returns the board, its relation, faults and budget as lines
 * @throws TypeError for anything else
 * @example renderAdapter(examineAdapter(board)).split(':')[0] // 'the board'
 */
export function renderAdapter(report: AdapterReport): string {
  const { file, title, relation, verdict, repairs } = madeBy(report, 'report', REPORT)
  return [
    `${file ?? 'the board'}: ${relation ?? 'examined'}${verdict === 'pass' ? '' : `, ${verdict}`}`,
    ...(repairs.length > 0
      ? [reportRow('cause', `the same with ${repairs.map(repairWords).join(', or with ')}`)]
      : []),
    ...(title === null ? [] : [reportRow('board', title)]),
    ...partRows(report),
    ...comparisonRows(report),
    ...faultRows(report.faults),
    ...budgetRows(report.budget),
    ...findingLines(report.findings),
    '',
    ...(report.scope.compared.length > 0 ? [reportRow('looked at', report.scope.compared.join('; '))] : []),
    reportRow('not looked at', report.scope.notExamined.join('; ')),
    reportRow(
      'before power',
      'every diode the right way round; each chip marked with its file; pin 1 to pin 1; supply off before a chip is moved',
    ),
    '',
  ].join('\n')
}

const plural = (count: number, one: string): string => `${count} ${one}${count === 1 ? '' : 's'}`

function partRows({ parts, counts, outside }: AdapterReport): string[] {
  const held = outside.filter((pin) => pin.held !== null).map(({ pin, held: level }) => `pin ${pin} held ${level}`)
  const pins = (directions: readonly string[]): number =>
    outside.filter((pin) => directions.includes(pin.direction) && pin.held === null).length
  return [
    ...parts.map(({ name, file, part, mode }) =>
      reportRow(name, `${part ?? 'unknown part'}${mode ? `, ${mode} mode` : ''}${file ? `: ${file}` : ''}`),
    ),
    reportRow(
      'around',
      `${plural(counts.diodes, 'diode')}, ${plural(counts.resistors, 'resistor')}, ${plural(counts.nets, 'net')}`,
    ),
    reportRow(
      'outside',
      [`${plural(pins(['input', 'both']), 'input')}, ${plural(pins(['output', 'both']), 'output')}`, ...held].join(
        '; ',
      ),
    ),
  ]
}

/** What the comparison gave, in words. */
function outcomeWords({ relation, rows, lacking, outputs }: AdapterReport): string {
  if (relation === 'not-comparable' || !rows) return relation === 'undecided' ? 'not decided' : 'not comparable'
  const left = [
    rows.misread > 0 ? `${rows.misread} misread` : '',
    rows.dontCare > 0 ? `${rows.dontCare} do not matter` : '',
  ].filter(Boolean)
  const judged =
    left.length > 0 ? `the ${rows.judged} of ${rows.all} rows compared (${left.join(', ')})` : 'every row'
  if (relation === 'different') return `not the same, ${plural(rows.judged, 'row')}`
  if (relation === 'equivalent')
    return `the same in ${judged}${left.length > 0 ? '' : `, ${plural(rows.all, 'row')}`}`
  return lacking.length > 0 && outputs.every((output) => output.relation === 'equivalent')
    ? `the same in ${judged}, but ${plural(lacking.length, 'output')} of the original not compared: ${lacking.join(', ')}`
    : `not the same or not known, ${plural(rows.judged, 'row')}`
}

function comparisonRows(report: AdapterReport): string[] {
  const { against, rowCount, outputs, rows } = report
  if (against === null) return rowCount === null ? [] : [reportRow('rows', `${rowCount}`)]
  return [
    reportRow('original', `${against.name ?? `a ${against.kind}`}: ${outcomeWords(report)}`),
    ...(rows && rows.fights > 0 ? [reportRow('contention', `drivers fight in ${plural(rows.fights, 'row')}`)] : []),
    ...outputs.flatMap(outputRows),
  ]
}

function outputRows({ pin, relation, differingRows, openRows, differsWhere, example }: AdapterOutput): string[] {
  if (relation === 'equivalent' || differingRows + openRows === 0) return []
  const counts = [
    differingRows > 0 ? `${plural(differingRows, 'row')} differ${differingRows === 1 ? 's' : ''}` : '',
    openRows > 0 ? `${plural(openRows, 'row')} not known` : '',
  ]
    .filter(Boolean)
    .join(', ')
  const levels = example
    ? `; row ${hexAddress(example.row)} (${Object.entries(example.inputs)
        .map(([input, level]) => `p${input}=${level}`)
        .join(' ')}): ${example.board} instead of ${example.original}`
    : ''
  return [reportRow(`pin ${pin}`, `${counts}${differsWhere ? `, where ${differsWhere.text}` : ''}${levels}`)]
}

const KINDS: Readonly<Record<FaultResult['kind'], string>> = {
  'diode-open': 'diode open',
  'diode-shorted': 'diode shorted',
  'diode-reversed': 'diode reversed',
  'resistor-missing': 'resistor missing',
  'net-open': 'net open',
  'parts-exchanged': 'parts exchanged',
}
const RESULTS: readonly (readonly [FaultResult['result'], string])[] = [
  ['noticed', 'noticed'],
  ['only-in-contention', 'shows only where drivers fight'],
  ['depends', 'depends on what a floating or unknown level does'],
  ['unnoticed', 'NOT noticed'],
]

function faultRows(faults: AdapterReport['faults']): string[] {
  if (!faults || faults.list.length === 0) return []
  const { list, against, total } = faults
  const rows = RESULTS.flatMap(([result, words]) => {
    const found = list.filter((fault) => fault.result === result)
    if (found.length === 0) return []
    const groups = [...new Set(found.map(({ kind }) => kind))].map(
      (kind) =>
        `${KINDS[kind]}: ${found
          .filter((fault) => fault.kind === kind)
          .map(({ of }) => of)
          .join(', ')}`,
    )
    return [reportRow('', `${words} (${found.length}): ${groups.join('; ')}`)]
  })
  return [
    reportRow(
      'faults',
      `${plural(list.length, 'single fault')}${list.length < total ? ` of ${total}` : ''} tried against ${against === 'original' ? 'the original' : 'the sound board'}`,
    ),
    ...rows,
  ]
}

/** A value with a prefix of the SI, three digits. */
function inUnit(value: number, unit: string): string {
  if (unit === 'V' || value === 0) return `${Number(value.toFixed(3))} ${unit}`
  const [factor, prefix] = value >= 1 ? [1, ''] : value >= 1e-3 ? [1e3, 'm'] : value >= 1e-6 ? [1e6, 'µ'] : [1e9, 'n']
  return `${Number((value * factor).toPrecision(3))} ${prefix}${unit}`
}

const MOST_PATHS = 4

/** Paths of one kind and one time in one row, slowest first. */
function pathRows(paths: Budget['paths'], judged: (path: Budget['paths'][number]) => string): string[] {
  const groups = new Map<string, Budget['paths'][number][]>()
  for (const path of paths) {
    const key = `${path.through.join(', ')} ${path.seconds}`
    groups.set(key, [...(groups.get(key) ?? []), path])
  }
  const sorted = [...groups.values()].sort((a, b) => (b[0]!.seconds ?? Infinity) - (a[0]!.seconds ?? Infinity))
  const rows = sorted.slice(0, MOST_PATHS).map((group) => {
    const [first, ...others] = group as [Budget['paths'][number], ...Budget['paths'][number][]]
    const more = others.length > 0 ? ` (and ${plural(others.length, 'such path')})` : ''
    return reportRow(
      '',
      `pin ${first.from} to pin ${first.to}${more}${first.through.length > 0 ? ` through ${first.through.join(', ')}` : ''}: ${judged(first)}`,
    )
  })
  return [
    ...rows,
    ...(sorted.length > MOST_PATHS ? [reportRow('', 'and faster paths; the JSON document lists them')] : []),
  ]
}

function budgetRows(budget: AdapterReport['budget']): string[] {
  if (!budget || budget.sources.length === 0) return []
  const { lines, paths, sources, assumptions } = budget
  const judged = (
    value: number | null,
    unit: string,
    {
      limit,
      result,
      missing,
    }: { readonly limit: number | null; readonly result: string; readonly missing: readonly string[] },
  ): string =>
    value === null
      ? `not computed: no limit for ${missing.join(', ')}`
      : `${inUnit(value, unit)}${limit === null ? '' : `, limit ${inUnit(limit, unit)}: ${result}`}`
  const bySource = [...new Set(sources.map(({ source }) => source))].map(
    (source) =>
      `${sources
        .filter((each) => each.source === source)
        .map(({ of }) => of)
        .join(', ')}: ${source}`,
  )
  return [
    reportRow('budget', 'an estimate from the limits that the board states'),
    ...lines.map((line) =>
      reportRow('', `${line.net}, ${line.kind.replace('-', ' ')}: ${judged(line.value, line.unit, line)}`),
    ),
    ...pathRows(paths, (path) => judged(path.seconds, 's', path)),
    reportRow('limits from', bySource.join('; ')),
    reportRow('assumed', assumptions.join('; ')),
  ]
}
