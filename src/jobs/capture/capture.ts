/** A captured table: the image of a chip that was read out like a memory, as levels of pins. */
import { refusedFor, type Refused } from '../../findings/refused'
import { bytesOf, listOf, madeBy } from '../../arguments/arguments'
import { IMAGE_FINDINGS, type CAPTURE_FINDINGS } from '../../findings/capture-findings'
import { collectFindings, type FindingCollector, type FindingList } from '../../findings/finding'
import { halfOf, linesOfBytes, setPattern, setRange, turnedColumn } from '../../logic/table-bits'
import { wordMask } from '../../logic/words'
import { countBits, firstBits } from '../table/compare-tables'
import { pulledTable } from '../table/part-levels'
import type { TruthTable } from '../table/truth-table'
import { imageSize, readWiring, type Wire, type Wiring, type WiringDocument } from './wiring'

/** A captured table over the pins of its wiring. Where reads disagree the level is X. */
export interface Capture {
  /** How the image was read. */
  readonly wiring: Wiring
  /**
   * Inputs are the pins at address lines, outputs those at data lines that are not ignored, both in the order of the
   * lines.
   */
  readonly table: TruthTable
  /** A bit a row: known to be misread, and not to matter. Neither is judged. */
  readonly bad: Int32Array
  /** A bit a row: stated not to matter. */
  readonly dontCare: Int32Array
  /** True for reads with pull-ups and with pull-downs as one: an output that follows the resistor is off. */
  readonly pulled: boolean
}

/** A capture, with what there is to say about it. */
export interface CaptureRead {
  /** The image as a table. */
  readonly capture: Capture
  /** What the image shows of itself. */
  readonly findings: FindingList
}

/** Why an image is no capture: its size is not that of its wiring. */
export interface NotACapture extends Refused<'size'> {
  /** The finding `capture/size`. */
  readonly findings: FindingList
}

export type CaptureCollector = FindingCollector<typeof IMAGE_FINDINGS & typeof CAPTURE_FINDINGS>

const CAPTURE = { keys: ['wiring', 'table', 'bad', 'dontCare'], maker: 'a capture, as readCapture gives it' }

/** A capture; throws TypeError for anything else. */
export function checkedCapture(capture: Capture, path: string): Capture {
  return madeBy(capture, path, CAPTURE)
}

/**
 * Reads an image under a wiring. Row r of the table holds what the outputs gave when input k was bit k of r, in levels
 * at the pins: lines that turn levels round are turned back, lines that lead nowhere are left out.
 *
 * @param image the bytes, address 0 first
 * @param wiring a document, or the name of one of `namedWirings`
 * @returns the table; refused, with the finding `capture/size`, for an image of another size
 * @throws TypeError for another kind of image; as `readWiring` does
 * @example const read = readCapture(image, wiring); 'refused' in read ? read.reason : read.capture.table.rowCount // 32
 */
export function readCapture(image: Uint8Array, wiring: WiringDocument | string): CaptureRead | NotACapture {
  bytesOf(image, 'image')
  const checked = readWiring(wiring)
  const findings = collectFindings(IMAGE_FINDINGS, { limit: 100 })
  const size = imageSize(checked)
  if (image.length !== size) {
    findings.add(
      'capture/size',
      {},
      { bytes: image.length, lines: checked.address.length, width: checked.width, size },
    )
    return { ...refusedFor('size'), findings: findings.list() }
  }
  return { capture: captureOf(image, checked), findings: findings.list() }
}

/** The capture of an image that has the size of its wiring. */
export function captureOf(image: Uint8Array, wiring: Wiring): Capture {
  const table = tableOf(linesOf(image, wiring), wiring)
  const columns = new Map(table.inputs.map(({ pin }, k) => [pin, k]))
  const dontCare = new Int32Array(Math.ceil(table.rowCount / 32))
  for (const pattern of wiring.dontCare)
    setPattern(dontCare, new Map(Object.entries(pattern).map(([pin, level]) => [columns.get(Number(pin))!, level])))
  const bad = badRows(wiring)
  bad[0]! &= wordMask(table.rowCount)
  dontCare[0]! &= wordMask(table.rowCount)
  return { wiring, table, bad, dontCare, pulled: false }
}

/** Data lines that are looked at. */
function shownLines({ data, ignore }: Wiring): (Wire & { readonly line: number })[] {
  return data.flatMap((wire, line) => (wire && !ignore.includes(wire.pin) ? [{ ...wire, line }] : []))
}

