/** Published function tables as data: rows of levels over named signals, checked on a design row by row. */
import { fuseMapFrom, simulate, writeFuseFile } from '../../src/index'
import type { Design, DesignOutput, Enable, Term } from './design'
import { encode } from './encoder'
import { granted } from '../granted'

/** Signal names and the pin that each is on. */
export type Pins = Readonly<Record<string, number>>

/**
 * A row as in a data sheet: input levels (H, L, X for either), then output levels, in the order of the table's heads.
 */
export interface FunctionTable {
  readonly inputs: readonly string[]
  readonly outputs: readonly string[]
  readonly rows: readonly (readonly [inputs: string, outputs: string])[]
}

/** A term by names: `A B' C` is A ∧ ¬B ∧ C. */
export function namedTerm(pins: Pins, text: string): Term {
  return text
    .split(' ')
    .filter(Boolean)
    .map((word) => {
      const pin = pins[word.replace(/'$/, '')]
      if (pin === undefined) throw new RangeError(`no pin for ${word}`)
      return word.endsWith("'") ? -pin : pin
    })
}

interface NamedOutput {
  readonly low?: boolean
  readonly registered?: boolean
  /** Default: pin 11 low for a registered output, else always. */
  readonly enable?: Enable
  readonly terms: readonly string[]
}

/** An output by names; `low`: the pin is L while a term holds. */
export function namedOutput(pins: Pins, name: string, given: NamedOutput): DesignOutput {
  const kind = given.registered ? 'registered' : 'combinational'
  return {
    pin: pins[name]!,
    kind,
    activeHigh: !given.low,
    enable: given.enable ?? (given.registered ? { lowPin: 11 } : 'always'),
    terms: given.terms.map((term) => namedTerm(pins, term)),
  }
}

/** Every row with each X as both levels, so that a table covers all its input combinations. */
export function expandRows({ rows }: FunctionTable): [inputs: string, outputs: string][] {
  const expand = (inputs: string): string[] =>
    inputs.includes('X') ? ['L', 'H'].flatMap((level) => expand(inputs.replace('X', level))) : [inputs]
  return rows.flatMap(([inputs, outputs]) => expand(inputs).map((one) => [one, outputs] as [string, string]))
}

/** A vector from conditions by pin; all others are not connected. */
export function vectorOf(conditions: ReadonlyMap<number, string>, pinCount = 20): string {
  return Array.from({ length: pinCount }, (_, i) => conditions.get(i + 1) ?? 'N').join('')
}

/** The test vector of one row. */
export function rowVector(
  pins: Pins,
  table: FunctionTable,
  [inputs, outputs, pinCount]: readonly [string, string, number?],
): string {
  const conditions = new Map<number, string>()
  table.inputs.forEach((name, i) => conditions.set(pins[name]!, inputs[i] === 'H' ? '1' : '0'))
  table.outputs.forEach((name, i) => conditions.set(pins[name]!, outputs[i]!))
  return vectorOf(conditions, pinCount)
}

/** A function table built into a design. */
export interface Case {
  readonly name: string
  readonly pins: Pins
  readonly design: Design
  readonly table: FunctionTable
}

/** Outputs all high but one. */
export function oneLow(count: number, low: number): string {
  return Array.from({ length: count }, (_, i) => (i === low ? 'L' : 'H')).join('')
}

/** Levels of `value` in `bits` bits, most significant first. */
export function levels(value: number, bits: number): string {
  return value.toString(2).padStart(bits, '0').replace(/0/g, 'L').replace(/1/g, 'H')
}

/** The literals that name code `value` over signals, most significant first. */
export function codeTerm(names: readonly string[], value: number): string {
  return names.map((name, i) => ((value >> (names.length - 1 - i)) & 1 ? name : `${name}'`)).join(' ')
}

/** Number of vectors that pass, and the first that does not, in words. */
export function runTable(
  design: Design,
  vectors: readonly string[],
): { readonly passed: number; readonly first: string | null } {
  const { results } = granted(simulate(writeFuseFile({ fuses: fuseMapFrom(encode(design).join('')) }), {
    device: design.part,
    vectors,
  }))
  const open = results.find(({ result }) => result !== 'passed')
  const passed = results.filter(({ result }) => result === 'passed').length
  return {
    passed,
    first: open
      ? `${vectors[open.number - 1]}: ${JSON.stringify(open.checks.filter(({ result }) => result !== 'passed'))}`
      : null,
  }
}
