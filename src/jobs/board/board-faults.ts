/** Every single fault of a closed list, tried on a board: whether a comparison of the outside pins would notice it. */
import { nullOn, type Pieces } from '../../arguments/pieces'
import type { TruthTable } from '../table/truth-table'
import { endsOf, type Network } from './board-network'
import { createRowWords, settleRows, type RowWords } from './board-rows'
import { prepareBoard, wordsOf, type BoardSweep, type PreparedParts } from './board-sweep'
import { fightsOf } from './board-table'
import { isPieceDone, OutOfWork, type Work } from './board-work'

/** What can be wrong: one diode, one resistor, one net, or two equal parts in each other's places. */
export type FaultKind =
  'diode-open' | 'diode-shorted' | 'diode-reversed' | 'resistor-missing' | 'net-open' | 'parts-exchanged'

/** One fault, and what the comparison makes of it. */
export interface FaultResult {
  /** What is wrong. */
  readonly kind: FaultKind
  /** The diode, resistor or net by its name, or both parts. */
  readonly of: readonly string[]
  /**
   * Rows whose level is unknown in the reference are not judged.
   * `noticed`: in some row an output has another known level. `only-in-contention`: only in rows in which drivers
   * fight.
   * `depends`: no known level differs, but some is unknown, as that of a floating input. `unnoticed`: nothing differs.
   */
  readonly result: 'noticed' | 'only-in-contention' | 'depends' | 'unnoticed'
  /** First row that shows it, and the outside pin; null where it is unnoticed. */
  readonly row: number | null
  /** Outside pin at which the row shows it; null where it is unnoticed. */
  readonly pin: number | null
}

interface Fault {
  readonly kind: FaultKind
  readonly of: readonly string[]
  readonly make: () => Network
}

/** What faults are tried against. */
export interface FaultTrial {
  /** The outside pins of the original, or of the sound board. */
  readonly reference: TruthTable
  /** Place of each of its outputs among the board's. */
  readonly outputs: readonly number[]
  /** A bit a row that is not judged. */
  readonly ignore: Int32Array | null
  /** What an output that is off counts as; it counts so in the reference already. */
  readonly off: 0 | 1 | 'X' | null
}

/** Results of the faults that were tried, in the order of the list, and how many the list has. */
export interface TriedFaults {
  readonly list: readonly FaultResult[]
  readonly total: number
}

/** Tries the faults of the list on a board, as many as the steps of `work` allow. */
export function* tryFaults(network: Network, trial: FaultTrial, work: Work): Pieces<TriedFaults> {
  const list: FaultResult[] = []
  const prepared: PreparedParts = new Map()
  let total = 0
  for (const { kind, of, make } of faultsOf(network)) {
    total++
    const seeking = seek(() => prepareBoard(make(), work, prepared), trial)
    const sought = work.steps < 0 ? null : yield* nullOn(OutOfWork, seeking)
    if (sought) list.push({ kind, of, ...sought })
  }
  return { list, total }
}

function faultsOf(network: Network): Fault[] {
  return [...diodeFaults(network), ...resistorFaults(network), ...netFaults(network), ...exchanges(network)]
}

function diodeFaults(network: Network): Fault[] {
  const { diodes } = network
  const without = (i: number): Network['diodes'] => diodes.filter((_, k) => k !== i)
  return diodes.flatMap(({ name, anode, cathode }, i): Fault[] => {
    return [
      { kind: 'diode-open', of: [name], make: () => ({ ...network, diodes: without(i) }) },
      {
        kind: 'diode-shorted',
        of: [name],
        make: () => mergedNets({ ...network, diodes: without(i) }, anode, cathode),
      },
      { kind: 'diode-reversed', of: [name], make: () => reversedDiode(network, i) },
    ]
  })
}

/** The board with its i-th diode the other way round. */
export function reversedDiode(network: Network, i: number): Network {
  const { name, anode, cathode } = network.diodes[i]!
  return {
    ...network,
    diodes: network.diodes.map((diode, k) => (k === i ? { name, anode: cathode, cathode: anode } : diode)),
  }
}

/** Two nets as one; a diode that lies across them does nothing any more. */
export function mergedNets(network: Network, kept: number, gone: number): Network {
  const moved = renamed(network, (net) => (net === gone ? kept : net))
  return { ...moved, diodes: moved.diodes.filter(({ anode, cathode }) => anode !== cathode) }
}

