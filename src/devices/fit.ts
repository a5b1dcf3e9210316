/**
 * The map of one part that does what a map of another part does, by the data of both: rows keep their places, and the
 * target's mode is the least capable one whose cells and columns can do all that the source's can (as the emulation
 * tables of the
 * GAL16V8 data sheet, 16v8_04 p. 3, and the GAL20V8 data sheet, 20v8_04 p. 3, have it).
 */
import { createFuseMap, setFuse, type FuseMap } from '../fuses/fuse-map'
import {
  expressionsOf,
  isContradiction,
  pinCells,
  structuralConstant,
  usedSignals,
  type Cube,
  type Logic,
  type LogicCell,
  type Signal,
} from '../logic/logic'
import { netlistOf } from '../logic/netlist'
import type { Decoded } from './decode'
import { chooseSetting } from './fit-cells'
import { isPin, misfit, outputAt, pinOfSignal, type FitOptions, type Misfit, type Task } from './fit-task'
import { planOutput, type TermPlan, type Planned } from './fit-terms'
import {
  arrayBlocks,
  blockOf,
  fuseOf,
  mapSizes,
  placedCells,
  type BlockUse,
  type CellSetting,
  type Device,
  type EnableRule,
  type Mode,
  type PlacedCell,
} from './device'
import { fuseOrders } from './fuse-orders'

/** A fitted map with its mode, or why there is none. */
export type Fit = { readonly fuses: FuseMap; readonly mode: Mode } | { readonly misfits: readonly Misfit[] }

/** Fits the logic of a decoded map into another part of the same number of pins. */
export function fitMap(source: Decoded, target: Device, options: FitOptions): Fit {
  const { logic } = source
  const obstacle = obstacleTo(source, target)
  if (!logic || obstacle) return { misfits: obstacle ? [obstacle] : [] }
  const used = usedCells(logic)
  let fewest: readonly Misfit[] = []
  // Data sheets list the modes from the most to the least capable; the least that can do everything is the prescribed
  // one. A mode without a row for the enable serves only where none with one does.
  for (const keepsEnables of [true, false])
    for (const mode of [...target.modes].reverse()) {
      const fit = fitMode({ source, logic, used, target, mode, keepsEnables, ...options })
      if ('fuses' in fit) return fit
      if (fewest.length === 0 || fit.misfits.length <= fewest.length) fewest = fit.misfits
    }
  return { misfits: fewest }
}

/** What keeps every map of the one part from the other; null where nothing does. */
function obstacleTo(source: Decoded, target: Device): Misfit | null {
  if (!source.logic)
    return undecoded(source.device) ?? misfit(null, 'not-decoded', 'its configuration fuses name no mode')
  if (target.modes.length === 0) return undecoded(target)
  if ([...source.device.cells, ...target.cells].some(({ pin }) => pin === null))
    return misfit(null, 'no-output', 'one of the parts has cells without pins, which are not moved')
  if (source.device.pinCount !== target.pinCount)
    return misfit(
      null,
      'packages',
      `a ${source.device.part} has ${source.device.pinCount} pins, a ${target.part} has ${target.pinCount}`,
    )
  if (blockOf(target, 'or'))
    return misfit(null, 'terms', `the terms of a ${target.part} are shared by its outputs; maps for it are not made`)
  return null
}

/** Why the fuses of a part have no meaning here; null where they have. */
function undecoded({ part, modes }: Device): Misfit | null {
  if (modes.length > 0) return null
  const orders = fuseOrders(part).map(({ name }) => name)
  return orders.length > 0
    ? misfit(
        null,
        'fuse-order',
        `no order of the fuses of a ${part} is established, and none was named; known ones are ${orders.join(', ')}`,
      )
    : misfit(null, 'not-decoded', `the fuses of a ${part} are not decoded`)
}

/**
 * Pins of the cells that do something: those that may drive, those of which it is not known, and those whose register
 * one of them reads.
 */
function usedCells(logic: Logic): ReadonlySet<number> {
  const { drives } = netlistOf(logic)
  const used = new Set<LogicCell>()
  let found: readonly LogicCell[] = logic.cells.filter((_, i) => drives[i] !== 'never')
  while (found.length > 0) {
    for (const cell of found) used.add(cell)
    const read = usedSignals(found.flatMap(expressionsOf)).map((index) => logic.signals[index]!)
    found = read.flatMap((signal) => {
      const cell = signal.kind === 'register' ? logic.cells[signal.cell] : undefined
      return cell && !used.has(cell) ? [cell] : []
    })
  }
  return new Set([...used].flatMap(({ pin }) => pin ?? []))
}

interface Work extends Task {
  /** Setting of each target cell. */
  readonly settings: ReadonlyMap<number, CellSetting>
  /** Terms and polarity of each target cell that takes an output. */
  readonly plans: ReadonlyMap<number, TermPlan>
  readonly fuses: FuseMap
  readonly misfits: Misfit[]
}

function fitMode(task: Task): Fit {
  const { logic, used, target, mode } = task
  const misfits: Misfit[] = []
  const cells = placedCells(target)
  const chosen = cells.map((cell, index) => chooseSetting({ ...task, cell, index }, misfits))
  for (const { pin, defined } of pinCells(logic))
    if (defined && used.has(pin) && !cells.some((cell) => cell.pin === pin))
      misfits.push(misfit(pin, 'no-output', `pin ${pin} is no output of a ${target.part}`))
  if (misfits.length > 0) return { misfits }
  const fuses = createFuseMap(sizeOf(target))
  const settings = new Map(cells.map(({ pin }, i) => [pin, chosen[i]!.setting]))
  const plans = planCells(task, settings, misfits)
  const work: Work = { ...task, settings, plans, fuses, misfits }
  writeBlock(work, 'mode-select', mode.select)
  writeBlock(
    work,
    'cell-select',
    chosen.map(({ select }) => select),
  )
  writeBlock(
    work,
    'polarity',
    cells.map(({ pin }) => plans.get(pin)?.turned ?? 0),
  )
  for (const cell of cells) writeCell(work, cell)
  writeShared(work)
  return misfits.length > 0 ? { misfits } : { fuses, mode }
}

