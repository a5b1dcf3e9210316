/** What is at each net of a board, and what the report says of it: the same for the picture and for its table. */
import type { AdapterReport } from '../../jobs/board/adapter-report'
import type { Board, OutsidePin } from '../../jobs/board/board'
import { collectNets } from '../../jobs/board/board-network'
import type { FindingCode } from '../../findings/catalogue'

/** A net with everything at it. */
export interface NetEnds {
  readonly name: string
  readonly outside: readonly OutsidePin[]
  /** Pins of each part of the board, in its order. */
  readonly pins: readonly (readonly number[])[]
  readonly pulls: readonly { readonly name: string; readonly to: 'supply' | 'ground' }[]
  readonly anodes: readonly string[]
  readonly cathodes: readonly string[]
  /** What is wrong at the net, in words. */
  readonly remarks: readonly string[]
}

/** Findings that name a net, in the few words that a picture has room for. */
const REMARKS: Partial<Record<FindingCode, string>> = {
  'adapter/contention': 'drivers fight',
  'adapter/contention-possible': 'drivers may fight',
  'adapter/floating-input': 'floats',
  'adapter/input-floats': 'floats',
  'adapter/net-without-driver': 'no driver',
  'adapter/net-one-end': 'one end',
  'adapter/supply-pin': 'no supply',
}

/** All nets of a board, in the order in which its document names them. */
export function netEndsOf(board: Board, report: AdapterReport): readonly NetEnds[] {
  const nets = collectNets(board)
  const { parts, outside, diodes = [], resistors = [] } = board
  const remarks = remarksOf(report)
  return nets.names.map((name, net) => {
    const isHere = (other: string): boolean => nets.indexOf(other) === net
    const own = outside.filter((pin) => isHere(pin.net))
    return {
      name,
      outside: own,
      pins: parts.map(({ pins }) => Object.keys(pins).filter((pin) => isHere(pins[pin]!)).map(Number)),
      pulls: resistors.filter((resistor) => isHere(resistor.net)),
      anodes: diodes.filter(({ anode }) => isHere(anode)).map((diode) => diode.name),
      cathodes: diodes.filter(({ cathode }) => isHere(cathode)).map((diode) => diode.name),
      remarks: [...outputRemarks(own, report), ...(remarks.get(name) ?? [])],
    }
  })
}

function outputRemarks(pins: readonly OutsidePin[], { outputs }: AdapterReport): string[] {
  return pins.flatMap(({ pin }) => {
    const output = outputs.find((each) => each.pin === pin)
    if (output?.relation === 'different') return [`pin ${pin} differs`]
    return output?.relation === 'undecided' ? [`pin ${pin} not known`] : []
  })
}

/** Remarks by net, each once. */
function remarksOf({ findings, budget }: AdapterReport): ReadonlyMap<string, ReadonlySet<string>> {
  const remarks = new Map<string, Set<string>>()
  const add = (net: string, words: string): void => {
    remarks.set(net, (remarks.get(net) ?? new Set()).add(words))
  }
  for (const { code, data } of findings) if (REMARKS[code]) add(String(data['net']), REMARKS[code])
  for (const { net, result } of budget?.lines ?? []) if (result === 'exceeded') add(net, 'limit exceeded')
  return remarks
}
