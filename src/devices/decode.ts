/** Turns a fuse map into logic, by the data of a part. */
import { madeBy } from '../arguments/arguments'
import { DECODING_FINDINGS } from '../findings/device-findings'
import { collectFindings, type FindingCollector, type FindingList } from '../findings/finding'
import { fuseAt, isConnected, type Bit, type FuseMap, checkedMap } from '../fuses/fuse-map'
import {
  ALWAYS,
  cubesOf,
  isBypassed,
  isContradiction,
  NEVER,
  pinCells,
  type Cube,
  type Expression,
  type Logic,
  type LogicCell,
  type Register,
  type Signal,
} from '../logic/logic'
import { netlistOf } from '../logic/netlist'
import {
  arrayFuses,
  blockOf,
  columnPins,
  fuseOf,
  keyOfCell,
  orTermCount,
  takesMap,
  type Cell,
  type CellSetting,
  type ColumnFeed,
  type Device,
  type FuseBlock,
  type Mode,
  checkedPart,
} from './device'
import { hasOpenOrder } from './open-orders'

export type DeviceCollector = FindingCollector<typeof DECODING_FINDINGS>

/** A row that its disable fuse takes out. `live` means that it would otherwise not be constant 0. */
export interface DisabledRow {
  /** Number of the row. */
  readonly row: number
  /** True where it could be 1 if it were not disabled. */
  readonly live: boolean
}

/** How a cell is set, with the fuses that say so. */
export interface DecodedCell {
  /** The cell of the device. */
  readonly cell: Cell
  /** What it does under its fuses. */
  readonly setting: CellSetting
  /** Value of the polarity fuse; null for a part without one. */
  readonly polarity: Bit | null
  /** Value of the select fuse; null for a part without one. */
  readonly select: Bit | null
}

/** A decoded map. */
export interface Decoded {
  /** The part as which the map was decoded. */
  readonly device: Device
  /** Fuses of the decoded map; a part may take several counts. */
  readonly fuseCount: number
  /** Null when the configuration fuses name no mode, or the part is not decoded. */
  readonly mode: Mode | null
  /** Null without a mode. */
  readonly logic: Logic | null
  /** How each cell is set, in the order of the device. */
  readonly cells: readonly DecodedCell[]
  /** Rows that their disable fuses take out. */
  readonly disabledRows: readonly DisabledRow[]
  /** Signature bytes in reading order; null for a part without a signature. */
  readonly signature: Uint8Array | null
  /** What decoding found. */
  readonly findings: FindingList
}

const DECODED = { keys: ['device', 'fuseCount', 'logic', 'cells', 'findings'], maker: 'what decode returned' }

/** What `decode` returned; throws TypeError for anything else. */
export function checkedDecoded(decoded: Decoded, path: string): Decoded {
  return madeBy(decoded, path, DECODED)
}

/**
 * Decodes a fuse map.
 *
 * @param device data of the part
 * @param fuses a map of as many fuses as the part has
 * @returns mode, settings and logic, with findings; `logic` is null where the fuses name no mode
 * @throws RangeError when the map does not have the part's number of fuses: that is for the caller to sort out first
 * @example decode(listDevices()[0]!, file.fuses!).mode?.name // 'registered'
 */
