/** Which setting of a cell of another part does what a cell of this part does. */
import { cubesOf, structuralConstant, type Logic, type LogicCell } from '../logic/logic'
import { blockOf, type CellSetting, type PlacedCell } from './device'
import { isPin, misfit, outputAt, type Misfit, type Task } from './fit-task'

/** A setting with the value of the fuse that selects it. */
export interface Choice {
  readonly setting: CellSetting
  readonly select: 0 | 1
}

interface CellPlace extends Task {
  readonly cell: PlacedCell
  readonly index: number
}

/** The setting of a target cell that does what the source's cell at that pin does. */
export function chooseSetting(place: CellPlace, misfits: Misfit[]): Choice {
  const { source, logic, used, target, mode, cell, index } = place
  const { pin } = cell
  const choices: readonly Choice[] = blockOf(target, 'cell-select')
    ? mode.settings.map((setting, select) => ({ setting, select: select as 0 | 1 }))
    : [{ setting: mode.settings[mode.cellSettings?.[index] ?? 0]!, select: 0 }]
  const idle =
    choices.find(({ setting }) => setting.output === 'none') ??
    choices.find(({ setting }) => setting.output === 'combinational' && hasEnableRow(setting))
  const at = source.cells.findIndex((each) => each.cell.pin === pin)
  const own = source.cells[at]?.setting
  const found =
    own &&
    own.output !== 'none' &&
    choices.find(
      ({ setting }) =>
        setting.output === own.output &&
        !(place.keepsEnables && hasEnableRow(own) && setting.enable === 'always') &&
        enableFits(logic, logic.cells[at]!, setting) &&
        clockFits(own, setting),
    )
  if (found) return found
  const inMode = mode.name ? ` in ${mode.name} mode` : ''
  if (own && used.has(pin))
    misfits.push(
      misfit(
        pin,
        reasonFor(place, own, choices),
        `no setting of the cell at pin ${pin}${inMode} does what this one does`,
      ),
    )
  else if (!idle)
    misfits.push(
      misfit(
        pin,
        'enable',
        `the cell at pin ${pin}${inMode} cannot be switched off, and this map has no output there`,
      ),
    )
  return idle ?? choices[0]!
}

/** What keeps every choice from doing what a setting does. */
function reasonFor({ logic, cell }: CellPlace, own: CellSetting, choices: readonly Choice[]): Misfit['reason'] {
  const output = outputAt(logic, cell.pin)
  if (!output) return 'undefined-cell'
  const alike = choices.filter(({ setting }) => setting.output === own.output)
  if (alike.length === 0) return own.output === 'registered' ? 'register' : 'no-output'
  return alike.some(({ setting }) => enableFits(logic, output, setting)) ? 'register' : 'enable'
}

function hasEnableRow({ enable }: CellSetting): boolean {
  return typeof enable === 'object' && enable.row !== undefined
}

/** Whether a setting can switch an output as its enable says: for good, by a row, by a pin held low, or by both. */
function enableFits({ signals }: Logic, { enable }: LogicCell, { enable: target }: CellSetting): boolean {
  const constant = structuralConstant(enable)
  if (target === 'always') return constant === 1
  if (target === 'never') return constant === 0
  const { row, lowPin } = target
  if (lowPin === undefined) return true
  if (row !== undefined && constant === 0) return true
  const literals = cubesOf(enable)[0]?.literals ?? []
  const byPin = literals.some((literal) => (literal & 1) === 1 && isPin(signals[literal >>> 1]!, lowPin))
  return byPin && (row !== undefined || literals.length === 1)
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
