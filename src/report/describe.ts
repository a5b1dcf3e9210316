/** A decoded part in words and equations, as plain data: what `show` prints. */
import { refusedFor, type Refused } from '../findings/refused'
import { netlistOf } from '../logic/netlist'
import { analyse, type Analysis } from '../analyses/analyse'
import {
  expressionsOf,
  isBypassed,
  structuralConstant,
  usedSignals,
  type Expression,
  type Logic,
  type LogicCell,
} from '../logic/logic'
import { expressionText } from '../logic/notation'
import { checkedDecoded, type Decoded } from '../devices/decode'
import { blockOf, keyOfCell } from '../devices/device'

/** What a pin is used for. */
export interface PinRole {
  /** Number on the DIP package. */
  readonly pin: number
  /** In words, such as `input`, `registered output`, `not used`. */
  readonly role: string
  /** True where the level applied to the pin decides about something: it must not be left open. */
  readonly mustNotFloat: boolean
}

/** The equations of one output, in the signs of ISO 80000-2. */
export interface Equations {
  /** 0 for a buried cell. */
  readonly pin: number
  /** Name of a buried cell. */
  readonly cell?: string
  /** Level at the pin while it is enabled, or null for a cell that no data sheet defines. */
  readonly value: string | null
  /** When the output drives; `1` always, `0` never. */
  readonly enable: string
  /** Next state of the register at each rising edge of `clock`; null without a register. */
  readonly next: string | null
  /** The register takes `next` as this rises; null without a register. */
  readonly clock: string | null
  /**
   * While this is 1 the register is held at 0 (`reset`), held at 1 (`preset`), set to 1 by the clock
   * (`clockedPreset`), or
   * takes the level of its disabled pin (`load`); null where it never is.
   */
  readonly reset: string | null
  /** While it is 1 the register is held at 1; null where it never is. */
  readonly preset: string | null
  /** Where it is 1 at an edge, the register is set to 1; null where it never is. */
  readonly clockedPreset: string | null
  /** While it is 1 the register takes the level of its disabled pin; null where it never is. */
  readonly load: string | null
  /** True where reset and preset together let the data past the register. */
  readonly bypass: boolean
}

/** A decoded part as a person wants it: pins, equations, configuration. */
export interface Description {
  /** The part. */
  readonly part: string
  /** Its mode; null for a part with one. */
  readonly mode: string | null
  /** Every pin with its use, in order. */
  readonly pins: readonly PinRole[]
  /** The equations of every output and buried cell. */
  readonly equations: readonly Equations[]
  /** Configuration fuses in words, outermost first. */
  readonly configuration: readonly string[]
  /** Facts computed from the logic; null where its functions are too large. */
  readonly analysis: Analysis | null
}

/**
 * Describes a decoded part; refused where its fuses name no mode.
 *
 * @param decoded what `decode` gave
 * @returns pins, equations and configuration; refused where the fuses name no mode
 * @throws TypeError for another kind of part
 * @example const told = describe(decoded); 'refused' in told ? told.reason : told.equations.length // 5
 */
export function describe(decoded: Decoded): Description | Refused<'no-logic'> {
  const { device, mode, logic } = checkedDecoded(decoded, 'decoded')
  if (!mode || !logic) return refusedFor('no-logic')
  const facts = analyse(logic)
  const analysis = 'refused' in facts ? null : facts
  const { drives } = netlistOf(logic)
  const read = new Set(
    usedSignals(logic.cells.flatMap(expressionsOf)).flatMap((index) => {
      const signal = logic.signals[index]!
      return signal.kind === 'register' ? [signal.cell] : []
    }),
  )
  return {
    part: device.part,
    mode: mode.name,
    pins: pinRoles(decoded, logic, analysis),
    equations: logic.cells
      .filter((_, i) => drives[i] !== 'never' || read.has(i))
      .map((output) => equationsOf(logic, output)),
    configuration: configurationOf(decoded),
    analysis,
  }
}

function equationsOf(logic: Logic, output: LogicCell): Equations {
  const { pin, name, defined } = output
  const register = isBypassed(output) ? null : output.register
  const text = (expression: Expression): string => expressionText(logic, expression)
  const unlessNever = (expression: Expression | undefined): string | null =>
    !expression || structuralConstant(expression) === 0 ? null : text(expression)
  return {
    ...(pin === null ? { pin: 0, cell: name } : { pin }),
    value: !defined ? null : register ? `${register.inverted ? '¬' : ''}q${name}` : text(valueOf(output)),
    enable: text(output.enable),
    next: register && text(register.data),
    clock: register && text(register.clock),
    reset: unlessNever(register?.reset),
    preset: unlessNever(register?.preset),
    clockedPreset: unlessNever(register?.clockedPreset),
    load: unlessNever(register?.load),
    bypass: register?.bypass ?? false,
  }
}

/** The level at the pin of an output without a register, or whose register is always bypassed. */
function valueOf({ value, register }: LogicCell): Expression {
  return value ?? { ...register!.data, inverted: register!.data.inverted !== register!.inverted }
}

function pinRoles({ device }: Decoded, logic: Logic, analysis: Analysis | null): PinRole[] {
  const { cellAt, readPins: used, registered, clockPins } = netlistOf(logic)
  const clocks = new Set(clockPins.flatMap((pins, cell) => (registered[cell] ? pins : [])))
  const roleOf = (pin: number): string => {
    const output = logic.cells[cellAt.get(pin) ?? -1]
    if (pin === device.groundPin) return 'ground'
    if (pin === device.powerPin) return 'supply'
    if (output && !output.defined) return 'not defined by the data sheet'
    if (output && structuralConstant(output.enable) !== 0) return outputRole(logic, output, used.has(pin))
    return clocks.has(pin) ? 'clock input' : used.has(pin) ? 'input' : 'not used'
  }
  // Where nothing could be computed, every pin that terms name counts.
  const deciding = new Set(analysis ? analysis.decidingPins : used)
  return Array.from({ length: device.pinCount }, (_, i) => ({
    pin: i + 1,
    role: roleOf(i + 1),
    mustNotFloat: deciding.has(i + 1),
  }))
}

function outputRole(logic: Logic, output: LogicCell, fedBack: boolean): string {
  const kind = output.register && !isBypassed(output) ? 'registered output' : 'output'
  const enable = structuralConstant(output.enable) === 1 ? '' : `, on while ${expressionText(logic, output.enable)}`
  return kind + enable + (fedBack && !output.register ? ', read back' : '')
}

function configurationOf({ device, mode, cells, disabledRows }: Decoded): string[] {
  const words: string[] =
    device.fuseOrder === undefined ? [] : [`fuses in the order ${device.fuseOrder}, which is not confirmed`]
  const select = blockOf(device, 'mode-select')
  if (select && mode)
    words.push(
      mode.select.map((value, i) => `${select.names?.[i] ?? select.name} ${value}`).join(', ') +
        ` (${mode.name} mode)`,
    )
  const perCell = (title: string | undefined, value: (cell: (typeof cells)[number]) => number | null): void => {
    if (title)
      words.push(
        `${title} ${cells.map(value).join('')} for pins ${cells.map(({ cell }) => keyOfCell(cell)).join(', ')}`,
      )
  }
  perCell(blockOf(device, 'cell-select')?.name, ({ select: value }) => value)
  perCell(blockOf(device, 'polarity')?.name, ({ polarity }) => polarity)
  if (blockOf(device, 'term-disable'))
    words.push(
      `${blockOf(device, 'term-disable')!.name} takes ${disabledRows.length} of ${device.array.rows} rows out`,
    )
  return words
}
