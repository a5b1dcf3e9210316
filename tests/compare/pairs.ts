/** Pairs of designs compared by the library, and the same pairs swept through all inputs by straight evaluation. */
import { compare, fuseMapFrom, type ComparedOutput, type CompareOptions, type Comparison, type FuseMap } from '../../src/index'
import { allTerms, type Design, type DesignOutput, type Term } from '../parts/design'
import { encode } from '../parts/encoder'
import { settle, type Levels, type Registers } from '../parts/straight'

/** The fuse map of a design, by the encoder of the tests. */
export function mapOf(design: Design): FuseMap {
  return fuseMapFrom(encode(design).join(''))
}

/** Two designs compared, each as its own part. */
export function compareDesigns(intended: Design, readback: Design, options: CompareOptions = {}): Comparison {
  return compare(mapOf(intended), mapOf(readback), { device: intended.part, otherDevice: readback.part, ...options })
}

/** The output of a comparison at a pin. */
export function outputAt({ outputs }: Comparison, pin: number): ComparedOutput {
  const found = outputs.find((output) => output.pin === pin)
  if (!found) throw new RangeError(`no output at pin ${pin}: ${outputs.map((output) => output.pin).join(', ')}`)
  return found
}

/** Codes of the comparison's own findings, sorted; what a file says by itself is left out. */
export function codesOf({ findings }: Comparison): string[] {
  return findings
    .filter(({ side }) => side === undefined)
    .map(({ code }) => code)
    .sort()
}

/** How many of how many, in lowest terms: only the ratio counts. */
export function ratioOf(differing: bigint | number | string, of: bigint | number | string): string {
  let [a, b] = [BigInt(differing), BigInt(of)]
  while (b) [a, b] = [b, a % b]
  return `${BigInt(differing) / a}/${BigInt(of) / a}`
}

/** The ratio that a comparison gives for an output. */
export function ratioAt(comparison: Comparison, pin: number): string {
  const { differingInputs, ofInputs } = outputAt(comparison, pin)
  return ratioOf(differingInputs!, ofInputs!)
}

/** An active-low combinational output that is always on, unless something else is said. */
export function output(pin: number, terms: readonly Term[], given: Partial<DesignOutput> = {}): DesignOutput {
  return { pin, kind: 'combinational', activeHigh: false, enable: 'always', terms, ...given }
}

/** What a design shows at an output: high, low, or off. */
export function shownAt(
  design: Design,
  pin: number,
  { levels, registers = new Map() }: { readonly levels: Levels; readonly registers?: Registers },
): 'H' | 'L' | 'Z' {
  const settled = settle(design, registers, levels)
  return !settled.driving.has(pin) ? 'Z' : settled.levels.get(pin) ? 'H' : 'L'
}

/** Pins on which a combinational design may depend: what its terms read and no output drives for good. */
export function freePins({ outputs }: Design): number[] {
  const driven = new Set(outputs.filter(({ enable }) => enable === 'always').map(({ pin }) => pin))
  return [...new Set(outputs.flatMap((each) => allTerms(each).flat().map(Math.abs)))].filter(
    (pin) => !driven.has(pin),
  )
}

/** Levels by pin from the bits of a row; pins left out are low. */
export function levelsOf(pins: readonly number[], row: number): Map<number, boolean> {
  const levels = new Map(Array.from({ length: 40 }, (_, pin) => [pin, false] as [number, boolean]))
  pins.forEach((pin, i) => levels.set(pin, ((row >> i) & 1) === 1))
  return levels
}

export interface Swept {
  readonly inputs: number
  /** Rows in which an output of the first design differs, by its pin. */
  readonly differing: ReadonlyMap<number, number>
}

/**
 * Both designs under every combination of their joint inputs. `toOther` gives the second design's pin for each of the
 * first's.
 */
export function sweep(a: Design, b: Design, toOther: (pin: number) => number = (pin) => pin): Swept {
  const back = new Map(Array.from({ length: 28 }, (_, i) => [toOther(i + 1), i + 1] as const))
  const pins = [...new Set([...freePins(a), ...freePins(b).map((pin) => back.get(pin)!)])]
  const outputs = a.outputs.map(({ pin }) => pin)
  const differing = new Map(outputs.map((pin) => [pin, 0]))
  for (let row = 0; row < 2 ** pins.length; row++) {
    const levels = levelsOf(pins, row)
    const first = settle(a, new Map(), levels)
    const second = settle(b, new Map(), new Map([...levels].map(([pin, level]) => [toOther(pin), level])))
    for (const pin of outputs) {
      const [on, otherOn] = [first.driving.has(pin), second.driving.has(toOther(pin))]
      if (on !== otherOn || (on && first.levels.get(pin) !== second.levels.get(toOther(pin))))
        differing.set(pin, differing.get(pin)! + 1)
    }
  }
  return { inputs: pins.length, differing }
}

/** Levels of a counterexample, by the pins of one side. */
export function counterLevels(
  { counterexample }: ComparedOutput,
  toSide: (pin: number) => number = (pin) => pin,
): Levels {
  const levels = levelsOf([], 0)
  for (const [pin, level] of Object.entries(counterexample!.inputs)) levels.set(toSide(Number(pin)), level === 1)
  return levels
}

/** A 20RA10 whose registers read pins; pin 1 loads them. */
export function ra10(...outputs: readonly DesignOutput[]): Design {
  return {
    part: '20RA10',
    mode: null,
    registers: { polarity: 'before', feedback: 'pin', bypass: true, loadPin: 1 },
    outputs,
  }
}

/** A register of it, clocked by a term: pin = ¬Q, and Q takes the sum. */
export function ra10Register(pin: number, clock: Term, terms: readonly Term[]): DesignOutput {
  return { pin, kind: 'registered', activeHigh: false, enable: { term: [], lowPin: 13 }, terms, clock }
}

/** A sum of it without a register: reset and preset hold for good. */
export function ra10Sum(pin: number, terms: readonly Term[]): DesignOutput {
  return { ...ra10Register(pin, [], terms), reset: [], preset: [] }
}
