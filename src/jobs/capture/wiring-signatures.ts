/**
 * What stays the same of a table when its columns are exchanged or turned round: Walsh coefficients, which say the same
 * as weights and as cofactor weights (W(i) is the rows in which output and input differ in number, shifted), and, over
 * all sets of inputs that hold one of them, its influence. Colours made of these tell columns apart that cannot be
 * exchanged.
 *
 * Columns come as literals, 2 × column, and 2 × column + 1 for the column turned round.
 */
import type { Pieces } from '../../arguments/pieces'
import type { TruthTable } from '../table/truth-table'

/** A table with known levels: bit j of row r is the level of output j. */
export interface PackedTable {
  readonly inputs: number
  readonly outputs: number
  readonly rows: Uint32Array
  /** A bit a row that counts; all rows where left out. */
  readonly known?: Int32Array
}

/**
 * Walsh coefficients of each output, +1 counted where it is 0: of no input, of one, of two, and sums over all sets
 * with an input.
 */
export interface Signature {
  readonly none: readonly number[]
  readonly one: readonly Int32Array[]
  readonly two: readonly Int32Array[]
  /** Sum of squares over the sets that hold the input: 4^inputs times its influence. */
  readonly influence: readonly Float64Array[]
  /** The same of a mixture of size and coefficient, which tells more apart. */
  readonly mixed: readonly Int32Array[]
  /** Over all sets. */
  readonly whole: Int32Array
}

/** Colours of literals. Equal tables have equal colours. */
export interface Colours {
  readonly inputs: Int32Array
  readonly outputs: Int32Array
}

/** Which columns may be turned round. */
export interface Inversions {
  readonly inputs: boolean
  readonly outputs: boolean
}

/** The levels of a table, an output a bit; null where one is not known. */
export function packTable({ inputs, outputs, rowCount, ones, open }: TruthTable): PackedTable | null {
  const rows = new Uint32Array(rowCount)
  const within = rowCount < 32 ? 2 ** rowCount - 1 : -1
  if (open.some((words) => words.some((word) => (word & within) !== 0))) return null
  ones.forEach((words, output) => {
    for (let row = 0; row < rowCount; row++) rows[row]! |= ((words[row >>> 5]! >>> (row & 31)) & 1) << output
  })
  return { inputs: inputs.length, outputs: outputs.length, rows }
}

/** Spreads numbers over 32 bits. */
function mix(a: number, b: number): number {
  let h = Math.imul(a ^ 0x9e3779b9, 0x85ebca6b) ^ Math.imul(b ^ (b >>> 15) ^ 0x27d4eb2f, 0xc2b2ae35)
  h = Math.imul(h ^ (h >>> 13), 0x27d4eb2d)
  return h ^ (h >>> 16)
}

/** The signature of a table; an output is a piece of the work, of 262,144 rows some 15 ms. */
export function* signatureOf(table: PackedTable): Pieces<Signature> {
  const parts: ReturnType<typeof outputSignature>[] = []
  for (let output = 0; output < table.outputs; output++) {
    parts.push(outputSignature(table, output))
    yield
  }
  return {
    none: parts.map(({ none }) => none),
    one: parts.map(({ one }) => one),
    two: parts.map(({ two }) => two),
    influence: parts.map(({ influence }) => influence),
    mixed: parts.map(({ mixed }) => mixed),
    whole: Int32Array.from(parts, ({ whole }) => whole),
  }
}

/** Walsh transform by the usual butterflies, in place. */
function walsh({ rows }: PackedTable, output: number): Int32Array {
  const w = new Int32Array(rows.length)
  for (let row = 0; row < w.length; row++) w[row] = 1 - 2 * ((rows[row]! >>> output) & 1)
  for (let half = 1; half < w.length; half *= 2)
    for (let block = 0; block < w.length; block += 2 * half)
      for (let i = block; i < block + half; i++) {
        const [a, b] = [w[i]!, w[i + half]!]
        w[i] = a + b
        w[i + half] = a - b
      }
  return w
}

