/**
 * The map of one part that does what a map of another part does, by the data of both: rows keep their places, and the
 * target's mode is the least capable one whose cells and columns can do all that the source's can (as the emulation
 * tables of the
 * GAL16V8 data sheet, 16v8_04 p. 3, and the GAL20V8 data sheet, 20v8_04 p. 3, have it).
 */
import { createFuseMap, setFuse, type FuseMap } from '../fuses/fuse-map'
import { isContradiction, structuralConstant, type Cube, type Expression, type Signal } from '../logic/logic'
import type { Decoded, DecodedCell } from './decode'
import {
  arrayBlocks,
  blockOf,
  fuseOf,
  mapSizes,
  type BlockUse,
  type Cell,
  type CellSetting,
  type Device,
  type Mode,
} from './device'

/** Why a map does not fit. */
export interface Misfit {
  /** Output in question; null where it is the whole part. */
  readonly pin: number | null
  readonly reason:
    | 'packages'
    | 'no-output'
    | 'no-column'
    | 'terms'
    | 'enable'
    | 'polarity'
    | 'register'
    | 'reset'
    | 'exclusive-or'
    | 'undefined-cell'
    | 'not-decoded'
    | 'blank'
    | 'not-proved'
  /** In words. */
  readonly message: string
}

/** A fitted map with its mode, or why there is none. */
export type Fit = { readonly fuses: FuseMap; readonly mode: Mode } | { readonly misfits: readonly Misfit[] }

/** Fits the logic of a decoded map into another part of the same number of pins. */
export function fitMap(source: Decoded, target: Device): Fit {
  if (!source.logic || target.modes.length === 0)
    return {
      misfits: [
        misfit(null, 'not-decoded', `the fuses of ${source.logic ? `a ${target.part}` : 'this map'} are not decoded`),
      ],
    }
  if (source.device.pinCount !== target.pinCount)
    return {
      misfits: [
        misfit(
          null,
          'packages',
          `a ${source.device.part} has ${source.device.pinCount} pins, a ${target.part} has ${target.pinCount}`,
        ),
      ],
    }
  if (blockOf(target, 'or'))
    return {
      misfits: [
        misfit(null, 'terms', `the terms of a ${target.part} are shared by its outputs; maps for it are not made`),
      ],
    }
  let fewest: readonly Misfit[] | null = null
  // Data sheets list the modes from the most to the least capable; the least that can do everything is the prescribed
  // one.
  for (const mode of [...target.modes].reverse()) {
    const fit = fitMode(source, target, mode)
    if ('fuses' in fit) return fit
    if (fewest === null || fit.misfits.length < fewest.length) fewest = fit.misfits
  }
  return { misfits: fewest! }
}

function misfit(pin: number | null, reason: Misfit['reason'], message: string): Misfit {
  return { pin, reason, message }
}

interface Work {
  readonly source: Decoded
  readonly target: Device
  readonly mode: Mode
  /** Setting of each target cell. */
  readonly settings: ReadonlyMap<number, CellSetting>
  readonly fuses: FuseMap
  readonly misfits: Misfit[]
}

function fitMode(source: Decoded, target: Device, mode: Mode): Fit {
  const misfits: Misfit[] = []
  const chosen = target.cells.map((cell, index) => chooseSetting({ source, target, mode, cell, index }, misfits))
  const buried = [...source.cells.map(({ cell }) => cell), ...target.cells].some(({ pin }) => pin === null)
  if (buried) return { misfits: [misfit(null, 'no-output', 'a part has cells without pins, which are not moved')] }
  const outputs = source.cells.filter(isOutput)
  for (const { cell } of outputs)
    if (!target.cells.some(({ pin }) => pin === cell.pin))
      misfits.push(misfit(cell.pin, 'no-output', `pin ${cell.pin} is no output of a ${target.part}`))
  if (misfits.length > 0) return { misfits }
  const fuses = createFuseMap(sizeOf(target))
  const settings = new Map(target.cells.map(({ pin }, i) => [pin ?? 0, chosen[i]!.setting]))
  const work: Work = { source, target, mode, settings, fuses, misfits }
  writeBlock(work, 'mode-select', mode.select)
  writeBlock(
    work,
    'cell-select',
    chosen.map(({ select }) => select),
  )
  writeBlock(
    work,
    'polarity',
    target.cells.map(({ pin }, i) => polarityOf(work, pin ?? 0, chosen[i]!.setting)),
  )
  for (const cell of target.cells) writeCell(work, cell)
  writeShared(work)
  return misfits.length > 0 ? { misfits } : { fuses, mode }
}

/** The largest map without a power-down fuse, of which no value is published. */
function sizeOf(target: Device): number {
  const powerDown = blockOf(target, 'power-down')
  return powerDown ? powerDown.first : mapSizes(target).at(-1)!
}

const isOutput = ({ setting }: DecodedCell): boolean =>
  setting.output === 'combinational' || setting.output === 'registered'

interface Choice {
  readonly setting: CellSetting
  readonly select: 0 | 1
}

interface CellPlace {
  readonly source: Decoded
  readonly target: Device
  readonly mode: Mode
  readonly cell: Cell
  readonly index: number
}

