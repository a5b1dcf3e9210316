/** The report on a board as text for a person. */
import { madeBy } from '../arguments/arguments'
import type { FindingCode } from '../findings/catalogue'
import type { Finding } from '../findings/finding'
import { FAULTS } from '../findings/adapter-findings'
import { repairWords } from '../jobs/board/repair-words'
import type { AdapterOutput, AdapterReport } from '../jobs/board/adapter-report'
import type { FaultResult } from '../jobs/board/board-faults'
import { hexAddress } from '../jobs/table/row-words'
import { budgetRows } from './adapter-budget-text'
import {
  answerLines,
  bounded,
  findingCause,
  counted,
  firstOf,
  gravestOf,
  inSigns,
  remarkRows,
  scopeRows,
  shortened,
  todoRows,
  withMore,
} from './answer'
import { checkLook, lookOf, row, type Look, type TextOptions } from './screen'

/** What makes a report on a board. */
export const ADAPTER_REPORT = {
  keys: ['relation', 'verdict', 'outputs', 'repairs', 'findings'],
  maker: 'what examineAdapter returned',
}

/** Most parts, outputs, errors and warnings, and notes that a screen has room for. */
const MOST_SHOWN = { parts: 3, outputs: 2, grave: 2, notes: 2 } as const

/** What a verdict means for a board. */
const VERDICTS = {
  pass: 'pass (nothing speaks against it)',
  caution: 'caution (look before power is on)',
  fail: 'fail (leave power off)',
} as const

/** What a comparison hangs on where it gave no answer, and what says most of it where it gave one. */
const LEADING: readonly FindingCode[] = [
  'adapter/one-change',
  'adapter/original-unusable',
  'adapter/part-unusable',
  'adapter/inputs-differ',
  'adapter/no-row-judged',
  'adapter/too-many-inputs',
  'adapter/too-much-work',
  'adapter/part-without-supply',
  'adapter/supply-pin',
  'adapter/contention',
  'adapter/net-without-driver',
  'adapter/floating-input',
  'adapter/output-differs',
  'adapter/registers',
  'adapter/contention-possible',
  'adapter/output-not-compared',
  'adapter/output-unknown',
]

/**
 * The report on a board. A typical one fits a screen of 24 lines by 80 columns.
 *
 * @param report what `examineAdapter` gave
 * @param options width, all, ascii, more
 * @returns the answer, what to do, the board, its relation, faults and budget as lines
 * @throws TypeError or RangeError that names the argument
 * @example renderAdapter(examineAdapter(board)).split(':')[0] // 'the board'
 */
export function renderAdapter(report: AdapterReport, options: TextOptions = {}): string {
  madeBy(report, 'report', ADAPTER_REPORT)
  checkLook(options)
  return inSigns(report, options, renderSigned)
}

function renderSigned(report: AdapterReport, options: TextOptions): string {
  const look = lookOf(options)
  const { findings } = report
  const lead = leadOf(report)
  return [
    answerLines({ ...adapterAnswer(report), causes: causesOf(report, lead) }, look),
    ...todoRows(lead, look),
    '',
    ...partRows(report, look),
    ...outcomeRows(report, look),
    ...faultRows(report.faults, look),
    ...budgetRows(report.budget, look),
    ...remarkRows(findings, { said: saidBy(report, lead), most: MOST_SHOWN }, look),
    '',
    ...scopeRows({ seen: seenWords(report), unseen: ['sequences', 'noise'] }, report.scope, look),
    row('before power', look.all ? CAUTIONS.join('; ') : CAUTION_IN_SHORT, look),
    '',
  ].join('\n')
}

/** What is looked at before a board gets power. */
export const CAUTIONS: readonly string[] = [
  'every diode the right way round',
  'each chip marked with its file',
  'pin 1 to pin 1',
  'supply off before a chip is moved',
]
const CAUTION_IN_SHORT = 'diodes the right way round; chips marked; pin 1 to pin 1'

/** What a report is about, and its answer without the cause. */
export function adapterAnswer({ file, against, relation, verdict }: AdapterReport): {
  readonly subject: string
  readonly answer: string
} {
  const subject = file ?? 'the board'
  return {
    subject: against ? `${subject} against ${against.name ?? `a ${against.kind}`}` : subject,
    answer: relation === null ? VERDICTS[verdict] : relation.replace('-', ' '),
  }
}

