/** One output cell as Verilog: its value and enable, its register with clock, holds and feedback. */
import {
  isBypassed,
  cellNameOf,
  structuralConstant,
  type Expression,
  type LogicCell,
  type Register,
} from '../logic/logic'
import { assignment, mayBypass, mayMeet, reachOf, settledBy, type Drive, type PinDrives } from './verilog-text'

/** Declarations and statements of a module, in the order in which they are made. */
export interface ModuleText {
  readonly declarations: string[]
  readonly lines: string[]
}

/** An output on its way to text. */
interface Cell {
  readonly model: PinDrives
  readonly output: LogicCell
  readonly wires: string[]
  readonly regs: string[]
  readonly lines: string[]
}

/** Prints an output; `readBack` is true where something reads its Q, `levelRead` where something reads its pin. */
export function printOutput(
  model: PinDrives,
  output: LogicCell,
  given: { readonly text: ModuleText; readonly readBack: boolean; readonly levelRead: boolean },
): void {
  const { text, readBack, levelRead } = given
  const cell: Cell = { model, output, wires: [], regs: [], lines: [] }
  const drive = model.drives.get(cellNameOf(output)) ?? 'none'
  if (drive === 'none' && !readBack) return
  if (drive === 'undefined') printUndefined(cell, levelRead)
  else printCell(cell, drive, readBack)
  text.lines.push('', ...cell.lines)
  if (cell.wires.length > 0) text.declarations.push(`wire ${cell.wires.join(', ')}`)
  if (cell.regs.length > 0) text.declarations.push(`reg ${cell.regs.join(', ')}`)
}

/**
 * A cell of which no data sheet says what it drives. A pin without a driver would be a constant to a tool that makes
 * gates of the module; where something reads it, it is the unknown x, which a level from outside does not
 * overcome.
 */
function printUndefined({ output, lines }: Cell, levelRead: boolean): void {
  const here = levelRead ? 'which is read, is unknown here' : 'which nothing reads, is left undriven here'
  lines.push(
    `  // Pin ${output.pin}: no data sheet defines this setting of its cell; the pin, ${here}.`,
    `  assign p${output.pin} = 1'b${levelRead ? 'x' : 'z'};`,
  )
}

