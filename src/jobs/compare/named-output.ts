/** An output under the name that both sides know it by. */
import type { CellName } from '../../logic/logic'
import type { ComparedOutput } from './compare-logic'

/** An output that both sides may have. */
export interface NamedOutput {
  readonly name: string
  readonly intended: CellName | undefined
  readonly readback: CellName | undefined
  /** True where either side drives the pin at some time. */
  readonly shown: boolean
}

/** Which side has it. */
export function sideOf({ intended, readback }: NamedOutput): ComparedOutput['side'] {
  if (intended === undefined) return 'readback'
  return readback === undefined ? 'intended' : 'both'
}

/** The pin of the intended part, also where only its partner is an output; one without a partner by its own number. */
export function idOf({ name, intended, readback }: NamedOutput): Pick<ComparedOutput, 'pin' | 'cell'> {
  if (typeof intended === 'number') return { pin: intended }
  if (intended !== undefined) return { pin: 0, cell: intended }
  if (/^\d+$/.test(name)) return { pin: Number(name) }
  return typeof readback === 'number' ? { pin: readback } : { pin: 0, cell: readback ?? name }
}
