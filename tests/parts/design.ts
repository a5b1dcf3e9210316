/**
 * A design for a programmable part as plain data: what every output is to do, said in pins. No fuse numbers here, and
 * nothing of the library, so that the encoder and the straight evaluation can share it without sharing an error.
 */

/** The pin number: what the true column of that pin carries. The negative number: its complement. */
export type PinLiteral = number

/** The AND of its literals; without literals constant 1. */
export type Term = readonly PinLiteral[]

/** What switches an output on: a term, a pin held low, or both together. */
export type Enable =
  | 'always'
  | 'never'
  | { readonly term: Term }
  | { readonly lowPin: number }
  | { readonly term: Term; readonly lowPin: number }

export type OutputKind = 'combinational' | 'registered' | 'input'

export interface DesignOutput {
  readonly pin: number
  readonly kind: OutputKind
  /** True: the pin (or its next state) is the sum; false: its complement. */
  readonly activeHigh: boolean
  readonly enable: Enable
  /** Terms that are ORed. */
  readonly terms: readonly Term[]
  /** A second sum, exclusive-ored with the first. */
  readonly otherTerms?: readonly Term[]
  /** Terms of the register's own clock (rising), reset (Q = 0) and preset (Q = 1); constant 0 where left out. */
  readonly clock?: Term
  readonly reset?: Term
  readonly preset?: Term
}

/** How the registers of a part are wired, for straight evaluation. */
export interface RegisterStyle {
  /**
   * Polarity `before` the register: the pin is ¬Q always. `after` it: Q takes the sum, and the pin is Q where active
   * high.
   */
  readonly polarity: 'before' | 'after'
  /** What the columns of a registered pin carry. */
  readonly feedback: 'inverted-register' | 'pin'
  /** True where reset and preset together let the sum through to the pin. */
  readonly bypass?: boolean
  /** Pin that, held low, loads the registers of outputs that are off. */
  readonly loadPin?: number
}

export interface Design {
  readonly part: string
  /** Null for a part with one mode. */
  readonly mode: string | null
  readonly outputs: readonly DesignOutput[]
  /** Pin that clocks the registered outputs. */
  readonly clockPin?: number
  /** Term that resets every register (Q = 0), and term that presets every register (Q = 1) at its next clock. */
  readonly reset?: Term
  readonly clockedPreset?: Term
  /** Default: polarity before the register, which feeds back ¬Q. */
  readonly registers?: RegisterStyle
  /** Bytes in the order in which the signature is read. */
  readonly signature?: readonly number[]
  /** True: rows without a term are taken out by their disable fuses too. */
  readonly disableUnusedRows?: boolean
}

/** Terms that the enable of an output holds. */
export function enableTerms({ enable }: DesignOutput): readonly Term[] {
  return typeof enable === 'object' && 'term' in enable ? [enable.term] : []
}

/** The terms that control an output's register. */
export function controlTerms({ clock, reset, preset }: DesignOutput): readonly Term[] {
  return [clock, reset, preset].filter((term) => term !== undefined)
}

/** Every term of an output, its enable and its register's control included. */
export function allTerms(output: DesignOutput): readonly Term[] {
  return [...enableTerms(output), ...controlTerms(output), ...output.terms, ...(output.otherTerms ?? [])]
}

/** A 16V8 with these outputs, each the sum of its terms and always on. */
export function gates(outputs: Readonly<Record<number, readonly Term[]>>): Design {
  return {
    part: '16V8',
    mode: 'complex',
    outputs: Object.entries(outputs).map(([pin, terms]) => ({
      pin: Number(pin),
      kind: 'combinational',
      activeHigh: true,
      enable: 'always',
      terms,
    })),
  }
}

/** What all designs of a 22V10 have: the clock at pin 1, columns that carry ¬Q (GAL22V10, 22v10_08, p. 3). */
export const V10 = {
  part: '22V10',
  mode: null,
  clockPin: 1,
  registers: { polarity: 'after', feedback: 'inverted-register' },
} as const satisfies Partial<Design>
