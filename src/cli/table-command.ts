/** `table`: the truth table of chosen outputs over chosen inputs. */
import { inspect, levelInTable, renderFinding, renderTable, tableCsv, tableImage, truthTable, type Decoded, type TableColumn, type TableRefusal, type TruthTable } from '../index'
import { choice, deviceOption, printJson, readOrStop, text, Usage, writeOrStop, type Call } from './call'

/** Widest table that is printed, in inputs; an image may be wider. */
const WIDEST_TEXT = 16

export function tableFile(call: Call): number {
  const { host } = call
  const [name, out, ...more] = call.files
  const csv = call.options['csv'] === true
  if (name === undefined || more.length > 0 || (out !== undefined && !csv)) throw new Usage('table takes one FILE, and with --csv a name to write to; try fuse-assay --help')
  const binary = text(call, 'binary')
  if (csv && binary !== undefined) throw new Usage('table writes --csv or --binary, not both')
  for (const target of [out, binary]) if (target !== undefined && (target === '' || target === '-' || host.same(name, target))) throw new Usage(`${target || 'an empty name'} cannot be written to; give the name of a new file`)
  const device = deviceOption(call)
  const { report, decoded } = inspect(readOrStop(host, name), { ...device, name })
  const unknownFuses = report.findings.some(({ code }) => code === 'file/uncovered-fuses')
  if (!decoded?.logic || unknownFuses) return refuse(call, name, { reason: 'its logic is not known', findings: report.findings.filter(({ severity }) => severity !== 'note').map(renderFinding) })
  const table = makeTable(call, decoded, binary === undefined ? WIDEST_TEXT : 24)
  if ('reason' in table) return refuse(call, name, { reason: tooWide(table) })
  if (binary !== undefined) return writeImage(call, table, { name, binary })
  if (out !== undefined) {
    writeOrStop(host, out, tableCsv(table))
    host.out(`${out}: written, ${table.rowCount} rows.\n`)
  } else if (call.options['json']) printJson(host, documentOf(name, table))
  else host.out(csv ? tableCsv(table) : renderTable(table))
  return 0
}

function makeTable(call: Call, decoded: Decoded, maxInputs: number): TruthTable | TableRefusal {
  const [inputs, outputs] = [pinList(call, 'inputs'), pinList(call, 'outputs')]
  try {
    return truthTable(decoded, { ...(inputs ? { inputs } : {}), ...(outputs ? { outputs } : {}), maxInputs })
  } catch (error) {
    if (error instanceof RangeError) throw new Usage(error.message.replace('options.', '--'))
    throw error
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

function columnWords({ kind, pin }: TableColumn): string {
  return kind === 'pin' ? `pin ${pin}` : `the state behind pin ${pin}`
}

function tooWide({ needed, limit }: TableRefusal): string {
  return `the outputs depend on ${needed.length} inputs (${needed.map(columnWords).join(', ')}), and a table takes at most ${limit}; choose fewer outputs with --outputs${limit === WIDEST_TEXT ? ', or write an image with --binary' : ''}`
}

function refuse(call: Call, name: string, { reason, findings = [] }: { readonly reason: string; readonly findings?: readonly string[] }): number {
  if (call.options['json']) printJson(call.host, { file: name, rows: null, reason })
  else call.host.out([`${name}: no table: ${reason}.`, ...findings, ''].join('\n'))
  return 1
}

function writeImage(call: Call, table: TruthTable, { name, binary }: { readonly name: string; readonly binary: string }): number {
  const off = choice(call, 'off', ['0', '1'])
  const image = tableImage(table, { off: off === undefined ? null : off === '1' ? 1 : 0 })
  if (!('bytes' in image)) {
    const hint = image.level === 'Z' ? 'it is off; --off 0 or --off 1 says what that counts as' : 'these inputs do not fix it'
    return refuse(call, name, { reason: `an image needs a level everywhere, and row ${image.openRow} has none for ${columnWords(image.output)}: ${hint}` })
  }
  writeOrStop(call.host, binary, image.bytes)
  const lines = [`${binary}: written, ${image.bytes.length} bytes.`, `  address lines from A0: ${table.inputs.map(columnWords).join(', ')}`, `  data lines from D0: ${table.outputs.map(columnWords).join(', ')}`]
  if (call.options['json']) printJson(call.host, { file: name, out: binary, bytes: image.bytes.length, inputs: table.inputs, outputs: table.outputs })
  else call.host.out(`${lines.join('\n')}\n`)
  return 0
}

/** The document of `--json`: rows as text, one character an output, row r being the input columns as bits of r. */
function documentOf(file: string, table: TruthTable): object {
  const { inputs, outputs, unlisted, rowCount } = table
  const rows = Array.from({ length: rowCount }, (_, row) => outputs.map((_, i) => levelInTable(table, i, row)).join(''))
  return { file, inputs, outputs, unlisted, rows }
}
