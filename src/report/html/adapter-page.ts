/** The page of a board: the answer with its cause, outputs, the nets as a picture and a table, faults, budget. */
import { madeBy, optionsOf } from '../../arguments/arguments'
import { FAULTS } from '../../findings/adapter-findings'
import type { AdapterOutput, AdapterReport } from '../../jobs/board/adapter-report'
import { checkedBoard, type Board } from '../../jobs/board/board'
import { repairWords } from '../../jobs/board/repair-words'
import { hexAddress } from '../../jobs/table/row-words'
import { judgedWords, pathGroups, pathWords, sourcesOf } from '../adapter-budget-text'
import {
  ADAPTER_REPORT,
  adapterAnswer,
  aroundWords,
  CAUTIONS,
  causesOf,
  exampleWords,
  FAULT_RESULTS,
  faultGroups,
  faultName,
  leadOf,
  outputWords,
  partWords,
  rowsWords,
} from '../adapter-text'
import { counted } from '../answer'
import { boardPicture, isDrawn } from './board-picture'
import { element, type Content } from './element'
import { netEndsOf, type NetEnds } from './net-ends'
import {
  answerOf,
  facts,
  findingSection,
  heading,
  highWords,
  hintOf,
  INPUTS_HEAD,
  pageOf,
  scopeSection,
  section,
  table,
  type Fact,
} from './page'

/** What a page shows besides the report. */
export interface AdapterPageOptions {
  /** The board that was examined: its nets are drawn, and listed with what is at each. */
  readonly board?: Board
}

/** Most faults that are not surely noticed, and ways through the board, that a page lists. */
const MAX_FAULTS = 200
const MAX_PATHS = 16

/**
 * One self-contained page of HTML on a board: the verdict or the relation with its cause, what to look at before it
 * gets power, each output with a row in which it differs, the nets as a picture and a table, single faults, the budget
 * with what it assumes, every finding.
 *
 * @param report what `examineAdapter` returned
 * @param options `board`: the board that was examined, whose nets are then drawn
 * @returns the page, in UTF-8 when it is written
 * @throws TypeError naming `report` or an option; as `examineAdapter` does for a board; RangeError for another board
 * @example adapterPage(examineAdapter(board), { board }).includes('<svg') // true
 */
export function adapterPage(report: AdapterReport, options: AdapterPageOptions = {}): string {
  madeBy(report, 'report', ADAPTER_REPORT)
  const { board } = optionsOf(options, { board: true })
  if (board !== undefined) refuseOther(report, checkedBoard(board, 'options.board'))
  const { subject, answer } = adapterAnswer(report)
  const lead = leadOf(report)
  return pageOf(
    { kind: 'board', title: subject },
    heading(1, subject),
    answerOf(report.verdict, answer, causesOf(report, lead).filter(Boolean).join('; ')),
    section(2, 'What to do', lead ? facts([['what to do', hintOf(lead)]]) : null),
    section(2, 'Before power is on', listOf(CAUTIONS)),
    section(2, 'Facts', facts(factsOf(report))),
    section(2, 'Outputs', outputTable(report)),
    section(2, 'The board', ...(board ? boardContent(report, board) : [outsideTable(report)])),
    section(2, 'Single faults', ...faultContent(report)),
    section(2, 'Budget of levels, currents and times', ...budgetContent(report)),
    findingSection(report.findings, 2),
    scopeSection(report.scope, 2),
  )
}

/** The picture of another board would mislead more than none. */
function refuseOther({ parts, outside }: AdapterReport, board: Board): void {
  const keyOf = (pins: AdapterReport['outside'] | Board['outside']): string =>
    pins.map(({ pin, net, direction, held }) => [pin, net, direction, held ?? ''].join()).join(';')
  const isOther =
    parts.map(({ name }) => name).join() !== board.parts.map(({ name }) => name).join() ||
    keyOf(outside) !== keyOf(board.outside)
  if (isOther) throw new RangeError('options.board is not the board of the report: parts or outside pins differ')
}

function listOf(texts: readonly string[]): Content {
  return texts.length === 0 ? null : element('ul', {}, texts.map((text) => element('li', {}, text)))
}

function factsOf(report: AdapterReport): readonly Fact[] {
  const { title, against, parts, rows, lacking, repairs } = report
  return [
    ...(title === null ? [] : [['board', title] as const]),
    ...(against ? [['original', `${against.name ?? 'without a name'}, a ${KINDS[against.kind]}`] as const] : []),
    ...parts.map((part): Fact => [part.name, partWords(part)]),
    ['around', aroundWords(report)],
    ...(rows ? [['rows', rowsWords(rows)] as const] : []),
    ...(lacking.length > 0 ? [['lacking', `outputs of the original: ${lacking.join(', ')}`] as const] : []),
    ...(repairs.length > 0 ? [['the same with', repairs.map(repairWords).join(', or with ')] as const] : []),
  ]
}

const KINDS: Readonly<Record<NonNullable<AdapterReport['against']>['kind'], string>> = {
  file: 'fuse file',
  image: 'captured image',
  table: 'table',
  board: 'board',
}