export function decode(device: Device, fuses: FuseMap): Decoded {
  checkedPart(device, 'device')
  if (!takesMap(device, checkedMap(fuses, 'fuses').length))
    throw new RangeError(`fuses must hold ${device.fuseCount} fuses for a ${device.part}, not ${fuses.length}`)
  const findings = collectFindings(DECODING_FINDINGS, { limit: 100 })
  if (device.modes.length === 0) {
    findings.add(
      'device/undecoded',
      {},
      { part: device.part, shown: howShown(device), source: device.sources.join('; ') },
    )
    return {
      device,
      fuseCount: fuses.length,
      mode: null,
      logic: null,
      cells: [],
      disabledRows: [],
      signature: null,
      findings: findings.list(),
    }
  }
  reportBasis(device, fuses, findings)
  reportPowerDown(device, fuses, findings)
  const signature = readSignature(device, fuses)
  const mode = findMode(device, fuses)
  if (!mode) {
    const block = blockOf(device, 'mode-select')!
    const values = Array.from({ length: block.count }, (_, i) => fuseAt(fuses, fuseOf(block, i)))
    findings.add(
      'device/no-mode',
      { fuse: block.first },
      { fuses: block.names ?? [block.name], values, part: device.part, source: device.sources[0]! },
    )
    return {
      device,
      fuseCount: fuses.length,
      mode: null,
      logic: null,
      cells: [],
      disabledRows: [],
      signature,
      findings: findings.list(),
    }
  }
  const cells = device.cells.map((cell, index): DecodedCell => {
    const select = cellFuse(blockOf(device, 'cell-select'), fuses, index)
    return {
      cell,
      select,
      polarity: cellFuse(blockOf(device, 'polarity'), fuses, index),
      setting: mode.settings[select ?? mode.cellSettings?.[index] ?? 0]!,
    }
  })
  const rows = readRows(device, fuses)
  const logic = buildLogic({ device, mode, cells, rows, orTerms: readOrTerms(device, fuses, rows) })
  const disabledRows = rows
    .filter((row) => row.disabled)
    .map(({ index, cube }) => ({ row: index, live: !isContradiction(cube) }))
  reportOddities({ device, mode, cells, logic, rows }, findings)
  return { device, fuseCount: fuses.length, mode, logic, cells, disabledRows, signature, findings: findings.list() }
}

function reportPowerDown(device: Device, fuses: FuseMap, findings: DeviceCollector): void {
  const block = blockOf(device, 'power-down', fuses.length)
  if (!block || device.powerDownPin === undefined) return
  const fuse = block.first
  findings.add(
    'device/power-down',
    { fuse },
    {
      fuse,
      state: fuseAt(fuses, fuse),
      pin: device.powerDownPin,
      part: device.part,
      source: device.sources.join('; '),
    },
  )
}

/** What can be done about a part that is not decoded. */
function howShown({ part }: Device): 'in-named-order' | 'never' {
  return hasOpenOrder(part) ? 'in-named-order' : 'never'
}

/** How far the data itself can be trusted: a wrong map gives plausible wrong logic. */
function reportBasis(device: Device, fuses: FuseMap, findings: DeviceCollector): void {
  const { part, sources } = device
  const basis = fuses.length < device.fuseCount ? (device.shorterBasis ?? device.basis) : device.basis
  const source = sources.join('; ')
  if (device.fuseOrder !== undefined)
    findings.add('device/unconfirmed-order', {}, { part, order: device.fuseOrder, source })
  if (basis === 'memory')
    findings.add('device/unconfirmed-map', {}, { part, source, basis })
  if (basis === 'unconfirmed' && device.fuseOrder === undefined)
    findings.add('device/unconfirmed-map', {}, { part, source, basis })
  if (basis === 'inferred') findings.add('device/inferred-map', {}, { part, source })
}

function cellFuse(block: FuseBlock | null, fuses: FuseMap, index: number): Bit | null {
  return block && fuseAt(fuses, fuseOf(block, index))
}

function findMode(device: Device, fuses: FuseMap): Mode | null {
  const block = blockOf(device, 'mode-select')
  return device.modes.find((mode) => mode.select.every((value, i) => cellFuse(block, fuses, i) === value)) ?? null
}

function readSignature(device: Device, fuses: FuseMap): Uint8Array | null {
  const block = blockOf(device, 'signature', fuses.length)
  if (!block) return null
  const bytes = new Uint8Array(block.count / 8)
  for (let i = 0; i < block.count; i++) bytes[i >>> 3]! |= fuseAt(fuses, fuseOf(block, i)) << (7 - (i & 7))
  return bytes
}

interface Row {
  readonly index: number
  /** The literals are over the mode's column pairs, which are the first signals of the logic. */
  readonly cube: Cube
  readonly disabled: boolean
}

