/**
 * A board of parts, diodes and resistors: what it does toward the outside, whether that is what the original does,
 * and which faults would show.
 */
import { SCHEMA } from '../../findings/schema'
import { refusedFor, type Refused } from '../../findings/refused'
import { oneOf, optionsOf, stringOf, type OptionNames, wholeNumber, bytesOf, madeBy } from '../../arguments/arguments'
import { runPieces, runWithPauses, type PauseOptions, type Pieces } from '../../arguments/pieces'
import { checkWatch, watchOf, type WatchOptions } from '../../arguments/watch'
import { ADAPTER_FINDINGS } from '../../findings/adapter-findings'
import { checkCatalogue } from '../../findings/check-catalogue'
import { collectFindings, mergeFindings, verdictOf, type FindingList } from '../../findings/finding'
import { countBits } from '../table/compare-tables'
import { checkedTable } from '../table/checked-table'
import type { TruthTable } from '../table/truth-table'
import {
  remarkBudget,
  remarkComparison,
  remarkFaults,
  remarkOutputs,
  remarkRepairs,
  remarkRows,
} from './adapter-remarks'
import type { AdapterFaults, AdapterOptions, AdapterOriginal, AdapterReport, AdapterRows } from './adapter-report'
import { checkedBoard, type Board } from './board'
import { budgetOf } from './board-budget'
import { tryFaults, type FaultTrial } from './board-faults'
import { columnsOf, type Network } from './board-network'
import { workOf, type Work } from './board-work'
import { readOriginal } from './board-original'
import { inspectParts, networkOf } from './board-parts'
import { findRepairs } from './board-repairs'
import { boardTable, MAX_BOARD_WORK, offAs, type SweptBoard } from './board-table'
import type { AdapterCollector } from './board-wiring'
import { compareBoard, inputsAt, type ComparedBoard } from './compare-board'

/**
 * Examines a board: levels at its outside pins for every combination of its inputs, what is wrong with its wiring, how
 * it compares with the original, which single faults that comparison would notice, and the budget of levels and times.
 *
 * @param board plain data as `Board` has it, with the bytes of the fuse files
 * @param options what it replaces, what an output that is off counts as, and the limits
 * @returns levels, wiring, faults and budget of the board, with findings; compared with the original where there is one
 * @throws TypeError or RangeError naming the path of what is wrong in the board or the argument; content of files never
 *   throws
 * @example examineAdapter(board, { against: { file: palBytes, device: '14L4' } }).relation // 'undecided'
 */
export function examineAdapter(board: Board, options: AdapterOptions = {}): AdapterReport {
  optionsOf(options, ADAPTER_OPTIONS)
  return runPieces(examined(board, options))
}

/**
 * As `examineAdapter`, in pieces of a few milliseconds with a pause after each, so that a page stays alive meanwhile.
 *
 * @param board as for `examineAdapter`
 * @param options those of `examineAdapter` and `pause`; an aborted `signal` ends the work after the piece at hand
 * @returns a promise of what `examineAdapter` gives
 * @throws nothing at once: what `examineAdapter` throws, and the reason of the signal, reject the promise
 * @example examineAdapterInPieces(board, { pause: async () => {} }) instanceof Promise // true
 */
export async function examineAdapterInPieces(
  board: Board,
  options: AdapterOptions & PauseOptions,
): Promise<AdapterReport> {
  return runWithPauses(options, ADAPTER_OPTIONS, (others: AdapterOptions) => examined(board, others))
}

function* examined(board: Board, options: AdapterOptions): Pieces<AdapterReport> {
  const checked = checkedBoard(board, 'board')
  const { limit, maxInputs, maxSteps } = checkedOptions(options)
  const findings = collectFindings(ADAPTER_FINDINGS, { limit, inside: checkCatalogue() })
  const inspections = inspectParts(checked, 'board')
  const network = networkOf(checked, inspections, { path: 'board', findings })
  const found = network
    ? yield* examineNetwork(network, { board: checked, options, maxInputs, maxSteps, findings })
    : UNEXAMINED
  const more: FindingList[] = found.further
  const { findings: list, counts } = mergeFindings([findings.list(), ...more], limit)
  const { against } = options
  return {
    schema: SCHEMA,
    file: options.name ?? null,
    title: checked.title ?? null,
    verdict: verdictOf(counts),
    relation: against ? (found.relation ?? 'not-comparable') : null,
    against: against ? { name: against.name ?? null, kind: kindOf(against)! } : null,
    parts: inspections.map(({ report, decoded }, i) => ({
      name: checked.parts[i]!.name,
      file: checked.parts[i]!.fileName ?? null,
      part: decoded?.device.part ?? null,
      mode: decoded?.mode?.name ?? null,
      verdict: report.verdict,
    })),
    outside: checked.outside.map(({ pin, name, net, direction, held }) => ({
      pin,
      name: name ?? null,
      net,
      direction,
      held: held ?? null,
    })),
    counts: {
      diodes: checked.diodes?.length ?? 0,
      resistors: checked.resistors?.length ?? 0,
      nets: network ? network.netNames.filter((name) => !/ pin \d+$/.test(name)).length : 0,
    },
    rowCount: found.rows?.all ?? null,
    rows: found.rows,
    outputs: found.outputs,
    lacking: found.lacking,
    repairs: found.repairs,
    faults: found.faults,
    budget: found.budget,
    findings: list,
    scope: scopeOf(found, checked),
  }
}