/** A bit an address for each data line that is looked at, as levels at its pin. */
function linesOf(image: Uint8Array, wiring: Wiring): Int32Array[] {
  const shown = shownLines(wiring)
  const rowCount = 2 ** wiring.address.length
  const step = wiring.width / 8
  const groups = [0, 1].map((group) => {
    const offset = step === 1 ? 0 : (group === 1) === (wiring.byteOrder === 'high-first') ? 0 : 1
    return shown.some(({ line }) => line >>> 3 === group) ? linesOfBytes(image, { offset, step, rowCount }) : []
  })
  return shown.map(({ line, inverted }) => {
    const rows = groups[line >>> 3]![line & 7]!
    return inverted ? rows.map((word) => ~word) : rows
  })
}

/** The table of a wiring: addresses become rows. */
function tableOf(lines: readonly Int32Array[], wiring: Wiring): TruthTable {
  const inputs = wiring.address.flatMap((wire) => (wire ? [{ kind: 'pin', pin: wire.pin } as const] : []))
  const rows = lines.map((ones) => rowsOf(ones, wiring, agreement))
  return {
    inputs,
    outputs: shownLines(wiring).map(({ pin }) => ({ kind: 'pin', pin })),
    unlisted: [],
    rowCount: 2 ** inputs.length,
    ones: rows.map(({ ones }) => ones),
    open: rows.map(({ open }) => open),
  }
}

interface Levels {
  readonly ones: Int32Array
  readonly open: Int32Array
}

/** X where two reads of a row differ, or where one of them is X. */
function agreement(a: Levels, b: Levels): Levels {
  const open = a.open.map((word, i) => word | b.open[i]! | (a.ones[i]! ^ b.ones[i]!))
  return { ones: a.ones.map((word, i) => word | open[i]!), open }
}

/**
 * Addresses as rows: inverted lines turned back, and, from the highest on, lines that lead nowhere folded, as several
 * reads of each row.
 */
function rowsOf(bits: Int32Array, { address }: Wiring, join: (a: Levels, b: Levels) => Levels): Levels {
  let levels: Levels = { ones: bits, open: new Int32Array(bits.length) }
  let rowCount = 2 ** address.length
  for (let line = address.length - 1; line >= 0; line--) {
    const wire = address[line]
    if (wire?.inverted) levels = { ones: turnedColumn(levels.ones, line), open: turnedColumn(levels.open, line) }
    if (wire) continue
    const half = (level: 0 | 1): Levels => ({
      ones: halfOf(levels.ones, line, { level, rowCount }),
      open: halfOf(levels.open, line, { level, rowCount }),
    })
    levels = join(half(0), half(1))
    rowCount /= 2
  }
  return levels
}

/** A row is bad where any of its addresses is. */
function badRows(wiring: Wiring): Int32Array {
  const bits = new Int32Array(Math.ceil(2 ** wiring.address.length / 32))
  for (const [first, last] of wiring.badRows) setRange(bits, first, last)
  if (wiring.badRows.length === 0 || wiring.address.every((wire) => wire && !wire.inverted))
    return bits.slice(0, Math.ceil(2 ** wiring.address.filter((wire) => wire).length / 32))
  return rowsOf(bits, wiring, (a, b) => ({ ones: a.ones.map((word, i) => word | b.ones[i]!), open: a.open })).ones
}

/** The lowest address of a row: its lines that lead nowhere at 0. */
export function addressOfRow({ address }: Wiring, row: number): number {
  let column = 0
  let at = 0
  address.forEach((wire, line) => {
    if (wire && ((row >>> column++) & 1) !== (wire.inverted ? 1 : 0)) at += 2 ** line
  })
  return at
}

/** Rows that are looked at: neither misread nor free. */
export function judgedRows({ table, bad, dontCare }: Capture): Int32Array {
  const rows = new Int32Array(bad.length)
  for (let i = 0; i < rows.length; i++) rows[i] = ~(bad[i]! | dontCare[i]!)
  rows[0]! &= wordMask(table.rowCount)
  return rows
}

/** Rows that say something of the chip: not misread, and the same in all reads. */
export function steadyRows(capture: Capture): Int32Array {
  const open = openRows(capture)
  const within = wordMask(capture.table.rowCount)
  return capture.bad.map((word, i) => within & ~word & ~open[i]!)
}

/** A bit a row: some output is X there; where it is off it is known. */
export function openRows({ table }: Capture): Int32Array {
  const rows = new Int32Array(Math.ceil(table.rowCount / 32))
  table.open.forEach((open, output) => {
    for (let i = 0; i < rows.length; i++) rows[i]! |= open[i]! & table.ones[output]![i]!
  })
  return rows.map((word) => word & wordMask(table.rowCount))
}