/** The finding that leads: of a comparison the one that it hangs on, else the gravest. */
export function leadOf({ relation, findings }: AdapterReport): Finding | null {
  const decided = relation === null || relation === 'equivalent'
  return (decided ? null : firstOf(findings, LEADING)) ?? gravestOf(findings, LEADING)
}

/** What the first sentence has said already. */
function saidBy({ findings, relation }: AdapterReport, lead: Finding | null): readonly Finding[] {
  // Rows below say which outputs differ.
  return findings.filter((each) => each === lead || (relation !== null && each.code === 'adapter/output-differs'))
}

/** The causes of the answer, as clauses of its sentence. */
export function causesOf(report: AdapterReport, lead: Finding | null): string[] {
  const { relation, verdict, repairs } = report
  if (relation === null) return [findingCause(lead)]
  const outcome = outcomeWords(report)
  if (relation === 'different')
    return [outcome, repairs.length > 0 ? `the same with ${repairs.map(repairWords).join(', or with ')}` : '']
  // The outcome says itself which outputs the board lacks.
  if (outcome !== '' && lead?.code === 'adapter/output-not-compared') return [outcome]
  const cause = relation === 'equivalent' && lead ? `${verdict}: ${findingCause(lead)}` : findingCause(lead)
  return [outcome, cause]
}

/** What a part of the board is. */
export function partWords({ part, mode, file }: AdapterReport['parts'][number]): string {
  return `${part ?? 'unknown part'}${mode ? `, ${mode} mode` : ''}${file ? `: ${file}` : ''}`
}

/** What is around the parts, and which inputs are held. */
export function aroundWords({ counts, outside }: AdapterReport): string {
  const held = outside.filter((pin) => pin.held !== null).map(({ pin, held: level }) => `pin ${pin}=${level}`)
  const pins = (directions: readonly string[]): number =>
    outside.filter((pin) => directions.includes(pin.direction) && pin.held === null).length
  return [
    [
      counted(counts.diodes, 'diode'),
      counted(counts.resistors, 'resistor'),
      counted(counts.nets, 'net'),
    ].join(', '),
    `${counted(pins(['input', 'both']), 'input')}, ${counted(pins(['output', 'both']), 'output')}`,
    ...held,
  ].join('; ')
}

function partRows(report: AdapterReport, look: Look): string[] {
  const { parts, title } = report
  const rows = parts.map((part) => row(part.name, partWords(part), look))
  return [
    ...(title === null || !look.all ? [] : [row('board', title, look)]),
    ...bounded(rows, look.all ? Infinity : MOST_SHOWN.parts, ['part', 'parts'], look),
    row('around', aroundWords(report), look),
  ]
}

/** What the comparison gave, in words; empty where nothing was compared. */
function outcomeWords({ relation, rows, lacking, outputs }: AdapterReport): string {
  if (relation === 'not-comparable' || !rows) return ''
  const judged = rows.judged < rows.all ? `the ${rows.judged} of ${rows.all} rows compared` : `every row (${rows.all})`
  const count = (wanted: AdapterOutput['relation']): number =>
    outputs.filter((output) => output.relation === wanted).length
  if (relation === 'different') {
    const differing = count('different')
    const of = outputs.length === 1 ? '1 output' : `${outputs.length} outputs`
    return `${differing} of ${of} ${differing === 1 ? 'differs' : 'differ'}`
  }
  if (relation === 'equivalent') return `the same in ${judged}`
  return lacking.length > 0 && outputs.every((output) => output.relation === 'equivalent')
    ? `the same in ${judged}, but ${counted(lacking.length, 'output')} not compared: ${lacking.join(', ')}`
    : ''
}

/** How many rows there are, which were not compared, and in which drivers fight. */
export function rowsWords(rows: NonNullable<AdapterReport['rows']>): string {
  const fights = rows.fights > 0 ? `; drivers fight in ${counted(rows.fights, 'row')}` : ''
  const left = [
    ...(rows.misread > 0 ? [`${rows.misread} misread`] : []),
    ...(rows.dontCare > 0 ? [`${rows.dontCare} do not matter`] : []),
  ].join(', ')
  const judged = left === '' ? '' : `, of which ${rows.judged} compared (${left})`
  return `${rows.all}${judged}${fights}`
}

