/** Expressions as text of Verilog, one product term a line with the array row that it comes from; names of modules. */
import { runsOf } from './layout'
import {
  cubesOf,
  isContradiction,
  structuralConstant,
  usedSignals,
  type Cube,
  type Expression,
  type Literal,
  type Logic,
  cellNameOf,
  type LogicCell,
  type CellName,
  type Register,
} from '../logic/logic'
import { isVerilogName } from './verilog-names'

/** How a pin is driven: not at all, always, now and then (three-state), or as no data sheet says. */
export type Drive = 'none' | 'always' | 'switched' | 'undefined'

/** A part's logic with what its text needs to know of each pin. */
export interface PinDrives {
  readonly logic: Logic
  /** Drive of each cell, by its place. */
  readonly drives: ReadonlyMap<CellName, Drive>
}

/** How the pins of a part are driven. */
export function pinDrives(logic: Logic): PinDrives {
  return { logic, drives: new Map(logic.cells.map((cell) => [cellNameOf(cell), driveOf(cell)])) }
}

function driveOf({ pin, defined, enable }: LogicCell): Drive {
  if (pin === null) return 'none'
  if (!defined) return 'undefined'
  const constant = structuralConstant(enable)
  return constant === 1 ? 'always' : constant === 0 ? 'none' : 'switched'
}

function literalText({ logic, drives }: PinDrives, literal: Literal): string {
  const signal = logic.signals[literal >>> 1]!
  const inverted = (literal & 1) === 1
  if (signal.kind === 'register')
    return `${inverted !== signal.inverted ? '~' : ''}q${logic.cells[signal.cell]!.name}`
  return `${inverted ? '~' : ''}${drives.get(signal.pin) === 'always' ? 'value' : 'p'}${signal.pin}`
}

function cubeText(model: PinDrives, { literals }: Cube): string {
  return literals.length === 0 ? "1'b1" : literals.map((literal) => literalText(model, literal)).join(' & ')
}

/** `// row 5`, for a cube that comes from a row. */
function rowComment({ origin }: Cube): string {
  return origin < 0 ? '' : ` // row ${origin}`
}

/** Row numbers in words: `rows 3 to 7, 9`. */
function rowWords(rows: readonly number[]): string {
  const words = runsOf(rows).map(([first, last]) => (first === last ? first : `${first} to ${last}`))
  return `${rows.length > 1 ? 'rows' : 'row'} ${words.join(', ')}`
}

/** A comment on rows that have no part in an expression, because they hold a signal and its complement. */
function emptyRows({ sums }: Expression): string[] {
  const rows = sums
    .flat()
    .filter((cube) => cube.origin >= 0 && isContradiction(cube))
    .map(({ origin }) => origin)
  return rows.length === 0 ? [] : [`  // Constant 0: ${rowWords(rows)}.`]
}

function sumLines(model: PinDrives, sum: readonly Cube[]): string[] {
  return sum.map((cube, i) => `    ${i === 0 ? ' ' : '|'} ${cubeText(model, cube)}${rowComment(cube)}`)
}

/** The complement of a product term; two operators in a row would not be Verilog. */
function inverse(text: string, { literals }: Cube): string {
  if (literals.length > 1) return `~(${text})`
  return literals.length === 0 ? "1'b0" : text.startsWith('~') ? text.slice(1) : `~${text}`
}

/** The lines that give a net the value of an expression. */
export function assignment(model: PinDrives, net: string, expression: Expression): string[] {
  const sums = expression.sums
    .map((sum) => sum.filter((cube) => !isContradiction(cube)))
    .filter(({ length }) => length > 0)
  const [first] = sums
  const not = expression.inverted ? '~' : ''
  const comment = emptyRows(expression)
  if (!first) return [...comment, `  assign ${net} = 1'b${structuralConstant(expression)};`]
  if (sums.length === 1 && first.length === 1) {
    const text = cubeText(model, first[0]!)
    return [
      ...comment,
      `  assign ${net} = ${expression.inverted ? inverse(text, first[0]!) : text};${rowComment(first[0]!)}`,
    ]
  }
  const several = sums.length > 1
  const lines = sums.flatMap((sum, i) => [...(i === 0 ? [] : ['    ) ^ (']), ...sumLines(model, sum)])
  return [...comment, `  assign ${net} = ${not}(${several ? '(' : ''}`, ...lines, `    )${several ? ')' : ''};`]
}

/** Pins whose level expressions hang on with no register in between, through any outputs on the way. */
export function reachOf({ logic, drives }: PinDrives, expressions: readonly Expression[]): ReadonlySet<number> {
  const reached = new Set<number>()
  const visit = (some: readonly Expression[]): void => {
    for (const index of usedSignals(some)) {
      const signal = logic.signals[index]!
      if (signal.kind === 'register' || reached.has(signal.pin)) continue
      const { pin } = signal
      reached.add(pin)
      const drive = drives.get(pin)
      if (drive === 'always' || drive === 'switched')
        visit(settledBy(logic.cells.find((output) => output.pin === pin)!))
    }
  }
  visit(expressions)
  return reached
}

/** The expressions that move the level of an output at once. */
export function settledBy({ enable, value, register }: LogicCell): readonly Expression[] {
  if (value) return [enable, value]
  return register && mayBypass(register) ? [enable, register.data, register.reset, register.preset] : [enable]
}

/** True for a register that reset and preset can bypass: no complementary literals keep the two apart. */
export function mayBypass({ bypass, reset, preset }: Register): boolean {
  return bypass && mayMeet(reset, preset)
}

/** False where two sums are certain never to be 1 together. */
export function mayMeet(one: Expression, other: Expression): boolean {
  if ([one, other].some(({ sums, inverted }) => inverted || sums.length > 1))
    return structuralConstant(one) !== 0 && structuralConstant(other) !== 0
  return cubesOf(one).some((a) =>
    cubesOf(other).some((b) => !isContradiction({ literals: [...a.literals, ...b.literals], origin: -1 })),
  )
}

/** Longest name that every implementation takes (IEEE 1364-2001, 2.7). */
const LONGEST_NAME = 1024

/** The name of a module, checked; without one, a name made of the part's. */
export function moduleName(name: unknown, part: string): string {
  if (name === undefined)
    return `part_${part
      .toLowerCase()
      .replace(/[^a-z0-9]/g, '_')
      .slice(0, 64)}`
  if (typeof name !== 'string') throw new TypeError('options.name must be a string')
  if (!isVerilogName(name) || name.length > LONGEST_NAME)
    throw new RangeError(
      'options.name must be an identifier of Verilog (letters, digits, _ and $, no digit or $ first) and not one of its keywords',
    )
  return name
}