/**
 * The truth table of a board's outside pins: row r applies bit k of r to its k-th input that is not held.
 *
 * @param board plain data as `Board` has it, with the bytes of the fuse files
 * @param options limits: most inputs that are not held (default 20), most steps of work
 * @returns the table; refused where a part's logic is not known, or there are more inputs or is more work than the
 *   limit, which `examineAdapter` explains
 * @throws as `examineAdapter` does
 * @example const table = adapterTable(board); 'refused' in table ? table.reason : table.rowCount // 32
 */
export function adapterTable(
  board: Board,
  options: Pick<AdapterOptions, 'maxInputs' | 'maxSteps' | keyof WatchOptions> = {},
): TruthTable | Refused<'no-logic' | 'too-wide' | 'too-much-work'> {
  const checked = checkedBoard(board, 'board')
  const { maxInputs, maxSteps } = checkedOptions(optionsOf(options, ADAPTER_OPTIONS))
  const aside = collectFindings(ADAPTER_FINDINGS, { limit: 1 })
  const network = networkOf(checked, inspectParts(checked, 'board'), { path: 'board', findings: aside })
  if (!network) return refusedFor('no-logic')
  if (columnsOf(network).inputs.length > maxInputs) return refusedFor('too-wide')
  const swept = runPieces(boardTable(network, workOf(maxSteps, 'board-table', watchOf(options))))
  return swept ? swept.table : refusedFor('too-much-work')
}

const ADAPTER_OPTIONS: OptionNames<AdapterOptions> = {
  against: true,
  off: true,
  maxInputs: true,
  maxSteps: true,
  faults: true,
  name: true,
  maxFindings: true,
  onProgress: true,
  signal: true,
}

function checkedOptions(options: AdapterOptions): {
  readonly limit: number
  readonly maxInputs: number
  readonly maxSteps: number
} {
  const { maxInputs = 20, maxFindings = 100, maxSteps = MAX_BOARD_WORK, off, against, faults, name } = options
  wholeNumber(maxInputs, 'options.maxInputs', [0, 24])
  wholeNumber(maxFindings, 'options.maxFindings', [1])
  wholeNumber(maxSteps, 'options.maxSteps', [1])
  if (off !== undefined) oneOf(off, 'options.off', [0, 1])
  if (faults !== undefined) oneOf(faults, 'options.faults', [true, false])
  if (name !== undefined) stringOf(name, 'options.name')
  checkWatch(options, 'options')
  if (against !== undefined) checkOriginal(against)
  return { limit: maxFindings, maxInputs, maxSteps }
}

const ORIGINAL_KEYS = {
  file: { file: true, device: true, fuseOrder: true, name: true },
  image: { image: true, wiring: true, name: true },
  table: { table: true, name: true },
  board: { board: true, name: true },
} as const

/** Checks kind, keys and content of what a board is compared with; documents in it are checked as they are read. */
function checkOriginal(against: AdapterOriginal): void {
  const maker = 'an object that has a file, an image, a table or a board'
  const path = 'options.against'
  const kind = kindOf(madeBy(against, path, { keys: [], maker }))
  if (kind === null) throw new TypeError(`${path} must be ${maker}`)
  optionsOf(against, ORIGINAL_KEYS[kind] as OptionNames<AdapterOriginal>, path)
  if (against.name !== undefined) stringOf(against.name, `${path}.name`)
  if ('file' in against) bytesOf(against.file, `${path}.file`)
  if ('image' in against) bytesOf(against.image, `${path}.image`)
  if ('image' in against && against.wiring === undefined)
    throw new TypeError(`${path}.wiring must be a wiring, or the name of one`)
  if ('table' in against) checkedTable(against.table, `${path}.table`)
}

function kindOf(against: AdapterOriginal): 'file' | 'image' | 'table' | 'board' | null {
  return (['file', 'image', 'table', 'board'] as const).find((kind) => kind in against) ?? null
}

type Examined = Pick<AdapterReport, 'relation' | 'rows' | 'outputs' | 'lacking' | 'repairs' | 'faults' | 'budget'> & {
  /** Findings of steps with catalogues of their own. */
  readonly further: FindingList[]
}

