/** A board as numbers: nets counted from 0, and what is on them. Faults are changes of this. */
import type { Logic } from '../../logic/logic'
import type { Board, Direction } from './board'

/** A part on its nets. */
export interface NetworkPart {
  readonly name: string
  /** Catalogue name; parts of one name can be exchanged in their sockets. */
  readonly device: string
  readonly logic: Logic
  /** Net of each pin, by pin number; every signal pin has one, −1 at others. */
  readonly nets: readonly number[]
}

export interface NetworkPin {
  readonly pin: number
  readonly net: number
  readonly direction: Direction
  readonly held: 0 | 1 | null
}

export interface NetworkDiode {
  readonly name: string
  readonly anode: number
  readonly cathode: number
}

export interface NetworkResistor {
  readonly name: string
  readonly net: number
  readonly to: 'supply' | 'ground'
}

/** Everything that decides the levels of a board. */
export interface Network {
  /** Names by net; those of pins that no net of the document reaches are made up. */
  readonly netNames: readonly string[]
  readonly parts: readonly NetworkPart[]
  readonly outside: readonly NetworkPin[]
  readonly diodes: readonly NetworkDiode[]
  readonly resistors: readonly NetworkResistor[]
  readonly internalPullUps: boolean
}

/** What a board's part turned out to be. */
export interface ReadPart {
  readonly device: string
  readonly logic: Logic
}

/** Lays out a board: nets that wires join are one, and every signal pin without a net gets one of its own. */
export function layOut(board: Board, read: readonly ReadPart[]): Network {
  const nets = collectNets(board)
  const names = [...nets.names]
  const ownNet = (part: string, pin: number): number => names.push(`${part} pin ${pin}`) - 1
  const parts = board.parts.map(({ name, pins }, i): NetworkPart => {
    const { device, logic } = read[i]!
    const netOf = (pin: number): number => {
      const net = pins[String(pin)]
      if (net !== undefined) return nets.indexOf(net)
      return logic.supplyPins.includes(pin) ? -1 : ownNet(name, pin)
    }
    return {
      name,
      device,
      logic,
      nets: Array.from({ length: logic.pinCount + 1 }, (_, pin) => (pin === 0 ? -1 : netOf(pin))),
    }
  })
  const { outside, diodes = [], resistors = [], internalPullUps = false } = board
  return {
    netNames: names,
    parts,
    outside: outside.map(({ pin, net, direction, held }) => ({
      pin,
      net: nets.indexOf(net),
      direction,
      held: held ?? null,
    })),
    diodes: diodes.map(({ name, anode, cathode }) => ({
      name,
      anode: nets.indexOf(anode),
      cathode: nets.indexOf(cathode),
    })),
    resistors: resistors.map(({ name, net, to }) => ({ name, net: nets.indexOf(net), to })),
    internalPullUps,
  }
}

/** The nets of a board: names by net, and the net of each name of the document. */
export interface Nets {
  readonly names: readonly string[]
  indexOf(name: string): number
}

/** The nets that a document names, in its order. A net of several names bears them all. */
export function collectNets({ parts, outside, diodes = [], resistors = [], wires = [] }: Board): Nets {
  const all = [
    ...outside.map(({ net }) => net),
    ...parts.flatMap(({ pins }) => Object.values(pins)),
    ...diodes.flatMap(({ anode, cathode }) => [anode, cathode]),
    ...resistors.map(({ net }) => net),
    ...wires.flat(),
  ]
  const groups = new Map(all.map((name) => [name, new Set([name])]))
  for (const [one, other] of wires) {
    const joined = new Set([...groups.get(one)!, ...groups.get(other)!])
    for (const name of joined) groups.set(name, joined)
  }
  const distinct = [...new Set(groups.values())]
  const indices = new Map(distinct.flatMap((group, i) => [...group].map((name): [string, number] => [name, i])))
  return { names: distinct.map((group) => [...group].join(' = ')), indexOf: (name) => indices.get(name)! }
}

/** How many ends of parts, pins, diodes and resistors are on each net. */
export function endsOf({ netNames, parts, outside, diodes, resistors }: Network): number[] {
  const counts = netNames.map(() => 0)
  const nets = [
    ...parts.flatMap((part) => part.nets.filter((net) => net >= 0)),
    ...outside.map(({ net }) => net),
    ...diodes.flatMap(({ anode, cathode }) => [anode, cathode]),
    ...resistors.map(({ net }) => net),
  ]
  for (const net of nets) counts[net]!++
  return counts
}

/** Outside pins that are swept, and those that are looked at. */
export function columnsOf({ outside }: Network): {
  readonly inputs: readonly NetworkPin[]
  readonly outputs: readonly NetworkPin[]
} {
  return {
    inputs: outside.filter(({ direction, held }) => (direction === 'input' && held === null) || direction === 'both'),
    outputs: outside.filter(({ direction }) => direction === 'output' || direction === 'both'),
  }
}