/** The setting of a target cell that does what the source's cell at that pin does. */
function chooseSetting({ source, target, mode, cell, index }: CellPlace, misfits: Misfit[]): Choice {
  const { pin } = cell
  const own = source.cells.find((each) => each.cell.pin === pin)
  const choices: readonly Choice[] = blockOf(target, 'cell-select')
    ? mode.settings.map((setting, select) => ({ setting, select: select as 0 | 1 }))
    : [{ setting: mode.settings[mode.cellSettings?.[index] ?? 0]!, select: 0 }]
  const idle =
    choices.find(({ setting }) => setting.output === 'none') ??
    choices.find(({ setting }) => setting.output === 'combinational' && hasEnableRow(setting))
  const inMode = mode.name ? ` in ${mode.name} mode` : ''
  if (!own || own.setting.output === 'none') {
    if (!idle)
      misfits.push(
        misfit(
          pin,
          'enable',
          `the cell at pin ${pin}${inMode} cannot be switched off, and this map has no output there`,
        ),
      )
    return idle ?? choices[0]!
  }
  const found = choices.find(
    ({ setting }) =>
      setting.output === own.setting.output && enableFits(own.setting, setting) && clockFits(own.setting, setting),
  )
  if (found) return found
  misfits.push(
    misfit(
      pin,
      reasonFor(own.setting, choices),
      `no setting of the cell at pin ${pin}${inMode} does what this one does`,
    ),
  )
  return idle ?? choices[0]!
}

/** What keeps every choice from doing what a setting does. */
function reasonFor(own: CellSetting, choices: readonly Choice[]): Misfit['reason'] {
  if (own.output === 'undefined') return 'undefined-cell'
  const alike = choices.filter(({ setting }) => setting.output === own.output)
  if (alike.length === 0) return own.output === 'registered' ? 'register' : 'no-output'
  return alike.some(({ setting }) => enableFits(own, setting)) ? 'register' : 'enable'
}

function hasEnableRow({ enable }: CellSetting): boolean {
  return typeof enable === 'object' && enable.row !== undefined
}

function enableFits({ enable }: CellSetting, target: CellSetting): boolean {
  const hasRow =
    typeof target.enable === 'object' && target.enable.row !== undefined && target.enable.lowPin === undefined
  if (typeof enable === 'string') return enable === target.enable || hasRow
  if (hasRow) return true
  return (
    typeof target.enable === 'object' &&
    target.enable.lowPin === enable.lowPin &&
    (target.enable.row === undefined) === (enable.row === undefined)
  )
}

function clockFits(source: CellSetting, target: CellSetting): boolean {
  if (source.output !== 'registered') return true
  const pinOf = ({ clock }: CellSetting): number | null => (clock && 'pin' in clock ? clock.pin : null)
  const rowsOf = ({ clock, resetRow, presetRow, loadPin, bypass }: CellSetting): string =>
    JSON.stringify([
      clock && 'row' in clock,
      resetRow !== undefined,
      presetRow !== undefined,
      loadPin ?? null,
      bypass ?? false,
    ])
  return pinOf(source) === pinOf(target) && rowsOf(source) === rowsOf(target)
}

function writeBlock({ target, fuses }: Work, use: BlockUse, values: readonly (0 | 1)[]): void {
  const block = blockOf(target, use)
  if (block) values.forEach((value, i) => setFuse(fuses, fuseOf(block, i), value))
}

/** The polarity fuse that gives the pin the source's sense. */
function polarityOf({ source, misfits }: Work, pin: number, setting: CellSetting): 0 | 1 {
  const output = source.logic!.cells.find((each) => each.pin === pin)
  const own = source.cells.find(({ cell }) => cell.pin === pin)
  if (!output || !own || !isOutput(own)) return 0
  const { value, register } = output
  const after = setting.polarity === 'after'
  const turned = value
    ? value.inverted !== setting.inverting
    : after
      ? register!.inverted !== setting.inverting
      : register!.data.inverted
  const fits = value !== null || (after ? !register!.data.inverted : register!.inverted === setting.inverting)
  if (setting.polarity === 'none' && turned)
    misfits.push(misfit(pin, 'polarity', `the polarity of pin ${pin} cannot be set`))
  else if (!fits)
    misfits.push(
      misfit(
        pin,
        'reset',
        `the polarity of pin ${pin} acts on the other side of the register, which would start, reset and preset it at the other level`,
      ),
    )
  return turned ? 1 : 0
}