/** Terms and polarity of each cell. What a cell that does nothing cannot keep is left out. */
function planCells(
  { logic, used, target, startOpen }: Task,
  settings: ReadonlyMap<number, CellSetting>,
  misfits: Misfit[],
): Map<number, TermPlan> {
  const plans = new Map<number, TermPlan>()
  for (const cell of placedCells(target)) {
    const output = outputAt(logic, cell.pin)
    const setting = settings.get(cell.pin)
    if (!output || !setting || (setting.output === 'registered') !== (output.register !== null)) continue
    const plan = planOutput({ output, cell, setting, startOpen })
    if ('sums' in plan) plans.set(cell.pin, plan)
    else if (used.has(cell.pin)) misfits.push(misfit(cell.pin, plan.reason, planWords(cell.pin, plan)))
  }
  return plans
}

function planWords(pin: number, plan: Exclude<Planned, TermPlan>): string {
  if (!('room' in plan))
    return plan.reason === 'polarity'
      ? `the polarity of pin ${pin} cannot be set`
      : `the polarity of pin ${pin} acts on the other side of the register, which would start, reset and preset it at the other level`
  const { needed, room, searched } = plan
  const terms = needed === null ? `more than ${searched} terms` : `${needed} terms`
  const whole = plan.reason === 'exclusive-or' ? `the exclusive-or at pin ${pin}, multiplied out,` : `pin ${pin}`
  return `${whole} takes ${terms} in the shortest form found, the target has room for ${room}`
}

/** The largest map without a power-down fuse, of which no value is published. */
function sizeOf(target: Device): number {
  const powerDown = blockOf(target, 'power-down')
  return powerDown ? powerDown.first : mapSizes(target).at(-1)!
}

function writeBlock({ target, fuses }: Work, use: BlockUse, values: readonly (0 | 1)[]): void {
  const block = blockOf(target, use)
  if (block) values.forEach((value, i) => setFuse(fuses, fuseOf(block, i), value))
}

function writeCell(work: Work, cell: PlacedCell): void {
  const { pin } = cell
  const output = outputAt(work.logic, pin)
  const plan = work.plans.get(pin)
  const setting = work.settings.get(pin)
  if (!output || !plan || !setting) return
  const write = (row: number | undefined, cube: Cube | null): void => {
    if (row !== undefined) writeRow(work, cell.firstRow + row, { cube, pin })
  }
  if (typeof setting.enable === 'object') write(setting.enable.row, enableTerm(work.logic, output, setting.enable))
  plan.sums.forEach((terms, i) => terms.forEach((cube, j) => write(setting.sums[i]!.from + j, cube)))
  const { register } = output
  if (!register) return
  const { clock, resetRow, presetRow } = setting
  write(clock && 'row' in clock ? clock.row : undefined, register.clock.sums[0]?.[0] ?? null)
  write(resetRow, register.reset.sums[0]?.[0] ?? null)
  write(presetRow, register.preset.sums[0]?.[0] ?? null)
}

/** The term of an enable row, without the pin that the cell itself takes into account. */
function enableTerm({ signals }: Logic, { enable }: LogicCell, { lowPin }: EnableRule): Cube | null {
  const cube = enable.sums[0]?.[0] ?? null
  if (!cube || lowPin === undefined) return cube
  return { ...cube, literals: cube.literals.filter((literal) => !isPin(signals[literal >>> 1]!, lowPin)) }
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
  const { target, fuses, source, logic, mode, used } = work
  const disable = blockOf(target, 'term-disable')
  if (disable) setFuse(fuses, fuseOf(disable, row), 1)
  if (!cube || cube.literals.length >= source.device.array.columns) return
  const columns = cube.literals.map((literal) => columnFor(work, logic.signals[literal >>> 1]!, literal & 1))
  const missing = columns.indexOf(null)
  if (missing >= 0) {
    if (isContradiction(cube) || !used.has(pin)) return
    const from = pinOfSignal(logic, logic.signals[cube.literals[missing]! >>> 1]!)
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
function columnFor(
  { logic, mode, settings, plans, target }: Work,
  signal: Signal,
  complement: number,
): number | null {
  const pin = pinOfSignal(logic, signal)
  const pair = mode.columns.indexOf(pin)
  if (pair < 0) return null
  const registered = settings.get(pin)?.output === 'registered' && mode.registerFeedback === 'inverted-register'
  if (registered !== (signal.kind === 'register')) return null
  const turned = signal.kind === 'register' && signal.inverted === (plans.get(pin)?.flipped ?? false)
  return 2 * pair + (complement ^ (turned ? 1 : 0) ^ (target.array.complementFirst ? 1 : 0))
}

/** Rows that act on all registers: copied where both parts have them. */
function writeShared(work: Work): void {
  const { source, logic, used, target, misfits } = work
  const registers = pinCells(logic).flatMap(({ register, pin }) =>
    register && used.has(pin) ? [{ register, pin }] : [],
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
