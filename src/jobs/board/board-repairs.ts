/**
 * For a board that differs from its original: the faults of the list the other way round. A change that makes the
 * board the same as the original in every judged row names what is probably wrong.
 */
import { deviation, exchangedParts, mergedNets, reversedDiode, type FaultTrial } from './board-faults'
import { nullOn, type Pieces } from '../../arguments/pieces'
import { endsOf, type Network } from './board-network'
import { createRowWords, settleRows } from './board-rows'
import { prepareBoard, wordsOf, type BoardSweep, type PreparedParts } from './board-sweep'
import { fightsOf } from './board-table'
import { isPieceDone, OutOfWork, type Work } from './board-work'

/** What was changed. */
export type RepairKind =
  | 'diode-reversed'
  | 'resistor-to-other-rail'
  | 'resistor-added'
  | 'parts-exchanged'
  | 'pins-exchanged'
  | 'nets-joined'
  | 'diode-removed'
  | 'diode-added'

/** One change that makes the board equal its original; a diode is added from its anode's net to its cathode's. */
export interface Repair {
  /** What is changed. */
  readonly kind: RepairKind
  /** The diode, the resistor or the net by its name, or both parts, pins or nets; of a resistor added net and rail. */
  readonly of: readonly string[]
}

interface Change extends Repair {
  readonly make: () => Network
}

/** Most changes that are named: more say nothing. */
const MAX_REPAIRS = 8

/** The changes that make a board equal; `floating`: nets that float in some row. */
export function* findRepairs(
  network: Network,
  trial: FaultTrial,
  { floating, work }: { readonly floating: readonly number[]; readonly work: Work },
): Pieces<Repair[]> {
  const repairs: Repair[] = []
  const prepared: PreparedParts = new Map()
  for (const { kind, of, make } of changesOf(network, floating)) {
    if (work.steps < 0 || repairs.length >= MAX_REPAIRS) break
    const trying = equalsTrial(() => prepareBoard(make(), work, prepared), trial)
    if (yield* nullOn(OutOfWork, trying)) repairs.push({ kind, of })
  }
  return repairs
}

function changesOf(network: Network, floating: readonly number[]): Change[] {
  return [
    ...network.diodes.map(({ name }, i): Change => ({
      kind: 'diode-reversed',
      of: [name],
      make: () => reversedDiode(network, i),
    })),
    ...network.resistors.map(({ name }, i): Change => ({
      kind: 'resistor-to-other-rail',
      of: [name],
      make: () => movedResistor(network, i),
    })),
    ...addedResistors(network, floating),
    ...exchangedFiles(network),
    ...exchangedPins(network),
    ...joinedNets(network),
    ...removedDiodes(network),
    ...addedDiodes(network),
  ]
}

function movedResistor(network: Network, moved: number): Network {
  const resistors = network.resistors.map((resistor, i): Network['resistors'][number] =>
    i === moved ? { ...resistor, to: resistor.to === 'supply' ? 'ground' : 'supply' } : resistor,
  )
  return { ...network, resistors }
}

function addedResistors(network: Network, floating: readonly number[]): Change[] {
  return floating.flatMap((net) =>
    (['supply', 'ground'] as const).map((to): Change => ({
      kind: 'resistor-added',
      of: [network.netNames[net]!, to],
      make: () => ({ ...network, resistors: [...network.resistors, { name: 'added', net, to }] }),
    })),
  )
}

/** A net of one end, as a misspelt name leaves it, joined with any other. */
function joinedNets(network: Network): Change[] {
  const { netNames } = network
  const lone = endsOf(network).flatMap((ends, net) => (ends === 1 ? [net] : []))
  return pairsWith(lone, netNames.length).map(([one, other]): Change => ({
    kind: 'nets-joined',
    of: [netNames[one]!, netNames[other]!],
    make: () => mergedNets(network, other, one),
  }))
}