function renamed(network: Network, rename: (net: number) => number): Network {
  return {
    ...network,
    parts: network.parts.map((part) => ({ ...part, nets: part.nets.map((net) => (net < 0 ? net : rename(net))) })),
    outside: network.outside.map((pin) => ({ ...pin, net: rename(pin.net) })),
    diodes: network.diodes.map(({ name, anode, cathode }) => ({
      name,
      anode: rename(anode),
      cathode: rename(cathode),
    })),
    resistors: network.resistors.map((resistor) => ({ ...resistor, net: rename(resistor.net) })),
  }
}

function resistorFaults(network: Network): Fault[] {
  return network.resistors.map(({ name }, i) => ({
    kind: 'resistor-missing',
    of: [name],
    make: () => ({ ...network, resistors: network.resistors.filter((_, k) => k !== i) }),
  }))
}

/** An open net: each of its ends is left alone. Supply and ground are left out: without them nothing has a level. */
function netFaults(network: Network): Fault[] {
  const ends = endsOf(network)
  for (const { net, direction } of network.outside)
    if (direction === 'supply' || direction === 'ground') ends[net] = 0
  return network.netNames.flatMap((name, open): Fault[] => {
    return ends[open]! < 2 ? [] : [{ kind: 'net-open', of: [name], make: () => openedNet(network, open) }]
  })
}

function openedNet(network: Network, open: number): Network {
  const names = [...network.netNames]
  const apart = renamed(network, (net) => (net === open ? names.push(`${names[open]!}, apart`) - 1 : net))
  return { ...apart, netNames: names }
}

function exchanges(network: Network): Fault[] {
  const { parts } = network
  return parts.flatMap((first, i) =>
    parts.slice(i + 1).flatMap((second, k): Fault[] =>
      first.device === second.device
        ? [
            {
              kind: 'parts-exchanged',
              of: [first.name, second.name],
              make: () => exchangedParts(network, i, i + 1 + k),
            },
          ]
        : [],
    ),
  )
}

/** The board with two parts in each other's places. */
export function exchangedParts(network: Network, one: number, other: number): Network {
  const parts = [...network.parts]
  const [first, second] = [parts[one]!, parts[other]!]
  parts[one] = { ...first, logic: second.logic }
  parts[other] = { ...second, logic: first.logic }
  return { ...network, parts }
}

type Sought = Pick<FaultResult, 'result' | 'row' | 'pin'>

/** Goes through the rows until one without contention shows the fault by known levels. */
function* seek(prepare: () => BoardSweep, trial: FaultTrial): Pieces<Sought> {
  const board = prepare()
  const { count, within } = wordsOf(board.rowCount)
  const words = createRowWords(board)
  let [fought, open]: [Sought | null, Sought | null] = [null, null]
  for (let word = 0; word < count; word++) {
    settleRows(board, { word, within }, words)
    if (isPieceDone(board.work)) yield
    const judged = within & ~(trial.ignore?.[word] ?? 0)
    const fights = fightsOf(board)
    for (let i = 0; i < trial.outputs.length; i++) {
      const { differing, unknown } = deviation(words, trial, { i, word, judged })
      const { pin } = trial.reference.outputs[i]!
      const clean = differing & ~fights
      if (clean !== 0) return { result: 'noticed', row: firstRow(word, clean), pin }
      if (differing !== 0) fought ??= { result: 'only-in-contention', row: firstRow(word, differing), pin }
      else if (unknown !== 0) open ??= { result: 'depends', row: firstRow(word, unknown), pin }
    }
  }
  return fought ?? open ?? { result: 'unnoticed', row: null, pin: null }
}

/** Rows of a word in which an output has another known level, and those in which its level is no longer known. */
export function deviation(
  found: RowWords,
  { reference, outputs, off }: FaultTrial,
  { i, word, judged }: { readonly i: number; readonly word: number; readonly judged: number },
): { readonly differing: number; readonly unknown: number } {
  const words = { ones: found.ones[outputs[i]!]!, open: found.open[outputs[i]!]! }
  if (off !== null) countOff(words, off)
  const [ones, open] = [reference.ones[i]![word]!, reference.open[i]![word]!]
  const known = judged & ~(ones & open)
  const unknown = known & words.ones & words.open
  return { unknown, differing: known & ~unknown & ((words.ones ^ ones) | (words.open ^ open)) }
}

function countOff(words: { ones: number; open: number }, off: 0 | 1 | 'X'): void {
  const { ones, open } = words
  if (off !== 0) words.ones = ones | open
  if (off !== 'X') words.open = open & ones
}

function firstRow(word: number, bits: number): number {
  return 32 * word + 31 - Math.clz32(bits & -bits)
}