const UNEXAMINED: Examined = {
  relation: null,
  rows: null,
  outputs: [],
  lacking: [],
  repairs: [],
  faults: null,
  budget: null,
  further: [],
}

interface Examination {
  readonly board: Board
  readonly options: AdapterOptions
  readonly maxInputs: number
  readonly maxSteps: number
  readonly findings: AdapterCollector
}

function* examineNetwork(
  network: Network,
  { board, options, maxInputs, maxSteps, findings }: Examination,
): Pieces<Examined> {
  const budget = budgetOf(board, network)
  remarkBudget(budget, findings)
  const { length } = columnsOf(network).inputs
  if (length > maxInputs) {
    findings.add('adapter/too-many-inputs', {}, { count: length, limit: maxInputs })
    return { ...UNEXAMINED, budget }
  }
  const watch = watchOf(options)
  const tableWork = workOf(maxSteps, 'board-table', watch)
  const swept = yield* boardTable(network, tableWork)
  if (!swept) {
    findings.add('adapter/too-much-work', {}, { limit: maxSteps, rows: 2 ** length })
    return { ...UNEXAMINED, relation: 'undecided', budget }
  }
  remarkRows(network, swept, findings)
  const further: FindingList[] = []
  const place = { maxInputs, findings, further, watch }
  const original = options.against ? yield* readOriginal(network, options.against, place) : null
  const compared = original && compareBoard(swept, original, options.off)
  if (compared) remarkComparison(compared, findings)
  remarkOutputs(compared?.outputs ?? [], swept.table.rowCount, findings)
  // Changes leave half of the steps to the faults.
  const half = Math.floor(tableWork.steps / 2)
  const work = workOf(half, 'board-changes', watch)
  const repairs = compared?.relation === 'different' ? yield* repairsOf(network, swept, { compared, work }) : []
  remarkRepairs(repairs, findings)
  const faults =
    options.faults === false ? null : yield* faultsOf(network, swept, {
          compared,
          off: options.off ?? null,
          work: workOf(half + Math.max(0, work.steps), 'board-faults', watch),
        })
  if (faults) remarkFaults(faults, findings)
  return {
    relation: compared?.relation ?? null,
    rows: compared?.rows ?? rowsOf(swept),
    outputs: compared?.outputs ?? [],
    lacking: original?.lacking ?? [],
    repairs,
    faults,
    budget,
    further,
  }
}

function rowsOf({ table: { rowCount }, fights }: SweptBoard): AdapterRows {
  return { all: rowCount, judged: rowCount, misread: 0, dontCare: 0, fights: countBits(fights) }
}

function* repairsOf(
  network: Network,
  { remarks }: SweptBoard,
  { compared, work }: { readonly compared: ComparedBoard; readonly work: Work },
): Pieces<AdapterReport['repairs']> {
  const floating = [...new Set(remarks.floating.map(({ net }) => net))]
  return yield* findRepairs(network, compared.trial, { floating, work })
}

/** Faults against the original where the board is the same on every output that both have, else against the board. */
function* faultsOf(
  network: Network,
  { table }: SweptBoard,
  {
    compared,
    off,
    work,
  }: { readonly compared: ComparedBoard | null; readonly off: 0 | 1 | null; readonly work: Work },
): Pieces<AdapterFaults> {
  const own: FaultTrial = {
    off: compared?.trial.off ?? off,
    reference: compared?.counted ?? (off === null ? table : offAs(table, off)),
    outputs: table.outputs.map((_, i) => i),
    ignore: null,
  }
  const trial = compared?.same ? compared.trial : own
  const { list, total } = yield* tryFaults(network, trial, work)
  return {
    against: compared?.same ? 'original' : 'board',
    total,
    list: list.map((fault) => ({
      ...fault,
      inputs: fault.row === null ? null : inputsAt(trial.reference, fault.row),
    })),
  }
}

function scopeOf({ relation, rows, faults, budget }: Examined, { outside, parts }: Board): AdapterReport['scope'] {
  const isCompared = relation !== null && rows !== null
  const compared = [
    ...(rows === null ? [] : [`levels at the outside pins in all ${rows.all} rows`]),
    ...(isCompared ? [`${rows.judged === rows.all ? 'every row' : `${rows.judged} rows`} with the original`] : []),
    ...(faults ? [`${faults.list.length} single faults, one at a time`] : []),
    ...(budget && budget.sources.length > 0 ? ['stated limits with each other'] : []),
  ]
  const isPowered = outside.some(({ direction }) => direction === 'supply' || direction === 'ground')
  return {
    compared,
    notExamined: [
      ...(isPowered || parts.length === 0 ? [] : ['supply and ground, which the board names nowhere']),
      ...(isCompared && rows.judged < rows.all ? ['rows that were left out'] : []),
      'sequences and states',
      'two faults at once',
      'which file is in which chip',
      'speed of the chips',
      'hazards and noise',
    ],
  }
}