function removedDiodes(network: Network): Change[] {
  return network.diodes.map(({ name }, i) => ({
    kind: 'diode-removed',
    of: [name],
    make: () => ({ ...network, diodes: network.diodes.filter((_, k) => k !== i) }),
  }))
}

/** One diode more at a net that has diodes on that side already. */
function addedDiodes(network: Network): Change[] {
  const { diodes, netNames } = network
  const added = (anode: number, cathode: number): Change => ({
    kind: 'diode-added',
    of: [netNames[anode]!, netNames[cathode]!],
    make: () => ({ ...network, diodes: [...diodes, { name: 'added', anode, cathode }] }),
  })
  const anodes = [...new Set(diodes.map(({ anode }) => anode))]
  const cathodes = [...new Set(diodes.map(({ cathode }) => cathode))]
  return [
    ...pairsWith(anodes, netNames.length).map(([anode, cathode]) => added(anode, cathode)),
    ...pairsWith(cathodes, netNames.length).map(([cathode, anode]) => added(anode, cathode)),
  ]
}

/** Each net of a list with every other net. */
function pairsWith(nets: readonly number[], count: number): (readonly [number, number])[] {
  const pairs = nets.flatMap((net) =>
    Array.from({ length: count }, (_, other) => [net, other] as const).filter(([one, other]) => one !== other),
  )
  return pairs.slice(0, MAX_PAIRS)
}

function exchangedFiles(network: Network): Change[] {
  const { parts } = network
  return pairsOf(parts).flatMap(([i, k]): Change[] =>
    parts[i]!.device === parts[k]!.device
      ? [
          {
            kind: 'parts-exchanged',
            of: [parts[i]!.name, parts[k]!.name],
            make: () => exchangedParts(network, i, k),
          },
        ]
      : [],
  )
}

/** Outside pins of one direction on each other's nets. */
function exchangedPins(network: Network): Change[] {
  const signals = network.outside.filter(({ direction }) => direction !== 'supply' && direction !== 'ground')
  return pairsOf(signals).flatMap(([i, k]): Change[] => {
    const [one, other] = [signals[i]!, signals[k]!]
    if (one.direction !== other.direction || one.net === other.net || one.held !== other.held) return []
    const netOf = (pin: typeof one): number => (pin === one ? other.net : pin === other ? one.net : pin.net)
    const make = (): Network => ({
      ...network,
      outside: network.outside.map((pin) => ({ ...pin, net: netOf(pin) })),
    })
    return [{ kind: 'pins-exchanged', of: [String(one.pin), String(other.pin)], make }]
  })
}

/** Most pairs of one kind that are tried: those of 64 things. */
const MAX_PAIRS = 2016

function pairsOf(list: readonly unknown[]): (readonly [number, number])[] {
  const pairs: (readonly [number, number])[] = []
  for (let i = 0; i < list.length; i++)
    for (let k = i + 1; k < list.length && pairs.length < MAX_PAIRS; k++) pairs.push([i, k])
  return pairs
}

/** True where every judged row has known levels, equal to those of the original, and nothing fights. */
function* equalsTrial(prepare: () => BoardSweep, trial: FaultTrial): Pieces<boolean> {
  const board = prepare()
  const { count, within } = wordsOf(board.rowCount)
  const words = createRowWords(board)
  for (let word = 0; word < count; word++) {
    settleRows(board, { word, within }, words)
    if (isPieceDone(board.work)) yield
    const judged = within & ~(trial.ignore?.[word] ?? 0)
    if ((fightsOf(board) & judged) !== 0) return false
    for (let i = 0; i < trial.outputs.length; i++) {
      const { differing, unknown } = deviation(words, trial, { i, word, judged })
      if (differing !== 0 || unknown !== 0) return false
      if ((judged & trial.reference.ones[i]![word]! & trial.reference.open[i]![word]!) !== 0) return false
    }
  }
  return true
}