/** All rows as cubes: a connected (0) fuse puts the signal of its column, or its complement, into the term. */
function readRows(device: Device, fuses: FuseMap): Row[] {
  const { columns, complementFirst } = device.array
  const flip = complementFirst ? 1 : 0
  const disable = blockOf(device, 'term-disable')
  const numbers = arrayFuses(device)
  const rows: Row[] = []
  for (let index = 0; index * columns < numbers.length; index++) {
    const literals: number[] = []
    for (let literal = 0; literal < columns; literal++)
      if (isConnected(fuses, numbers[index * columns + (literal ^ flip)]!)) literals.push(literal)
    rows.push({ index, cube: { literals, origin: index }, disabled: cellFuse(disable, fuses, index) === 0 })
  }
  return rows
}

/** The terms that the OR array lets into the sum of each cell; none for a part without an OR array. */
function readOrTerms(device: Device, fuses: FuseMap, rows: readonly Row[]): readonly (readonly Cube[])[] {
  const block = blockOf(device, 'or')
  const terms = rows.slice(0, orTermCount(device)).filter(({ disabled }) => !disabled)
  const { length } = device.cells
  return device.cells.map((_, cell) =>
    terms.filter(({ index }) => cellFuse(block, fuses, index * length + cell) === 0).map(({ cube }) => cube),
  )
}

interface Parts {
  readonly device: Device
  readonly mode: Mode
  readonly cells: readonly DecodedCell[]
  readonly rows: readonly Row[]
}

function buildLogic({
  device,
  mode,
  cells,
  rows,
  orTerms,
}: Parts & { readonly orTerms: readonly (readonly Cube[])[] }): Logic {
  const signals: Signal[] = mode.columns.map((feed) => columnSignal(feed, mode, cells))
  const signalOf = (pin: number): number => {
    const known = signals.findIndex((signal) => signal.kind === 'pin' && signal.pin === pin)
    return known >= 0 ? known : signals.push({ kind: 'pin', pin }) - 1
  }
  const termsOf = (firstRow: number, count: number): Cube[] =>
    rows
      .slice(firstRow, firstRow + count)
      .filter((row) => !row.disabled)
      .map((row) => row.cube)
  const sharedRow = (row: number): Expression => ({ sums: [termsOf(row, 1)], inverted: false })
  const logicCells = cells.map(({ cell, setting, polarity }, index): LogicCell => {
    const rowOf = (row: number): Expression => ({ sums: [termsOf(cell.firstRow + row, 1)], inverted: false })
    const sums = setting.orArray
      ? [orTerms[index]!]
      : setting.sums.map(({ from, count }) => termsOf(cell.firstRow + from, Math.min(count, cell.rowCount - from)))
    const turned = setting.polarity !== 'none' && polarity === 1
    return {
      pin: cell.pin,
      name: String(keyOfCell(cell)),
      defined: setting.output !== 'undefined',
      enable: enableOf(setting, { rowOf, signalOf }),
      value: setting.output === 'registered' ? null : { sums, inverted: turned !== setting.inverting },
      register:
        setting.output === 'registered'
          ? buildRegister(setting, { sums, turned, rowOf, signalOf, sharedRow, device })
          : null,
    }
  })
  return { pinCount: device.pinCount, supplyPins: [device.groundPin, device.powerPin], signals, cells: logicCells }
}

/** The signal of a column pair: what is read at a pin, or the state of a register. */
function columnSignal(feed: ColumnFeed, mode: Mode, cells: readonly DecodedCell[]): Signal {
  const key = typeof feed === 'number' ? feed : feed.cell
  const cell = cells.findIndex((each) => keyOfCell(each.cell) === key)
  if (typeof feed !== 'number') return { kind: 'register', cell, inverted: feed.tap === 'not-q' }
  const registered = cells[cell]?.setting.output === 'registered'
  return registered && mode.registerFeedback === 'inverted-register'
    ? { kind: 'register', cell, inverted: true }
    : { kind: 'pin', pin: feed }
}

interface Wiring {
  /** Expression of a row, counted from the cell's first. */
  readonly rowOf: (row: number) => Expression
  /** Index of the signal of a pin. */
  readonly signalOf: (pin: number) => number
}