function writeCell(work: Work, cell: Cell): void {
  const { source, misfits } = work
  const index = source.cells.findIndex((each) => each.cell.pin === cell.pin)
  const own = source.cells[index]
  if (!own || !isOutput(own)) return
  const output = source.logic!.cells[index]!
  const setting = work.settings.get(cell.pin ?? 0)!
  const all = (output.value ?? output.register!.data).sums
  const sums =
    all.length <= setting.sums.length ? all : all.filter((terms) => terms.some((cube) => !isContradiction(cube)))
  if (sums.length > setting.sums.length) {
    misfits.push(
      misfit(
        cell.pin,
        'exclusive-or',
        `pin ${cell.pin} is an exclusive-or of ${sums.length} sums, which the target does not have`,
      ),
    )
    return
  }
  if (typeof setting.enable === 'object' && setting.enable.row !== undefined)
    writeRow(work, cell.firstRow + setting.enable.row, {
      cube: output.enable.sums[0]?.[0] ?? null,
      pin: cell.pin ?? 0,
    })
  sums.forEach((terms, i) => writeTerms(work, { cell, rows: setting.sums[i]!, terms }))
  const { register } = output
  if (!register) return
  const rows: [number | undefined, Expression][] = [
    [setting.clock && 'row' in setting.clock ? setting.clock.row : undefined, register.clock],
    [setting.resetRow, register.reset],
    [setting.presetRow, register.preset],
  ]
  for (const [row, { sums: own }] of rows)
    if (row !== undefined) writeRow(work, cell.firstRow + row, { cube: own[0]?.[0] ?? null, pin: cell.pin ?? 0 })
}

/** Terms keep their places; where the target has fewer rows, those that are constant 0 are left out. */
function writeTerms(
  work: Work,
  {
    cell,
    rows,
    terms,
  }: { readonly cell: Cell; readonly rows: CellSetting['sums'][number]; readonly terms: readonly Cube[] },
): void {
  const { from, count } = rows
  const room = Math.min(count, cell.rowCount - from)
  const kept = terms.length <= room ? terms : terms.filter((cube) => !isContradiction(cube))
  if (kept.length > room) {
    work.misfits.push(
      misfit(cell.pin, 'terms', `pin ${cell.pin} has ${kept.length} terms, the target has room for ${room}`),
    )
    return
  }
  kept.forEach((cube, i) => writeRow(work, cell.firstRow + from + i, { cube, pin: cell.pin ?? 0 }))
}

/**
 * Writes a term; null is constant 0, which is how all rows start, and how a row stays that had all its fuses
 * connected.
 */
function writeRow(
  work: Work,
  row: number,
  { cube, pin }: { readonly cube: Cube | null; readonly pin: number },
): void {
  const { target, fuses, source, mode } = work
  const disable = blockOf(target, 'term-disable')
  if (disable) setFuse(fuses, fuseOf(disable, row), 1)
  if (!cube || cube.literals.length >= source.device.array.columns) return
  const columns = cube.literals.map((literal) => columnFor(work, source.logic!.signals[literal >>> 1]!, literal & 1))
  const missing = columns.indexOf(null)
  if (missing >= 0) {
    if (isContradiction(cube)) return
    const from = pinOfSignal(source, source.logic!.signals[cube.literals[missing]! >>> 1]!)
    work.misfits.push(
      misfit(
        pin,
        'no-column',
        `a term of pin ${pin} uses what a ${source.device.part} reads at pin ${from}, and the array of a ${target.part}${mode.name ? ` in ${mode.name} mode` : ''} does not carry it`,
      ),
    )
    return
  }
  const { block, firstRow } = arrayBlocks(target)
    .filter((each) => each.firstRow <= row)
    .at(-1)!
  for (let column = 0; column < target.array.columns; column++)
    if (!columns.includes(column)) setFuse(fuses, fuseOf(block, (row - firstRow) * target.array.columns + column), 1)
}

/** Column of the target that carries a signal of the source, or its complement. */
function columnFor({ mode, settings, source, target }: Work, signal: Signal, complement: number): number | null {
  const pin = pinOfSignal(source, signal)
  const pair = mode.columns.indexOf(pin)
  if (pair < 0) return null
  const registered = settings.get(pin)?.output === 'registered' && mode.registerFeedback === 'inverted-register'
  if (registered !== (signal.kind === 'register')) return null
  const turned = signal.kind === 'register' && !signal.inverted
  return 2 * pair + (complement ^ (turned ? 1 : 0) ^ (target.array.complementFirst ? 1 : 0))
}

function pinOfSignal({ logic }: Decoded, signal: Signal): number {
  return signal.kind === 'pin' ? signal.pin : (logic?.cells[signal.cell]?.pin ?? 0)
}

/** Rows that act on all registers: copied where both parts have them. */
function writeShared(work: Work): void {
  const { source, target, misfits } = work
  const registers = source.logic!.cells.flatMap(({ register, pin }) =>
    register ? [{ register, pin: pin ?? 0 }] : [],
  )
  const [first] = registers
  if (!first) return
  const { reset, clockedPreset } = first.register
  if (target.sharedRows) {
    writeRow(work, target.sharedRows.reset, {
      cube: source.device.sharedRows ? (reset.sums[0]?.[0] ?? null) : null,
      pin: first.pin,
    })
    writeRow(work, target.sharedRows.clockedPreset, { cube: clockedPreset.sums[0]?.[0] ?? null, pin: first.pin })
  } else if (source.device.sharedRows && (structuralConstant(reset) !== 0 || structuralConstant(clockedPreset) !== 0))
    misfits.push(misfit(null, 'reset', 'the target has no common reset or preset'))
}