/** Several captures of one chip as one: what all of them agree on, and X where they do not. */
export interface CombinedCaptures {
  /** The joined capture. */
  readonly capture: Capture
  /**
   * Rows, not misread, in which captures that were read in the same direction disagree, and the first of their
   * addresses.
   */
  readonly disagreeing: { readonly count: number; readonly addresses: readonly number[] }
  /** Rows in which those with addresses counting up agree, those counting down too, and the two do not. */
  readonly directional: { readonly count: number; readonly addresses: readonly number[] }
  /** What those in each direction agree on; null with one direction. */
  readonly directions: { readonly up: Capture; readonly down: Capture } | null
}

/** Most addresses that a finding names. */
const MOST_ADDRESSES = 8

/**
 * Joins captures of one chip under one wiring by agreement.
 *
 * @param up captures with addresses counting up, at least one
 * @param down captures with addresses counting down, stored in address order
 * @returns one capture of what all agree on, with the rows in which they do not
 * @throws TypeError for no capture; RangeError where they do not have the same rows and outputs
 * @example combineCaptures([capture, capture]).disagreeing.count // 0
 */
export function combineCaptures(up: readonly Capture[], down: readonly Capture[] = []): CombinedCaptures {
  for (const [name, list] of [
    ['up', up],
    ['down', down],
  ] as const)
    listOf(list, name, 'a list of captures').forEach((each, i) => checkedCapture(each, `${name}[${i}]`))
  const [first, ...others] = [...up, ...down]
  if (!first || up.length === 0) throw new TypeError('up must be a list of captures, and not empty')
  if (
    others.some(
      ({ table }) => table.rowCount !== first.table.rowCount || table.outputs.length !== first.table.outputs.length,
    )
  )
    throw new RangeError('up and down must have the same rows and outputs')
  const [rising, falling] = [joined(up), down.length > 0 ? joined(down) : null]
  const capture = falling ? joined([rising, falling]) : rising
  const judged = capture.bad.map((word) => ~word & wordMask(capture.table.rowCount))
  const noise = masked(openOf([rising, ...(falling ? [falling] : [])]), judged)
  const directional = masked(
    openRows(capture),
    judged.map((word, i) => word & ~noise[i]!),
  )
  return {
    capture,
    disagreeing: listed(noise, capture.wiring),
    directions: falling && { up: rising, down: falling },
    directional: listed(falling ? directional : new Int32Array(0), capture.wiring),
  }
}

/**
 * A chip read with pull-ups and read with pull-downs, as one capture. What follows the resistor is off; what goes
 * against it was not steady and is X, and so is what a further read does not confirm.
 */
export function pullCaptures(up: Capture, down: Capture, further: readonly Capture[] = []): Capture {
  const pulled = pulledTable(up.table, down.table)
  const ones = pulled.ones.map((words) => words.slice())
  const open = pulled.open.map((words) => words.slice())
  for (const { table } of further)
    ones.forEach((words, i) =>
      words.forEach((word, w) => {
        const unlike = (~open[i]![w]! & (word ^ table.ones[i]![w]!)) | table.open[i]![w]!
        words[w]! |= unlike
        open[i]![w]! |= unlike
      }),
    )
  return { ...up, table: { ...pulled, ones, open }, pulled: true }
}

function joined([first, ...others]: readonly Capture[]): Capture {
  return others.reduce((one, other) => {
    const rows = one.table.ones.map((ones, i) =>
      agreement({ ones, open: one.table.open[i]! }, { ones: other.table.ones[i]!, open: other.table.open[i]! }),
    )
    const bad = one.bad.map((word, i) => word | other.bad[i]!)
    return {
      ...one,
      bad,
      table: { ...one.table, ones: rows.map(({ ones }) => ones), open: rows.map(({ open }) => open) },
    }
  }, first!)
}

const masked = (rows: Int32Array, judged: Int32Array): Int32Array => rows.map((word, i) => word & judged[i]!)

function openOf(captures: readonly Capture[]): Int32Array {
  return captures.map(openRows).reduce((any, rows) => any.map((word, i) => word | rows[i]!))
}

function listed(rows: Int32Array, wiring: Wiring): CombinedCaptures['disagreeing'] {
  return {
    count: countBits(rows),
    addresses: firstBits(rows, MOST_ADDRESSES).map((row) => addressOfRow(wiring, row)),
  }
}
