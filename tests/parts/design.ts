/**
 * A design for a programmable part as plain data: what every output is to do, said in pins. No fuse numbers here, and
 * nothing of the library, so that the encoder and the straight evaluation can share it without sharing an error.
 */

/** The pin number: what the true column of that pin carries. The negative number: its complement. */
export type PinLiteral = number

/** The AND of its literals; without literals constant 1. */
export type Term = readonly PinLiteral[]

/** What switches an output on. */
export type Enable = 'always' | 'never' | { readonly term: Term } | { readonly lowPin: number }

export type OutputKind = 'combinational' | 'registered' | 'input'

export interface DesignOutput {
  readonly pin: number
  readonly kind: OutputKind
  /** True: the pin (or its next state) is the OR of the terms; false: the complement of the OR. */
  readonly activeHigh: boolean
  readonly enable: Enable
  readonly terms: readonly Term[]
}

export interface Design {
  readonly part: string
  /** Null for a part with one mode. */
  readonly mode: string | null
  readonly outputs: readonly DesignOutput[]
  /** Pin that clocks the registered outputs. */
  readonly clockPin?: number
  /** Bytes in the order in which the signature is read. */
  readonly signature?: readonly number[]
  /** True: rows without a term are taken out by their disable fuses too. */
  readonly disableUnusedRows?: boolean
}

/** Terms that the enable of an output holds. */
export function enableTerms({ enable }: DesignOutput): readonly Term[] {
  return typeof enable === 'object' && 'term' in enable ? [enable.term] : []
}

/** Every term of an output, its enable included. */
export function allTerms(output: DesignOutput): readonly Term[] {
  return [...enableTerms(output), ...output.terms]
}