function outcomeRows({ against, rows, outputs }: AdapterReport, look: Look): string[] {
  if (!rows) return []
  const shown = against ? outputs.filter((output) => output.differingRows + output.openRows > 0) : []
  return [
    row('rows', rowsWords(rows), look),
    ...bounded(
      shown.map((output) => outputLines(output, rows.judged, look).join('\n')),
      look.all ? Infinity : MOST_SHOWN.outputs,
      ['output', 'outputs'],
      look,
    ),
  ]
}

/** What became of an output, in words with its rows. */
export function outputWords({ differingRows, openRows }: AdapterOutput, judged: number): string {
  if (differingRows === judged && openRows === 0) return 'differs in every row compared'
  const counts = [
    differingRows > 0 ? `${counted(differingRows, 'row')} differ${differingRows === 1 ? 's' : ''}` : '',
    openRows > 0 ? `${counted(openRows, 'row')} not known` : '',
  ].filter(Boolean)
  return counts.join(', ') || 'the same in every row compared'
}

function outputLines(output: AdapterOutput, judged: number, look: Look): string[] {
  const { pin, differingRows, openRows, differsWhere, example } = output
  const isOpposite = differingRows === judged && openRows === 0
  const levels = example
    ? Object.entries(example.inputs)
        .map(([input, level]) => `p${input}=${level}`)
        .join(' ')
    : ''
  return [
    row(`pin ${pin}`, outputWords(output, judged), look),
    ...(differsWhere && !isOpposite ? [row('', `where ${shortened(differsWhere.text, look)}`, look)] : []),
    ...(example
      ? [row('', withMore(exampleWords(example), ` (${levels})`, look), look)]
      : []),
  ]
}

/** What becomes of faults, the surest first. */
export const FAULT_RESULTS: readonly (readonly [FaultResult['result'], string])[] = [
  ['noticed', 'noticed'],
  ['only-in-contention', 'noticed only where drivers fight'],
  ['depends', 'noticed or not, as a floating or unknown level falls'],
  ['unnoticed', 'not noticed'],
]

/** A row in which an output differs. */
export function exampleWords({ row: at, board, original }: NonNullable<AdapterOutput['example']>): string {
  return `row ${hexAddress(at)}: ${board} instead of ${original}`
}

function faultRows(faults: AdapterReport['faults'], look: Look): string[] {
  if (!faults || faults.list.length === 0) return []
  const { list, against, total } = faults
  const tried = `${list.length}${list.length < total ? ` of ${total}` : ''} tried`
  const noticed = list.filter(({ result }) => result === 'noticed').length
  const found = FAULT_RESULTS.map(([result, words]) => ({
    words,
    own: list.filter((fault) => fault.result === result),
  })).filter(({ own }) => own.length > 0)
  if (!look.all)
    return [row('single faults', `${tried}: ${noticed} noticed, ${list.length - noticed} not surely`, look)]
  return [
    row('single faults', `${tried} against ${against === 'original' ? 'the original' : 'the sound board'}`, look),
    ...found.map(({ words, own }) => row('', `${own.length} ${words}: ${faultGroups(own)}`, look)),
  ]
}

/** What a fault is of: a diode, a resistor, a net, or two parts. */
export const faultName = ({ of }: FaultResult): string => of.join(' and ')

/** Faults of one kind after another, by the names of what they are of. */
export function faultGroups(found: readonly FaultResult[]): string {
  return [...new Set(found.map(({ kind }) => kind))]
    .map((kind) => {
      const names = found.filter((fault) => fault.kind === kind).map(faultName)
      return `${FAULTS.words.kind[kind]}: ${names.join(', ')}`
    })
    .join('; ')
}

function seenWords({ rows, relation, faults, budget }: AdapterReport): string[] {
  return [
    ...(rows ? [counted(relation === null ? rows.all : rows.judged, 'row')] : []),
    ...(faults && faults.list.length > 0 ? ['single faults'] : []),
    ...(budget && budget.sources.length > 0 ? ['limits'] : []),
  ]
}
