/** `table`: the truth table of chosen outputs over chosen inputs. */
import { check, type Report } from '../index'
import {
  tableCsv,
  tableImage,
  truthTable,
  type Decoded,
  type TableColumn,
  type TooWide,
  type TruthTable,
} from '../logic'
import { renderRefusal } from '../report'
import {
  checkedWords,
  argumentMessage,
  choice,
  deviceOption,
  printJson,
  readOrStop,
  text,
  textOptions,
  Usage,
  type Call,
} from './call'
import { withRemedies } from './remedies'
import { screenTable, tableDocument } from './table-screen'
import { checkedTarget, targetOption, writeTarget, type Target } from './output-file'

/** Widest table that is printed, in inputs; an image may be wider. */
const WIDEST_TEXT = 16

export function tableFile(call: Call): number {
  const { name, out, binary } = namesOf(call)
  const device = deviceOption(call)
  const { report, decoded, inspection } = check(readOrStop(call.host, name), { ...device, name })
  if (!decoded?.logic || !inspection.complete) return refuse(call, report, NO_LOGIC)
  const table = makeTable(call, decoded, binary ? 24 : WIDEST_TEXT)
  if ('refused' in table) return refuse(call, report, refusalOf(table))
  if (table.outputs.length === 0) return refuse(call, report, NO_OUTPUT)
  const code = binary
    ? writeImage(call, table, { report, binary })
    : out
      ? writeCsv(call, table, { report, out })
      : printTable(call, table, report)
  return call.options['strict'] && report.verdict !== 'pass' ? 1 : code
}

function namesOf(call: Call): {
  readonly name: string
  readonly out: Target | null
  readonly binary: Target | null
} {
  const [name, out, ...more] = call.files
  const csv = call.options['csv'] === true
  if (name === undefined || more.length > 0 || (out !== undefined && !csv))
    throw new Usage('table takes one FILE, and with --csv a name to write to; try fuse-assay --help')
  if (csv && text(call, 'binary') !== undefined) throw new Usage('table writes --csv or --binary, not both')
  const off = choice(call, 'off', ['0', '1'])
  if (off !== undefined && text(call, 'binary') === undefined)
    throw new Usage('--off says what an output that is off counts as in an image; it goes with --binary')
  return {
    name,
    out: out === undefined ? null : checkedTarget(call, { option: 'csv', path: out }),
    binary: targetOption(call, 'binary'),
  }
}

function printTable(call: Call, table: TruthTable, report: Report): number {
  const { host, options } = call
  const { file, verdict } = report
  if (options['json']) printJson(host, { file, verdict, ...tableDocument(table) })
  else host.out(options['csv'] ? tableCsv(table) : screenTable(call, table, checkedLine(report) + heldLine(call)))
  return 0
}

/** Comma-separated values as a file of its own. */
function writeCsv(
  call: Call,
  table: TruthTable,
  { report, out }: { readonly report: Report; readonly out: Target },
): number {
  const { host, options } = call
  writeTarget(call, out, tableCsv(table))
  const { file, verdict } = report
  if (options['json'])
    printJson(host, {
      file,
      verdict,
      out: out.path,
      rowCount: table.rowCount,
      inputs: table.inputs,
      outputs: table.outputs,
      unlisted: table.unlisted,
    })
  else host.out(`${checkedLine(report)}${out.path}: written, ${table.rowCount} rows.\n${heldLine(call)}`)
  return 0
}

/** A table goes on without the report that it came with, so it says itself where that was not a pass. */
function checkedLine({ file, verdict }: Report): string {
  return verdict === 'pass' ? '' : `${file}: ${checkedWords(verdict)}\n`
}

function makeTable(call: Call, decoded: Decoded, maxInputs: number): ReturnType<typeof truthTable> {
  const [inputs, outputs] = [pinList(call, 'inputs'), pinList(call, 'outputs')]
  const held = heldPins(call)
  try {
    return truthTable(decoded, { ...(inputs ? { inputs } : {}), ...(outputs ? { outputs } : {}), held, maxInputs })
  } catch (error) {
    throw new Usage(argumentMessage(error, 'options').replace('options.', '--'))
  }
}

