/** Turns a fuse map into logic, by the data of a part. */
import { DEVICE_FINDINGS } from '../findings/device-findings'
import { collectFindings, type FindingCollector, type FindingList } from '../findings/finding'
import { fuseAt, type Bit, type FuseMap } from '../fuses/fuse-map'
import { ALWAYS, isContradiction, NEVER, usedSignals, expressionsOf, type Cube, type Expression, type Logic, type Output, type Signal } from '../logic/logic'
import { blockOf, type Cell, type CellSetting, type Device, type FuseBlock, type Mode } from './device'

export type DeviceCollector = FindingCollector<keyof typeof DEVICE_FINDINGS>

/** A row that its disable fuse takes out. `live` means that it would otherwise not be constant 0. */
export interface DisabledRow {
  readonly row: number
  readonly live: boolean
}

/** How a cell is set, with the fuses that say so. */
export interface DecodedCell {
  readonly cell: Cell
  readonly setting: CellSetting
  /** Value of the polarity fuse; null for a part without one. */
  readonly polarity: Bit | null
  /** Value of the select fuse; null for a part without one. */
  readonly select: Bit | null
}

/** A decoded map. */
export interface Decoded {
  readonly device: Device
  /** Null when the configuration fuses name no mode. */
  readonly mode: Mode | null
  /** Null without a mode. */
  readonly logic: Logic | null
  readonly cells: readonly DecodedCell[]
  readonly disabledRows: readonly DisabledRow[]
  /** Signature bytes in reading order; null for a part without a signature. */
  readonly signature: Uint8Array | null
  readonly findings: FindingList
}

/**
 * Decodes a fuse map.
 *
 * @throws RangeError when the map does not have the part's number of fuses: that is for the caller to sort out first
 */
export function decode(device: Device, fuses: FuseMap): Decoded {
  if (fuses.length !== device.fuseCount) throw new RangeError(`fuses must hold ${device.fuseCount} fuses for a ${device.part}, not ${fuses.length}`)
  const findings = collectFindings(DEVICE_FINDINGS, { limit: 100 })
  const signature = readSignature(device, fuses)
  const mode = findMode(device, fuses)
  if (!mode) {
    const block = blockOf(device, 'mode-select')!
    const values = Array.from({ length: block.count }, (_, i) => fuseAt(fuses, block.first + i))
    findings.add('device/no-mode', { fuse: block.first }, { fuses: block.name, values: values.join(','), part: device.part, source: device.sources[0]! })
    return { device, mode: null, logic: null, cells: [], disabledRows: [], signature, findings: findings.list() }
  }
  const cells = device.cells.map((cell, index): DecodedCell => {
    const select = cellFuse(blockOf(device, 'cell-select'), fuses, index)
    return { cell, select, polarity: cellFuse(blockOf(device, 'polarity'), fuses, index), setting: mode.settings[select ?? 0]! }
  })
  const rows = readRows(device, fuses)
  const logic = buildLogic({ device, mode, cells, rows })
  const disabledRows = rows.filter((row) => row.disabled).map(({ index, cube }) => ({ row: index, live: !isContradiction(cube) }))
  reportOddities({ device, mode, cells, logic, rows }, findings)
  return { device, mode, logic, cells, disabledRows, signature, findings: findings.list() }
}

function cellFuse(block: FuseBlock | null, fuses: FuseMap, index: number): Bit | null {
  return block && fuseAt(fuses, block.first + index)
}

function findMode(device: Device, fuses: FuseMap): Mode | null {
  const first = blockOf(device, 'mode-select')?.first ?? 0
  return device.modes.find((mode) => mode.select.every((value, i) => fuseAt(fuses, first + i) === value)) ?? null
}

function readSignature(device: Device, fuses: FuseMap): Uint8Array | null {
  const block = blockOf(device, 'signature')
  if (!block) return null
  const bytes = new Uint8Array(block.count / 8)
  for (let i = 0; i < block.count; i++) bytes[i >>> 3]! |= fuseAt(fuses, block.first + i) << (7 - (i & 7))
  return bytes
}

interface Row {
  readonly index: number
  /** The literals are over the mode's column pairs, which are the first signals of the logic. */
  readonly cube: Cube
  readonly disabled: boolean
}

