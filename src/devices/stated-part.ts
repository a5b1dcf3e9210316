/** Parts as the files of data state them: what follows from other numbers is left out there, and filled in here. */
import type { Device, FuseBlock, Mode } from './device'

/** The pins of the cells in the order of their rows, and the rows of each, or of all alike. */
export interface StatedCells {
  readonly pins: readonly number[]
  readonly rows: number | readonly number[]
}

type Kept = 'part' | 'title' | 'fuseCount' | 'pinCount' | 'basis' | 'sources'
type Optional =
  | 'aliases'
  | 'otherParts'
  | 'shorterCounts'
  | 'shorterBasis'
  | 'carriers'
  | 'powerDownPin'
  | 'powerDownNames'
  | 'groundPin'
  | 'powerPin'
  | 'remarks'
  | 'modes'

/**
 * A part of the catalogue. Usual: the name with PAL before it as the other name, ground at half the pins and supply at
 * the last, one array from fuse 0, one mode, whose keys stand here, and no remarks.
 */
export interface StatedPart
  extends Pick<Device, Kept>, Partial<Pick<Device, Optional>>, Partial<Omit<Mode, 'name' | 'select'>> {
  /** Left out where the fuses are not decoded. */
  readonly cells?: StatedCells
  /** True where the first row resets all registers and the last one presets them. */
  readonly sharedRows?: true
  /** The blocks behind the array. */
  readonly blocks?: readonly FuseBlock[]
}

/** A part with everything that its data file leaves out. */
export function partOf({ part, aliases = [`PAL${part}`], cells: given, sharedRows, ...stated }: StatedPart): Device {
  const { columns, registerFeedback = 'pin', settings, cellSettings, modes, blocks = [], ...named } = stated
  const { groundPin, powerPin, basis, sources, remarks = [], ...head } = named
  let rows = sharedRows ? 1 : 0
  const cells = (given?.pins ?? []).map((pin, i) => {
    const rowCount = typeof given!.rows === 'number' ? given!.rows : given!.rows[i]!
    rows += rowCount
    return { pin, firstRow: rows - rowCount, rowCount }
  })
  const one = columns && settings && { name: null, select: [], columns, registerFeedback, settings }
  const all = modes ?? (one ? [cellSettings ? { ...one, cellSettings } : one] : [])
  const array = { rows: sharedRows ? rows + 1 : rows, columns: 2 * (all[0]?.columns.length ?? 0) }
  const count = array.rows * array.columns
  return {
    part,
    aliases,
    ...head,
    groundPin: groundPin ?? head.pinCount / 2,
    powerPin: powerPin ?? head.pinCount,
    array,
    ...(sharedRows ? { sharedRows: { reset: 0, clockedPreset: rows } } : {}),
    blocks: count
      ? [{ use: 'array', name: 'AND array', first: 0, count }, ...blocks]
      : [{ use: 'undecoded', name: 'fuses', first: 0, count: head.fuseCount }],
    cells,
    modes: all,
    basis,
    sources,
    remarks,
  }
}