function printCell(cell: Cell, drive: Drive, readBack: boolean): void {
  const { output, lines } = cell
  const { name: at, register } = output
  lines.push(`  // ${output.pin === null ? 'Cell' : 'Pin'} ${at}: ${cellWords(cell)}.`, ...loopComment(cell))
  if (drive === 'switched') net(cell, 'on', output.enable)
  const kept = register && (readBack || !isBypassed(output)) ? register : null
  if (kept) printRegister(cell, kept)
  if (drive === 'none') return
  printValue(cell, kept)
  lines.push(`  assign p${at} = ${drive === 'switched' ? `on${at} ? value${at} : 1'bz` : `value${at}`};`)
}

function cellWords({ model, output }: Cell): string {
  const drive = model.drives.get(cellNameOf(output))
  const kind = output.register && !isBypassed(output) ? 'output of a register' : 'combinational output'
  if (output.pin === null) return 'a buried register'
  return drive === 'none'
    ? 'an input; its register is read inside'
    : drive === 'always'
      ? `${kind}, always on`
      : `${kind}, three-state`
}

/** What the reader of a combinational loop should know. */
function loopComment({ model, output }: Cell): string[] {
  const { pin } = output
  if (pin === null) return []
  const loop = [...reachOf(model, settledBy(output))].filter((other) => {
    const through = model.logic.cells.find((one) => one.pin === other)
    return (
      through &&
      model.drives.get(other) !== 'none' &&
      model.drives.get(other) !== 'undefined' &&
      reachOf(model, settledBy(through)).has(pin)
    )
  })
  if (loop.length === 0) return []
  return [
    `  // A loop without a register, through ${loop.length > 1 ? 'pins' : 'pin'} ${loop.sort((a, b) => a - b).join(', ')}: it may hold a level, or never come to rest.`,
  ]
}

/** Declares a net of this output and gives it the value of an expression. */
function net({ model, output, wires, lines }: Cell, name: string, expression: Expression): void {
  wires.push(`${name}${output.name}`)
  lines.push(...assignment(model, `${name}${output.name}`, expression))
}

/** The same for a value that is no expression of the logic. */
function netOf({ output, wires, lines }: Cell, name: string, value: string): void {
  wires.push(`${name}${output.name}`)
  lines.push(`  assign ${name}${output.name} = ${value};`)
}

/** The level that the pin is driven to. */
function printValue(cell: Cell, register: Register | null): void {
  const { name: at, value, register: own } = cell.output
  if (!register) return net(cell, 'value', value ?? { ...own!.data, inverted: own!.data.inverted !== own!.inverted })
  const not = register.inverted ? '~' : ''
  if (!mayBypass(register)) return netOf(cell, 'value', `${not}q${at}`)
  cell.lines.push('  // Reset and preset both 1 let the data past the register.')
  netOf(cell, 'value', `${not}((reset${at} & preset${at}) ? data${at} : q${at})`)
}

function mayBe1(expression: Expression): boolean {
  return structuralConstant(expression) !== 0
}

/** The level at which a register always stays, whatever its clock does; null where it can change. */
function stuckLevel({ reset, preset }: Register): 0 | 1 | null {
  if (structuralConstant(reset) === 1) return 0
  return structuralConstant(preset) === 1 && !mayBe1(reset) ? 1 : null
}

function printRegister(cell: Cell, register: Register): void {
  const { output, lines, model } = cell
  const { name: at } = output
  const loads = mayBe1(register.load) && model.drives.get(cellNameOf(output)) !== 'always'
  const stuck = loads ? null : stuckLevel(register)
  const clocked = structuralConstant(register.clock) === null
  if (clocked || mayBypass(register)) net(cell, 'data', register.data)
  if (stuck !== null) {
    if (mayBypass(register)) for (const name of ['reset', 'preset'] as const) net(cell, name, register[name])
    return netOf(cell, 'q', `1'b${stuck}`)
  }
  cell.regs.push(`q${at}`)
  lines.push(...startOf(register, at))
  const holds = printHolds(cell, register, loads)
  if (clocked) printClocked(cell, register, holds)
  else if (holds.clear ?? holds.set) printLatch(cell, holds)
}

/** Q at the start: the level that holds it, or the data sheet's. */
function startOf(register: Register, at: string): string[] {
  const held = structuralConstant(register.reset) === 1 ? 0 : structuralConstant(register.preset) === 1 ? 1 : null
  const level = held ?? register.powerUp
  if (level === null) return ['  // No data sheet gives Q after power-up: it starts unknown.']
  return [
    `  initial q${at} = 1'b${level}; // ${held === null ? 'Q after power-up, as the data sheet has it' : 'held from the start'}`,
  ]
}

/** Nets that hold Q at 0 and at 1; null where nothing does. The first comes before the second. */
interface Holds {
  readonly clear: string | null
  readonly set: string | null
}

function printHolds(cell: Cell, register: Register, loads: boolean): Holds {
  const { name: at } = cell.output
  const resets = mayBe1(register.reset)
  const presets = mayBe1(register.preset)
  if (resets) net(cell, 'reset', register.reset)
  if (presets) net(cell, 'preset', register.preset)
  if (mayMeet(register.reset, register.preset))
    cell.lines.push('  // While reset and preset are both 1, Q is 0 here; no data sheet says what it is.')
  if (loads)
    return printLoad(cell, register, {
      reset: resets ? `reset${at}` : "1'b0",
      preset: presets ? `preset${at}` : "1'b0",
    })
  return { clear: resets ? `reset${at}` : null, set: presets ? `preset${at}` : null }
}

/** A register that its own pin loads while the output is off. */
function printLoad(
  cell: Cell,
  register: Register,
  { reset, preset }: { readonly reset: string; readonly preset: string },
): Holds {
  const { name: at } = cell.output
  const [one, zero] = register.inverted ? [`~p${at}`, `p${at}`] : [`p${at}`, `~p${at}`]
  net(cell, 'load', register.load)
  cell.lines.push('  // While it is loaded and off, Q follows its pin, before reset and preset.')
  const loading = cell.model.drives.get(cellNameOf(cell.output)) === 'switched' ? `(load${at} & ~on${at})` : `load${at}`
  netOf(cell, 'clearing', `${loading} ? ${zero} : ${reset}`)
  netOf(cell, 'setting', `${loading} ? ${one} : ${preset}`)
  return { clear: `clearing${at}`, set: `setting${at}` }
}

/**
 * The holds as a register with a clock may wait for their edges. A net of several levels that change at the same time
 * may go up and down again in no time; the register would find it 0 and take its data. So it is passed on once all is
 * quiet:
 * after one nonblocking update it may still go up and down within the updates, after a second one it does not.
 */
function quietHolds(cell: Cell, register: Register, { clear, set }: Holds): Holds {
  const { name: at } = cell.output
  const single = !clear ? register.preset : !set ? register.reset : null
  if (single && pinAlone(cell.model, single) !== null) return { clear, set }
  const raw = [clear, set].filter((one) => one !== null)
  for (const one of raw) {
    cell.regs.push(`late_${one}`, `quiet_${one}`)
    cell.lines.push(
      `  always @(${one}) late_${one} <= ${one};`,
      `  always @(late_${one}) quiet_${one} <= late_${one};`,
    )
  }
  if (clear) netOf(cell, 'clear', `quiet_${clear}`)
  // Not both at once: the end of the one must be an edge of the other.
  if (set) netOf(cell, 'set', clear ? `quiet_${set} & ~clear${at}` : `quiet_${set}`)
  return { clear: clear && `clear${at}`, set: set && `set${at}` }
}

/** A register at its clock. */
function printClocked(cell: Cell, register: Register, raw: Holds): void {
  const { lines, output } = cell
  const { name: at } = output
  if (mayBe1(register.clockedPreset)) net(cell, 'presetting', register.clockedPreset)
  const data = mayBe1(register.clockedPreset) ? `presetting${at} | data${at}` : `data${at}`
  const clock = printClock(cell, register)
  if (clock.sampled) printSample(cell, { ...raw, data, clock: clock.name, start: register.powerUp })
  const { clear, set } = (raw.clear ?? raw.set) ? quietHolds(cell, register, raw) : raw
  const edges = [clock.name, clear, set].filter((one) => one !== null).map((one) => `posedge ${one}`)
  lines.push(
    `  always @(${edges.join(' or ')})`,
    ...statements(at, { clear, set, data: clock.sampled ? `before${at}` : data }),
  )
}

/**
 * The net of a clock, and whether what it samples can change with it, so that it must be kept as it was before the
 * edge.
 */
function printClock(cell: Cell, register: Register): { readonly name: string; readonly sampled: boolean } {
  const { model, output } = cell
  const pin = pinAlone(model, register.clock)
  if (pin !== null && !isComplement(register.clock))
    return { name: `p${pin}`, sampled: reachOf(model, sampledBy(output, register)).has(pin) }
  net(cell, 'clock', register.clock)
  return { name: `clock${output.name}`, sampled: true }
}

interface Sample extends Holds {
  readonly data: string
  readonly clock: string
  readonly start: 0 | 1 | null
}

/** What a register would take, kept one moment longer than its clock rises. */
function printSample(cell: Cell, { clear, set, data, clock, start }: Sample): void {
  const { name: at } = cell.output
  const taken = set ? `(${set} | ${data})` : clear && data.includes(' ') ? `(${data})` : data
  netOf(cell, 'next', clear ? `~${clear} & ${taken}` : taken)
  cell.regs.push(`before${at}`)
  if (start !== null)
    cell.lines.push(`  initial before${at} = 1'b${start}; // as Q, so that an edge at time 0 changes nothing`)
  cell.lines.push(`  always @(next${at} or ${clock}) before${at} <= next${at};`)
}

/** A register whose clock never rises keeps what it is set to. */
function printLatch({ output, lines }: Cell, { clear, set }: Holds): void {
  lines.push(
    '  // Its clock is constant.',
    `  always @(${[clear, set].filter((one) => one !== null).join(' or ')})`,
    ...statements(output.name, { clear, set, data: null }),
  )
}

function statements(at: string, { clear, set, data }: Holds & { readonly data: string | null }): string[] {
  const branches = [
    ...(clear ? [`if (${clear}) q${at} <= 1'b0;`] : []),
    ...(set ? [`if (${set}) q${at} <= 1'b1;`] : []),
    ...(data ? [`q${at} <= ${data};`] : []),
  ]
  return branches.map((branch, i) => `    ${i === 0 ? '' : 'else '}${branch}`)
}

/** The only literal of an expression, where it is one. */
function literalOf({ sums, inverted }: Expression): number | null {
  const literals = !inverted && sums.length === 1 && sums[0]!.length === 1 ? sums[0]![0]!.literals : []
  return literals.length === 1 ? literals[0]! : null
}

function isComplement(expression: Expression): boolean {
  return ((literalOf(expression) ?? 0) & 1) === 1
}

/** The pin that an expression is the level of, or its complement, with no output on the way; else null. */
function pinAlone({ logic, drives }: PinDrives, expression: Expression): number | null {
  const literal = literalOf(expression)
  const signal = literal === null ? null : logic.signals[literal >>> 1]!
  return signal?.kind === 'pin' && !drives.has(signal.pin) ? signal.pin : null
}

/** All that decides what a register takes at an edge. */
function sampledBy(
  { enable }: LogicCell,
  { data, reset, preset, clockedPreset, load }: Register,
): readonly Expression[] {
  return [data, reset, preset, clockedPreset, load, ...(mayBe1(load) ? [enable] : [])]
}