/** Outputs that are not equal first. */
function outputTable({ outputs, rows, against }: AdapterReport): Content {
  if (!rows || !against) return null
  const isEqual = ({ relation }: AdapterOutput): boolean => relation === 'equivalent'
  const sorted = [...outputs.filter((output) => !isEqual(output)), ...outputs.filter(isEqual)]
  const isShown = sorted.some(({ example }) => example !== null)
  return table(
    'Every output',
    ['Output', 'Relation', ...(isShown ? ['Where', 'For example'] : [])],
    sorted.map((output) => [
      `pin ${output.pin}`,
      outputWords(output, rows.judged),
      ...(isShown ? [output.differsWhere?.text ?? '', exampleOf(output)] : []),
    ]),
  )
}

function exampleOf({ example }: AdapterOutput): string {
  return example ? `${exampleWords(example)}; inputs at 1: ${highWords(example.inputs)}` : ''
}

function outsideTable({ outside }: AdapterReport): Content {
  return table(
    'The pins of the socket',
    ['Pin', 'Net', 'For the board', 'Held at'],
    outside.map(({ pin, name, net, direction, held }) => [
      name === null ? pin : `${pin} (${name})`,
      net,
      direction,
      held ?? '',
    ]),
  )
}

function boardContent(report: AdapterReport, board: Board): Content[] {
  const nets = netEndsOf(board, report)
  const isSmall = isDrawn(board, nets)
  const many = `${counted(nets.length, 'net')} and ${counted(report.counts.diodes, 'diode')}: too many to draw.`
  return [isSmall ? boardPicture(board, nets, 'board') : element('p', {}, many), netTable(board, nets)]
}

function netTable({ parts }: Board, nets: readonly NetEnds[]): Content {
  const isClean = nets.every(({ remarks }) => remarks.length === 0)
  return table(
    'Every net, and what is at it',
    ['Net', 'Socket and parts', 'Diodes and resistors', ...(isClean ? [] : ['Remark'])],
    nets.map(({ name, outside, pins, pulls, anodes, cathodes, remarks }) => [
      name,
      [
        ...outside.map((pin) => `${pin.direction} ${pin.pin}${pin.held === undefined ? '' : ` held at ${pin.held}`}`),
        ...pins.flatMap((own, i) => own.map((pin) => `${parts[i]!.name} pin ${pin}`)),
      ].join(', '),
      [
        ...anodes.map((diode) => `${diode} anode`),
        ...cathodes.map((diode) => `${diode} cathode`),
        ...pulls.map((pull) => `${pull.name} to ${pull.to}`),
      ].join(', '),
      ...(isClean ? [] : [remarks.join('; ')]),
    ]),
  )
}

/** Faults that are not surely noticed one by one, the others by kind. */
function faultContent({ faults }: AdapterReport): Content[] {
  if (!faults || faults.list.length === 0) return []
  const { list, total, against } = faults
  const tried = `${list.length}${list.length < total ? ` of ${total}` : ''} tried, one at a time, against`
  const other = against === 'original' ? 'the original' : 'the sound board'
  const summary = FAULT_RESULTS.flatMap(([result, words]): Fact[] => {
    const own = list.filter((fault) => fault.result === result)
    return own.length > 0 ? [[String(own.length), `${words}: ${faultGroups(own)}`]] : []
  })
  const order = FAULT_RESULTS.map(([result]) => result)
  const open = list
    .filter(({ result }) => result !== 'noticed')
    .sort((a, b) => order.indexOf(b.result) - order.indexOf(a.result))
  const left = open.length > MAX_FAULTS ? `, the first ${MAX_FAULTS} of ${open.length}` : ''
  return [
    element('p', {}, `${tried} ${other}.`),
    facts(summary),
    table(
      `Faults that this comparison does not surely notice: look at these places with a meter${left}`,
      ['Fault', 'Result', 'Shows at', INPUTS_HEAD],
      open.slice(0, MAX_FAULTS).map((fault) => [
        `${faultName(fault)}: ${FAULTS.words.kind[fault.kind]}`,
        FAULT_RESULTS.find(([each]) => each === fault.result)![1],
        fault.row === null ? '' : `pin ${fault.pin}, row ${hexAddress(fault.row)}`,
        fault.inputs ? highWords(fault.inputs) : '',
      ]),
    ),
  ]
}

function budgetContent({ budget }: AdapterReport): Content[] {
  if (!budget || budget.sources.length === 0) return []
  const groups = pathGroups(budget.paths)
  const left = groups.length > MAX_PATHS ? `, the first ${MAX_PATHS} of ${groups.length} kinds` : ''
  return [
    element('p', {}, 'An estimate from the limits that the board states, not a measurement.'),
    table(
      'Levels, currents and edges of the nets of diodes',
      ['Net', 'What', 'Result', 'How it was worked out'],
      budget.lines.map((line) => [
        line.net,
        line.kind.replace('-', ' '),
        judgedWords(line.value, line.unit, line),
        line.how,
      ]),
    ),
    table(
      `Ways through the board, the slowest first${left}`,
      ['Way', 'Through', 'Result'],
      groups.slice(0, MAX_PATHS).map((group) => {
        const [first] = group
        return [pathWords(group), first.through.join(', '), judgedWords(first.seconds, 's', first)]
      }),
    ),
    table('Where the limits are from', ['Of', 'Source'], sourcesOf(budget).map((each) => [...each])),
    heading(3, 'What the budget assumes'),
    listOf(budget.assumptions),
  ]
}
