/** Rules of a document for pins, modes and the settings of cells. */
import { keyOfCell, type Cell, type CellSetting, type ColumnFeed, type Device, type Mode } from './device'
import { pinProblem, type Complain, type Rule } from './document-rules'

const PACKAGE = ['pinCount', 'groundPin', 'powerPin'] as const

/** Rules for the modes, their settings, and what these do with the cells. */
export function modeRules(): readonly Rule[] {
  return [
    { needs: ['modes', 'blocks'], check: checkSelects },
    { needs: [...PACKAGE, 'modes', 'array'], check: checkColumns },
    {
      needs: [...PACKAGE, 'modes'],
      check: (device, complain) =>
        eachSetting(device, (setting, path) => checkPins(device, setting, { path, complain })),
    },
    {
      needs: ['modes', 'blocks'],
      check: (device, complain) =>
        eachSetting(device, (setting, path) => checkSetting(device, setting, { path, complain })),
    },
    { needs: ['modes', 'blocks', 'cells'], check: checkChoices },
    { needs: [...PACKAGE, 'cells'], check: checkCellPins },
    { needs: ['modes', 'blocks', 'cells'], check: checkRowUses },
  ]
}

function eachSetting({ modes }: Device, visit: (setting: CellSetting, path: string) => void): void {
  for (const [m, { settings }] of modes.entries())
    for (const [s, setting] of settings.entries()) visit(setting, `modes[${m}].settings[${s}]`)
}

function has({ blocks }: Device, wanted: string): boolean {
  return blocks.some(({ use }) => use === wanted)
}

/** Modes differ in their fuses and in their names. */
function checkSelects(device: Device, complain: Complain): void {
  const { modes } = device
  const selects = modes.map(({ select }) => select.join(''))
  const length = device.blocks.find(({ use }) => use === 'mode-select')?.count ?? 0
  for (const [m, { select, name }] of modes.entries()) {
    if (select.length !== length)
      complain(`modes[${m}].select`, `has ${select.length} values for ${length} mode-select fuses`)
    if (selects.indexOf(selects[m]!) < m)
      complain(`modes[${m}].select`, `is that of modes[${selects.indexOf(selects[m]!)}] too`)
    if (modes.length > 1 && name === null) complain(`modes[${m}].name`, 'is needed where there are several modes')
    else if (modes.findIndex((mode) => mode.name === name) < m) complain(`modes[${m}].name`, 'is taken already')
  }
}

function checkColumns(device: Device, complain: Complain): void {
  for (const [m, { columns }] of device.modes.entries()) {
    const path = `modes[${m}].columns`
    if (2 * columns.length !== device.array.columns)
      complain(path, `names ${columns.length} pins for ${device.array.columns} columns, which are pairs`)
    for (const [c, feed] of columns.entries()) {
      const problem = typeof feed === 'number' ? pinFeedProblem(device, columns, c) : tapProblem(device, feed)
      if (problem) complain(`${path}[${c}]`, problem)
    }
  }
}

function pinFeedProblem(device: Device, columns: Mode['columns'], at: number): string | null {
  const pin = columns[at] as number
  return pinProblem(device, pin) ?? (columns.indexOf(pin) < at ? `pin ${pin} has a column pair already` : null)
}

/** A column can carry the register of any cell that has one in some setting. */
function tapProblem({ cells }: Device, { cell }: Exclude<ColumnFeed, number>): string | null {
  return cells.some((each) => keyOfCell(each) === cell) ? null : `no cell has the pin or name ${cell}`
}

function checkCellPins(device: Device, complain: Complain): void {
  const { cells } = device
  for (const [c, cell] of cells.entries()) {
    const first = cells.findIndex((other) => keyOfCell(other) === keyOfCell(cell))
    const key = cell.pin === null ? 'name' : 'pin'
    const problem =
      (cell.pin === null ? nameProblem(cell) : pinProblem(device, cell.pin)) ?? takenProblem(cell, first < c)
    if (problem) complain(`cells[${c}].${key}`, problem)
    if (cell.pin !== null && cell.name !== undefined)
      complain(`cells[${c}].name`, 'has no meaning for a cell with a pin')
    if (cell.pin === null) checkBuried(device, c, complain)
  }
}