function outputSignature(
  table: PackedTable,
  output: number,
): { none: number; one: Int32Array; two: Int32Array; influence: Float64Array; mixed: Int32Array; whole: number } {
  const { inputs } = table
  const w = walsh(table, output)
  const influence = new Float64Array(inputs)
  const mixed = new Int32Array(inputs)
  let whole = 0
  for (let set = 0; set < w.length; set++) {
    const value = w[set]!
    if (value === 0) continue
    const mixture = mix(Math.abs(value), sizeOf(set))
    whole = (whole + mixture) | 0
    for (let rest = set; rest !== 0; rest &= rest - 1) {
      const input = 31 - Math.clz32(rest & -rest)
      influence[input]! += value * value
      mixed[input]! += mixture
    }
  }
  const all = Array.from({ length: inputs }, (_, i) => i)
  return {
    none: w[0]!,
    one: Int32Array.from(all, (i) => w[1 << i]!),
    two: Int32Array.from(all.flatMap((i) => all.map((k) => (i === k ? 0 : w[(1 << i) | (1 << k)]!)))),
    influence,
    mixed,
    whole,
  }
}

function sizeOf(set: number): number {
  let size = 0
  for (let rest = set; rest !== 0; rest &= rest - 1) size++
  return size
}

/** Colours before anything is compared: a literal and its complement are alike only where they may be exchanged. */
export function firstColours({ none, whole, one }: Signature, inversions: Inversions): Colours {
  const inputs = one[0]?.length ?? 0
  return {
    inputs: Int32Array.from({ length: 2 * inputs }, (_, literal) => (inversions.inputs ? 0 : literal & 1)),
    outputs: Int32Array.from({ length: 2 * none.length }, (_, literal) =>
      mix(
        mix(whole[literal >>> 1]!, literal & 1 ? -none[literal >>> 1]! : none[literal >>> 1]!),
        inversions.outputs ? 0 : literal & 1,
      ),
    ),
  }
}

/** Tells literals apart by those that they stand in relation to, until that tells no more apart. */
export function refined(signature: Signature, colours: Colours): Colours {
  let found = colours
  for (let count = distinct(found), before = -1; count > before;) {
    before = count
    found = refineOnce(signature, found)
    count = distinct(found)
  }
  return found
}

function distinct({ inputs, outputs }: Colours): number {
  return new Set(inputs).size + new Set(outputs).size
}

function refineOnce({ one, two, mixed }: Signature, { inputs, outputs }: Colours): Colours {
  const [inputCount, outputCount] = [inputs.length / 2, outputs.length / 2]
  const nextInputs = inputs.map((colour, literal) => mix(colour, inputs[literal ^ 1]!))
  const nextOutputs = outputs.map((colour, literal) => mix(colour, outputs[literal ^ 1]!))
  for (let output = 0; output < outputCount; output++)
    for (let input = 0; input < inputCount; input++) {
      const pair = pairSums(two[output]!, inputs, input)
      for (let signs = 0; signs < 4; signs++) {
        const [p, q] = [signs & 1, signs >>> 1]
        const level = mix(p === q ? one[output]![input]! : -one[output]![input]!, mixed[output]![input]!)
        nextOutputs[2 * output + q]! += mix(inputs[2 * input + p]!, level)
        nextInputs[2 * input + p]! +=
          mix(outputs[2 * output + q]!, level) + mix(outputs[2 * output + q]!, p === q ? pair.same : pair.turned)
      }
    }
  return { inputs: nextInputs, outputs: nextOutputs }
}

/** How an input stands to all others in an output: sums over their literals, for a literal, and for its complement. */
function pairSums(
  two: Int32Array,
  colours: Int32Array,
  input: number,
): { readonly same: number; readonly turned: number } {
  const count = colours.length / 2
  let [same, turned] = [0, 0]
  for (let other = 0; other < count; other++) {
    if (other === input) continue
    const value = two[input * count + other]!
    const [plain, inverted] = [colours[2 * other]!, colours[2 * other + 1]!]
    same = (same + mix(plain, value) + mix(inverted, -value)) | 0
    turned = (turned + mix(plain, -value) + mix(inverted, value)) | 0
  }
  return { same, turned }
}

/** True where both tables have the same colours the same number of times. */
export function coloursMatch(a: Colours, b: Colours): boolean {
  const equal = (x: Int32Array, y: Int32Array): boolean => {
    const [first, other] = [x.slice().sort(), y.slice().sort()]
    return first.every((colour, i) => colour === other[i])
  }
  return equal(a.inputs, b.inputs) && equal(a.outputs, b.outputs)
}