/** Pins such as `2,3,5-9`; the order counts. */
function pinList(call: Call, option: string): number[] | null {
  const list = text(call, option)
  if (list === undefined) return null
  return list.split(',').flatMap((part) => {
    const range = /^(\d{1,3})(?:-(\d{1,3}))?$/.exec(part.trim())
    if (!range) throw new Usage(`--${option} is a list of pins such as 2,3,5-9, not ${list}`)
    const [first, last] = [Number(range[1]), Number(range[2] ?? range[1])]
    const step = first <= last ? 1 : -1
    return Array.from({ length: Math.abs(last - first) + 1 }, (_, i) => first + i * step)
  })
}

/** Levels of pins such as `19=0,2=1`. */
function heldPins(call: Call): Readonly<Record<string, 0 | 1>> {
  const held: Record<string, 0 | 1> = {}
  const list = text(call, 'held')
  for (const part of list?.split(',') ?? []) {
    const [, pin, level] = /^\s*(\d{1,3})\s*=\s*([01])\s*$/.exec(part) ?? []
    if (pin === undefined) throw new Usage(`--held is a list of pins with their levels such as 19=0,2=1, not ${list}`)
    const key = String(Number(pin))
    if (key in held) throw new Usage(`--held names pin ${key} twice`)
    held[key] = level === '1' ? 1 : 0
  }
  return held
}

/** The pins that are held, as the table's readers see them. */
function heldLine(call: Call): string {
  const held = Object.entries(heldPins(call)).map(([pin, level]) => `p${pin} = ${level}`)
  return held.length === 0 ? '' : `held: ${held.join(', ')}\n`
}

function columnWords({ kind, pin }: TableColumn): string {
  return kind === 'pin' ? `pin ${pin}` : `the state behind pin ${pin}`
}

/** Why there is no table: a code, and the same in words. */
interface NoTable {
  readonly reason: 'no-logic' | 'too-wide' | 'no-output' | 'open-level'
  readonly words: string
}

const NO_LOGIC: NoTable = { reason: 'no-logic', words: 'its logic is not known' }
const NO_OUTPUT: NoTable = { reason: 'no-output', words: 'no output of this map ever drives its pin' }

function refusalOf(refused: Exclude<ReturnType<typeof truthTable>, TruthTable>): NoTable {
  return 'needed' in refused ? { reason: 'too-wide', words: tooWide(refused) } : NO_LOGIC
}

function tooWide({ needed, limit }: TooWide): string {
  return `the outputs depend on ${needed.length} inputs (${needed.map(columnWords).join(', ')}), and a table takes at most ${limit}; choose fewer outputs with --outputs${limit === WIDEST_TEXT ? ', or write an image with --binary' : ''}`
}

/** No table: with what is wrong with the file, where the file is the reason. */
function refuse(call: Call, report: Report, { reason, words }: NoTable): number {
  const { file, verdict, findings } = report
  const shown = reason === 'no-logic' ? withRemedies(report) : { ...report, findings: [] }
  if (call.options['json']) printJson(call.host, { file, verdict, refused: true, reason, rows: null, findings })
  else call.host.out(renderRefusal(shown, `no table: ${words}`, textOptions(call)))
  return 1
}

/** The image of a memory; refused where a row has no level for it. */
function writeImage(
  call: Call,
  table: TruthTable,
  { report, binary }: { readonly report: Report; readonly binary: Target },
): number {
  const off = text(call, 'off')
  const file = report.file!
  const image = tableImage(table, { off: off === undefined ? null : off === '1' ? 1 : 0 })
  if ('refused' in image) {
    const hint =
      image.level === 'Z' ? 'it is off; --off 0 or --off 1 says what that counts as' : 'these inputs do not fix it'
    return refuse(call, report, {
      reason: image.reason,
      words: `an image needs a level everywhere, and row ${image.openRow} has none for ${columnWords(image.output)}: ${hint}`,
    })
  }
  writeTarget(call, binary, image.bytes)
  const { inputs, outputs } = table
  if (call.options['json'])
    printJson(call.host, {
      file,
      verdict: report.verdict,
      out: binary.path,
      bytes: image.bytes.length,
      inputs,
      outputs,
    })
  else
    call.host.out(
      `${checkedLine(report)}${binary.path}: written, ${image.bytes.length} bytes.\n  address lines from A0: ${inputs.map(columnWords).join(', ')}\n  data lines from D0: ${outputs.map(columnWords).join(', ')}\n${heldLine(call)}`,
    )
  return 0
}