function enableOf(setting: CellSetting, { rowOf, signalOf }: Wiring): Expression {
  const { enable } = setting
  if (enable === 'always') return ALWAYS
  if (enable === 'never') return NEVER
  const terms: readonly Cube[] = enable.row === undefined ? cubesOf(ALWAYS) : cubesOf(rowOf(enable.row))
  if (enable.lowPin === undefined) return { sums: [terms], inverted: false }
  const low = 2 * signalOf(enable.lowPin) + 1
  return { sums: [terms.map(({ literals, origin }) => ({ literals: [...literals, low], origin }))], inverted: false }
}

interface RegisterParts extends Wiring {
  readonly sums: readonly (readonly Cube[])[]
  readonly turned: boolean
  /** Expression of a row of the whole array. */
  readonly sharedRow: (row: number) => Expression
  readonly device: Device
}

function buildRegister(setting: CellSetting, parts: RegisterParts): Register {
  const { rowOf, signalOf, sharedRow, turned } = parts
  const shared = parts.device.sharedRows
  const levelOf = (pin: number, complement: 0 | 1): Expression => ({
    sums: [[{ literals: [2 * signalOf(pin) + complement], origin: -1 }]],
    inverted: false,
  })
  const clock = setting.clock!
  return {
    data: { sums: parts.sums, inverted: turned && setting.polarity === 'before' },
    clock: 'pin' in clock ? levelOf(clock.pin, 0) : rowOf(clock.row),
    reset: setting.resetRow !== undefined ? rowOf(setting.resetRow) : shared ? sharedRow(shared.reset) : NEVER,
    preset: setting.presetRow !== undefined ? rowOf(setting.presetRow) : NEVER,
    clockedPreset: shared ? sharedRow(shared.clockedPreset) : NEVER,
    load: setting.loadPin !== undefined ? levelOf(setting.loadPin, 1) : NEVER,
    bypass: setting.bypass ?? false,
    inverted: setting.inverting !== (turned && setting.polarity === 'after'),
    powerUp: setting.powerUp ?? null,
  }
}

/** Settings that a careful person would want to be told of. */
function reportOddities(
  { device, mode, cells, logic, rows }: Parts & { readonly logic: Logic },
  findings: DeviceCollector,
): void {
  const source = device.sources[0]!
  const disable = blockOf(device, 'term-disable')
  const idle = (row: Row): boolean =>
    cells.some(
      ({ cell, setting }) =>
        setting.output === 'none' && row.index >= cell.firstRow && row.index < cell.firstRow + cell.rowCount,
    )
  const lost = rows.filter((row) => row.disabled && !isContradiction(row.cube) && !idle(row))
  if (lost[0] && disable) {
    const { index } = lost[0]
    const fuse = fuseOf(disable, index)
    findings.add('device/disabled-term', { fuse }, { count: lost.length, row: index, disable: fuse, source })
  }
  const { readPins } = netlistOf(logic)
  for (const { cell, setting } of cells) {
    const { pin } = cell
    if (pin === null) continue
    if (setting.output === 'none' && !columnPins(mode).includes(pin))
      findings.add('device/dead-cell', { pin }, { pin, source })
    if (setting.output !== 'undefined') continue
    const own = rows.slice(cell.firstRow, cell.firstRow + cell.rowCount)
    const used = readPins.has(pin) || own.some((row) => !row.disabled && !isContradiction(row.cube))
    findings.add(used ? 'device/undefined-cell' : 'device/unused-cell', { pin }, { pin, source })
  }
  const starts = pinCells(logic).flatMap((cell): { readonly pin: number; readonly level: 0 | 1 }[] => {
    const powerUp = cell.register?.powerUp ?? null
    if (powerUp === null || isBypassed(cell)) return []
    return [{ pin: cell.pin, level: cell.register?.inverted ? ((1 - powerUp) as 0 | 1) : powerUp }]
  })
  for (const level of [1, 0] as const) {
    const pins = starts.flatMap((start) => (start.level === level ? [start.pin] : []))
    if (pins.length > 0) findings.add('device/power-up', {}, { pins, level, source })
  }
}