function nameProblem({ name }: Cell): string | null {
  if (name === undefined) return 'is missing; a cell without a pin has a name'
  return /^[A-Za-z]\w{0,15}$/.test(name) ? null : 'must be a letter and up to 15 letters or digits'
}

function takenProblem({ pin, name }: Cell, taken: boolean): string | null {
  if (!taken) return null
  return pin === null ? `the name ${name} is taken already` : `pin ${pin} has a cell already`
}

/** A cell without a pin holds a register and drives nothing, in every mode. */
function checkBuried({ modes, blocks }: Device, index: number, complain: Complain): void {
  const selected = blocks.some(({ use }) => use === 'cell-select')
  for (const [m, { settings, cellSettings }] of modes.entries())
    for (const [s, { output, enable, loadPin }] of settings.entries()) {
      if (!selected && s !== (cellSettings?.[index] ?? 0)) continue
      const path = `modes[${m}].settings[${s}]`
      if (output !== 'registered') complain(`${path}.output`, 'must be registered for a cell without a pin')
      if (enable !== 'never') complain(`${path}.enable`, 'must be never for a cell without a pin')
      if (loadPin !== undefined) complain(`${path}.loadPin`, 'has no meaning for a cell without a pin')
    }
}

interface Where {
  readonly path: string
  readonly complain: Complain
}

/** Pins that a setting names. */
function checkPins(device: Device, { enable, clock, loadPin }: CellSetting, { path, complain }: Where): void {
  const named = [
    ['enable.lowPin', typeof enable === 'object' ? enable.lowPin : undefined],
    ['clock.pin', clock && 'pin' in clock ? clock.pin : undefined],
    ['loadPin', loadPin],
  ] as const
  for (const [key, pin] of named) {
    const problem = pin === undefined ? null : pinProblem(device, pin)
    if (problem) complain(`${path}.${key}`, problem)
  }
}

/** Keys that only a register has a use for. */
const REGISTER_KEYS = ['clock', 'resetRow', 'presetRow', 'bypass', 'loadPin', 'powerUp'] as const

function checkSetting(device: Device, setting: CellSetting, { path, complain }: Where): void {
  const { output, enable, sums, orArray, polarity, clock, resetRow, presetRow, bypass } = setting
  const drives = output === 'combinational' || output === 'registered'
  if (output === 'registered' && !clock) complain(`${path}.clock`, 'is missing; a registered output has one')
  if (clock && 'pin' in clock === 'row' in clock) complain(`${path}.clock`, 'names either a pin or a row')
  if (output !== 'registered')
    for (const key of REGISTER_KEYS)
      if (setting[key] !== undefined) complain(`${path}.${key}`, `has no meaning for an output that is ${output}`)
  if (bypass && (resetRow === undefined || presetRow === undefined))
    complain(`${path}.bypass`, 'needs resetRow and presetRow')
  if (typeof enable === 'object' && enable.row === undefined && enable.lowPin === undefined)
    complain(`${path}.enable`, 'names neither a row nor a lowPin')
  if (!drives && enable !== 'never') complain(`${path}.enable`, `must be never for an output that is ${output}`)
  if (drives && !orArray && sums.length === 0) complain(`${path}.sums`, 'is empty; an output has a sum')
  if ((!drives || orArray) && sums.length > 0)
    complain(
      `${path}.sums`,
      orArray
        ? 'must be empty where the sum is that of the OR array'
        : `must be empty for an output that is ${output}`,
    )
  if (orArray && !drives) complain(`${path}.orArray`, `has no meaning for an output that is ${output}`)
  if (orArray && !has(device, 'or')) complain(`${path}.orArray`, 'needs a block of the use or')
  if (polarity !== 'none' && !has(device, 'polarity'))
    complain(`${path}.polarity`, `must be none; no block holds polarity fuses`)
}