/** All rows as cubes: a connected (0) fuse in an even column is the signal, in an odd one its complement. */
function readRows(device: Device, fuses: FuseMap): Row[] {
  const { rows, columns } = device.array
  const first = blockOf(device, 'array')!.first
  const disable = blockOf(device, 'term-disable')
  return Array.from({ length: rows }, (_, index) => {
    const literals: number[] = []
    for (let column = 0; column < columns; column++) if (fuseAt(fuses, first + index * columns + column) === 0) literals.push(column)
    return { index, cube: { literals, origin: index }, disabled: disable !== null && fuseAt(fuses, disable.first + index) === 0 }
  })
}

interface Parts {
  readonly device: Device
  readonly mode: Mode
  readonly cells: readonly DecodedCell[]
  readonly rows: readonly Row[]
}

function buildLogic({ device, mode, cells, rows }: Parts): Logic {
  const settingAt = new Map(cells.map(({ cell, setting }) => [cell.pin, setting]))
  const signals: Signal[] = mode.columns.map((pin) =>
    settingAt.get(pin)?.output === 'registered' && mode.registerFeedback === 'inverted-register'
      ? { kind: 'register', pin, inverted: true }
      : { kind: 'pin', pin },
  )
  const signalOf = (pin: number): number => {
    const known = signals.findIndex((signal) => signal.kind === 'pin' && signal.pin === pin)
    return known >= 0 ? known : signals.push({ kind: 'pin', pin }) - 1
  }
  const termsOf = (firstRow: number, count: number): Cube[] =>
    rows.slice(firstRow, firstRow + count).filter((row) => !row.disabled).map((row) => row.cube)
  const outputs = cells.map(({ cell, setting, polarity }): Output => {
    const sums = setting.sums.map(({ from, count }) => termsOf(cell.firstRow + from, count))
    const invertedSum = setting.polarity === 'before' && polarity === 1
    const register = setting.output === 'registered'
    const value: Expression = { sums, inverted: invertedSum !== setting.inverting }
    return {
      pin: cell.pin,
      defined: setting.output !== 'undefined',
      enable: enableOf(setting, { firstRow: termsOf(cell.firstRow, 1), signalOf }),
      value: register ? null : value,
      register: register
        ? {
            data: { sums, inverted: invertedSum },
            clock: { sums: [[{ literals: [2 * signalOf(setting.clockPin!)], origin: -1 }]], inverted: false },
            inverted: setting.inverting,
            powerUp: setting.powerUp ?? null,
          }
        : null,
    }
  })
  return { pinCount: device.pinCount, supplyPins: [device.groundPin, device.powerPin], signals, outputs }
}

function enableOf(setting: CellSetting, given: { readonly firstRow: readonly Cube[]; readonly signalOf: (pin: number) => number }): Expression {
  const { enable } = setting
  if (enable === 'always') return ALWAYS
  if (enable === 'never') return NEVER
  if (enable === 'first-row') return { sums: [given.firstRow], inverted: false }
  return { sums: [[{ literals: [2 * given.signalOf(enable.lowPin) + 1], origin: -1 }]], inverted: false }
}

/** Settings that a careful person would want to be told of. */
function reportOddities({ device, mode, cells, logic, rows }: Parts & { readonly logic: Logic }, findings: DeviceCollector): void {
  const source = device.sources[0]!
  const disable = blockOf(device, 'term-disable')
  const lost = rows.filter((row) => row.disabled && !isContradiction(row.cube))
  if (lost[0] && disable) {
    const { index } = lost[0]
    findings.add('device/disabled-term', { fuse: disable.first + index }, { count: lost.length, row: index, disable: disable.first + index, source })
  }
  const usedPins = new Set(usedSignals(logic.outputs.flatMap(expressionsOf)).map((signal) => logic.signals[signal]!.pin))
  for (const { cell, setting } of cells) {
    const { pin } = cell
    if (setting.output === 'none' && !mode.columns.includes(pin)) findings.add('device/dead-cell', { pin }, { pin, source })
    if (setting.output !== 'undefined') continue
    const own = rows.slice(cell.firstRow, cell.firstRow + cell.rowCount)
    const used = usedPins.has(pin) || own.some((row) => !row.disabled && !isContradiction(row.cube))
    findings.add(used ? 'device/undefined-cell' : 'device/unused-cell', { pin }, { pin, source })
  }
  const registered = logic.outputs.filter((output) => output.register && output.register.powerUp !== null)
  for (const level of [1, 0] as const) {
    const pins = registered.filter(({ register }) => (register!.inverted ? 1 - register!.powerUp! : register!.powerUp!) === level).map(({ pin }) => pin)
    if (pins.length > 0) findings.add('device/power-up', {}, { pins: pins.join(', '), level: level ? 'high' : 'low', source: device.sources[0]! })
  }
}
