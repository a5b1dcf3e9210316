/**
 * A decoded part as one synthesizable module in Verilog (IEEE 1364-2001), for simulation beside other logic or for
 * proof by other means.
 */
import { optionsOf } from '../arguments/arguments'
import { refusedFor, type Refused } from '../findings/refused'
import { blockOf, type DataBasis } from '../devices/device'
import { checkedDecoded, type Decoded } from '../devices/decode'
import { expressionsOf, cellNameOf, usedSignals, type Logic, type LogicCell } from '../logic/logic'
import { printOutput, type ModuleText } from './verilog-output'
import { moduleName, pinDrives, type PinDrives } from './verilog-text'

/** How the module is to be printed. */
export interface VerilogOptions {
  /** Name of the module: an identifier of Verilog, no keyword. Default: `part_` and the part, such as `part_16v8`. */
  readonly name?: string
}

/**
 * The logic of a decoded part as a module in Verilog (IEEE 1364-2001), ASCII; refused where its fuses name no mode.
 * Ports
 * are the pins of the DIP package, `p1` and so on, without supply: `input`, `output` where a pin is always driven,
 * `inout` where it is so at times. Each product term names its row of the array. Nothing of timing is modelled.
 *
 * @param decoded what `decode` gave, with logic
 * @param options name of the module
 * @returns the text of the module
 * @throws TypeError when `decoded`, the options or `options.name` are of the wrong type; RangeError when `options.name`
 *   is no identifier or a keyword
 * @example String(verilogModule(decoded, { name: 'chart_drive' })).includes('module chart_drive') // true
 */
export function verilogModule(decoded: Decoded, options: VerilogOptions = {}): string | Refused<'no-logic'> {
  checkedDecoded(decoded, 'decoded')
  optionsOf(options, { name: true })
  const name = moduleName(options.name, decoded.device.part)
  const { logic } = decoded
  if (!logic) return refusedFor('no-logic')
  const model = pinDrives(logic)
  const readRegisters = registersRead(logic)
  const alive = logic.cells.filter((cell) => readRegisters.has(cell) || model.drives.get(cellNameOf(cell)) !== 'none')
  const readPins = pinsRead(logic, alive)
  const text: ModuleText = { declarations: [], lines: [] }
  for (const cell of logic.cells) {
    const levelRead = cell.pin !== null && readPins.has(cell.pin)
    printOutput(model, cell, { text, readBack: readRegisters.has(cell), levelRead })
  }
  return [
    ...header(decoded, text),
    `module ${name} (`,
    ...portLines(model, readPins),
    ');',
    ...text.declarations.map((declaration) => `  ${declaration};`),
    ...text.lines,
    'endmodule',
    '',
  ].join('\n')
}

/** Pins that cells read as levels. */
function pinsRead({ signals }: Logic, cells: readonly LogicCell[]): ReadonlySet<number> {
  const used = usedSignals(cells.flatMap(expressionsOf)).map((index) => signals[index]!)
  return new Set(used.flatMap((signal) => (signal.kind === 'pin' ? [signal.pin] : [])))
}

/** Cells whose registers some cell reads. */
function registersRead({ cells, signals }: Logic): ReadonlySet<LogicCell> {
  const used = usedSignals(cells.flatMap(expressionsOf)).map((index) => signals[index]!)
  return new Set(used.flatMap((signal) => (signal.kind === 'register' ? [cells[signal.cell]!] : [])))
}

/** Text that can stand in a comment of one line. */
function plain(text: string): string {
  return text.replace(/[^ -~]/g, '?')
}

const BASIS_LINES: Readonly<Record<DataBasis, readonly string[]>> = {
  published: [],
  inferred: ['What the fuses of this part mean is inferred in part.'],
  unconfirmed: ['NOT CONFIRMED: what the fuses of this part mean is derived only; the logic below may be wrong.'],
  memory: [
    'NOT CONFIRMED: what the fuses of this part mean is known from memory only; the logic below may be wrong.',
  ],
}

function basisOf({ device, fuseCount }: Decoded): DataBasis {
  return fuseCount < device.fuseCount ? (device.shorterBasis ?? device.basis) : device.basis
}

function header(decoded: Decoded, { declarations }: ModuleText): string[] {
  const { device, mode, fuseCount } = decoded
  const powerDown = blockOf(device, 'power-down', fuseCount) ? device.powerDownPin : undefined
  const holds = (name: string): boolean => declarations.some((declaration) => declaration.includes(` ${name}`))
  return [
    `${device.part}${mode?.name ? ` in ${mode.name} mode` : ''}, as computed from its ${fuseCount} fuses.`,
    ...(device.fuseOrder === undefined
      ? BASIS_LINES[basisOf(decoded)]
      : [
          `NOT CONFIRMED: no order of the fuses is established for this part; they were taken in the order ${device.fuseOrder}.`,
        ]),
    `Ports are the pins of the DIP package; pin ${device.groundPin} is ground, pin ${device.powerPin} supply.`,
    '"row" is the row of the AND array, counted from 0, that a product term comes from.',
    'Nothing of timing is modelled: no delays, no setup or hold times, no pulses. Data that change together with',
    'a clock are a race here as in the part.',
    ...(holds('before')
      ? [
          '"before" is what a register would take, as it was before the edge: it follows once registers have been clocked.',
        ]
      : []),
    ...(holds('late_')
      ? [
          '"late" and "quiet" pass a reset, preset or load on once all is quiet: levels that change together make no pulse of it.',
        ]
      : []),
    ...(powerDown === undefined
      ? []
      : [`A power-down fuse that may change what pin ${powerDown} does is not modelled.`]),
  ].map((line) => `// ${plain(line)}`)
}

function portLines(model: PinDrives, readPins: ReadonlySet<number>): string[] {
  const { logic } = model
  const pins = portPins(logic)
  return pins.map((pin, i) => {
    const drive = model.drives.get(pin) ?? 'none'
    const direction = drive === 'none' ? 'input ' : drive === 'always' ? 'output' : 'inout '
    return `  ${direction} wire p${pin}${i < pins.length - 1 ? ',' : ''}${drive === 'none' && !readPins.has(pin) ? ' // nothing reads it' : ''}`
  })
}

function portPins({ pinCount, supplyPins }: Logic): number[] {
  return Array.from({ length: pinCount }, (_, i) => i + 1).filter((pin) => !supplyPins.includes(pin))
}