/** How cells come to their settings, and whether the OR array is used at all. */
function checkChoices(device: Device, complain: Complain): void {
  const { modes, cells, blocks } = device
  const selectable = has(device, 'cell-select')
  for (const [m, { settings, cellSettings }] of modes.entries()) {
    if (selectable && settings.length !== 2)
      complain(
        `modes[${m}].settings`,
        `has ${settings.length} settings; the two states of a cell-select fuse choose between 2`,
      )
    if (!cellSettings) continue
    if (selectable) complain(`modes[${m}].cellSettings`, 'has no meaning where fuses select the settings')
    else if (cellSettings.length !== cells.length)
      complain(`modes[${m}].cellSettings`, `has ${cellSettings.length} entries for ${cells.length} cells`)
    for (const [c, index] of cellSettings.entries())
      if (index >= settings.length)
        complain(
          `modes[${m}].cellSettings[${c}]`,
          `${index} is not one of ${settings.length} settings, counted from 0`,
        )
  }
  const at = blocks.findIndex(({ use }) => use === 'or')
  if (at >= 0 && modes.length > 0 && !modes.some(({ settings }) => settings.some(({ orArray }) => orArray)))
    complain(`blocks[${at}]`, 'no setting takes its sum from the OR array (orArray)')
}

/** Settings that a cell can have in a mode, with their indices. */
function settingsFor(
  device: Device,
  { settings, cellSettings }: Mode,
  cell: number,
): readonly (readonly [index: number, setting: CellSetting])[] {
  if (has(device, 'cell-select')) return [...settings.slice(0, 2).entries()]
  const index = cellSettings?.[cell] ?? 0
  const setting = settings[index]
  return setting ? [[index, setting]] : []
}

/** A use of rows by a setting; rows count from the cell's first. */
interface RowUse {
  readonly key: string
  readonly from: number
  readonly count: number
}

function rowUses({ enable, clock, resetRow, presetRow, sums }: CellSetting): readonly RowUse[] {
  const single = (key: string, row: number | undefined): RowUse[] =>
    row === undefined ? [] : [{ key, from: row, count: 1 }]
  return [
    ...single('enable.row', typeof enable === 'object' ? enable.row : undefined),
    ...single('clock.row', clock && 'row' in clock ? clock.row : undefined),
    ...single('resetRow', resetRow),
    ...single('presetRow', presetRow),
    ...sums.map(({ from, count }, i) => ({ key: `sums[${i}]`, from, count })),
  ]
}

/** In every setting a row has at most one use; and in some setting of the cell it has one. */
function checkRowUses(device: Device, complain: Complain): void {
  const told = new Set<string>()
  // A setting serves many cells: a mistake in it is told once.
  const once: Complain = (path, message) => {
    if (!told.has(path)) complain(path, message)
    told.add(path)
  }
  for (const [c, cell] of device.cells.entries()) {
    const used: RowUse[] = []
    let drives = false
    for (const [m, mode] of device.modes.entries())
      for (const [s, setting] of settingsFor(device, mode, c)) {
        const uses = rowUses(setting)
        drives ||= setting.output === 'combinational' || setting.output === 'registered'
        used.push(...uses)
        checkUses(uses, cell, { path: `modes[${m}].settings[${s}]`, complain: once })
      }
    const idle = drives ? firstUnused(used, cell.rowCount) : null
    if (idle !== null)
      complain(`cells[${c}].rowCount`, `row ${idle} of its ${cell.rowCount} has no use in any setting`)
  }
}

function checkUses(uses: readonly RowUse[], { pin, rowCount }: Cell, { path, complain }: Where): void {
  for (const [i, { key, from, count }] of uses.entries()) {
    if (from >= rowCount)
      complain(
        `${path}.${key}`,
        `row ${from} is not one of the ${rowCount} rows of the cell of pin ${pin}, counted from 0`,
      )
    const other = uses.slice(0, i).find((use) => from < use.from + use.count && use.from < from + count)
    if (other) complain(`${path}.${key}`, `row ${Math.max(from, other.from)} serves ${other.key} already`)
  }
}

/** The first of a cell's rows that no use covers. */
function firstUnused(uses: readonly RowUse[], rowCount: number): number | null {
  let next = 0
  for (const { from, count } of [...uses].sort((a, b) => a.from - b.from)) {
    if (from > next) break
    next = Math.max(next, from + count)
  }
  return next < rowCount ? next : null
}
