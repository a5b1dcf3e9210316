/** `adapter`: a whole board, by itself or against what it replaces. */
import {
  adapterTable,
  examineAdapter,
  type AdapterOptions,
  type AdapterOriginal,
  type AdapterReport,
  type Board,
} from '../board'
import { adapterPage, renderAdapter, VERDICT_WORDS } from '../report'
import {
  choice,
  deviceOption,
  argumentMessage,
  printJson,
  readJson,
  readOrStop,
  text,
  textOptions,
  Usage,
  type Call,
} from './call'
import { screenTable, tableDocument } from './table-screen'
import { targetOptions, writeTargets } from './output-file'
import { progressOption } from './progress'
import { withRemedies } from './remedies'

/** Most bytes of a file that a board names: a hundred times those of the largest part. */
const MAX_PART_FILE_BYTES = 64 * 2 ** 20

export function adapterBoard(call: Call): number {
  const { files, host } = call
  const [name, ...more] = files
  if (name === undefined || more.length > 0) throw new Usage('adapter takes one BOARD.json; try fuse-assay --help')
  const targets = targetOptions(call, 'html')
  const original = originalOption(call)
  const board = readBoard(call, name)
  if (call.options['table'] === true && original) throw new Usage('--table and --against do not go together')
  if (call.options['table'] === true && targets.length > 0) throw new Usage('--table and --html do not go together')
  const off = choice(call, 'off', ['0', '1'])
  const options: AdapterOptions = {
    name,
    ...(original ? { against: original } : {}),
    ...(off === undefined ? {} : { off: off === '1' ? 1 : 0 }),
    ...progressOption(call),
  }
  const report = examineOrStop(board, options, name)
  if (call.options['table'] === true) return printBoardTable(call, name, { report, table: adapterTable(board) })
  const shown = withRemedies(report)
  const written = writeTargets(call, targets, { html: () => adapterPage(shown, { board }) })
  if (call.options['json']) printJson(host, report)
  else host.out(`${renderAdapter(shown, textOptions(call))}${written}`)
  return exitOf(report, call.options['strict'] === true)
}

interface BoardTable {
  readonly report: AdapterReport
  readonly table: ReturnType<typeof adapterTable>
}

/** The table of a board by itself; without one, the report says why. */
function printBoardTable(call: Call, name: string, { report, table }: BoardTable): number {
  const { host, options } = call
  const { verdict, findings } = report
  const refused = 'refused' in table
  if (options['json'])
    printJson(host, { file: name, verdict, ...(refused ? { ...table, rows: null, findings } : tableDocument(table)) })
  else if (!refused)
    host.out(
      screenTable(
        call,
        table,
        verdict === 'pass' ? '' : `${name}: ${VERDICT_WORDS[verdict]}\n`,
      ),
    )
  else host.out(renderAdapter(withRemedies(report), textOptions(call)))
  return refused ? 1 : exitOf(report, options['strict'] === true)
}

function originalOption(call: Call): AdapterOriginal | null {
  const against = text(call, 'against')
  const wiring = text(call, 'wiring')
  const device = deviceOption(call)
  if (against === undefined) {
    if (wiring !== undefined || device.device || device.fuseOrder !== undefined)
      throw new Usage('--wiring, --device and --fuse-order go with --against; try fuse-assay --help')
    return null
  }
  if (wiring !== undefined)
    return { name: against, image: readOrStop(call.host, against), wiring: wiringNamed(call, wiring) }
  if (/\.json$/i.test(against)) return { name: against, board: readBoard(call, against) }
  return { name: against, file: readOrStop(call.host, against), ...device }
}

/** The name of a known wiring, or the document in a file. */
function wiringNamed(call: Call, wiring: string): string {
  return (/\.json$/i.test(wiring) ? readJson(call.host, wiring) : wiring) as string
}

/** A board with its files, which it names as seen from its own folder. The library checks everything else. */
function readBoard({ host }: Call, name: string): Board {
  const board = readJson(host, name)
  const { parts } = (typeof board === 'object' && board !== null ? board : {}) as { readonly parts?: unknown }
  if (!Array.isArray(parts)) return board as Board
  const folder = /^.*[/\\]/.exec(name)?.[0] ?? ''
  const loaded = parts.map((part: unknown): unknown => {
    const { file } = (typeof part === 'object' && part !== null ? part : {}) as { readonly file?: unknown }
    if (typeof file !== 'string') return part
    const path = /^([/\\]|[A-Za-z]:)/.test(file) ? file : `${folder}${file}`
    return { fileName: file, ...(part as object), file: readOrStop(host, path, MAX_PART_FILE_BYTES) }
  })
  return { ...(board as object), parts: loaded } as unknown as Board
}

/** A mistake in a document is told with its path in one line. */
function examineOrStop(board: Board, options: AdapterOptions, name: string): AdapterReport {
  try {
    return examineAdapter(board, options)
  } catch (error) {
    const message = argumentMessage(error, 'board', 'options', 'wiring')
    const ofOriginal = message.startsWith('options.against.board')
    throw new Usage(
      ofOriginal
        ? `${options.against!.name}: ${message.replace('options.against.', '')}`
        : message.startsWith('board')
          ? `${name}: ${message}`
          : message.replace('options.against.', '--').replace(/^wiring/, '--wiring'),
    )
  }
}

/** The exit follows the relation; without an original, whether a finding is an error. */
function exitOf({ relation, verdict }: AdapterReport, strict: boolean): number {
  if (relation === 'different') return 1
  if (relation === 'undecided' || relation === 'not-comparable') return 3
  return (relation === null && verdict === 'fail') || (strict && verdict !== 'pass') ? 1 : 0
}
