/** What can be said about a board without sweeping it: supply pins, nets that nothing drives, loops through diodes. */
import { netlistOf } from '../../logic/netlist'
import { ADAPTER_FINDINGS } from '../../findings/adapter-findings'
import type { FindingCollector } from '../../findings/finding'
import { componentsOf } from '../../logic/components'
import { endsOf, type Network } from './board-network'
import { readPins } from './board-sweep'

export type AdapterCollector = FindingCollector<typeof ADAPTER_FINDINGS>

/** Pins of the parts that carry supply. */
export interface PartSupply {
  readonly power: number
  readonly ground: number
}

/** Adds what the wiring of a board shows by itself. */
export function remarkWiring(network: Network, supplies: readonly PartSupply[], findings: AdapterCollector): void {
  supplies.forEach((supply, i) => remarkSupply(network, { supply, part: i }, findings))
  for (const { name, logic } of network.parts)
    if (logic.cells.some(({ register }, i) => register && netlistOf(logic).drives[i] !== 'never'))
      findings.add('adapter/registers', {}, { part: name })
  remarkNets(network, findings)
  remarkLoops(network, findings)
  if (network.internalPullUps) findings.add('adapter/internal-pull-ups')
}

function remarkSupply(
  { parts, outside, netNames }: Network,
  { supply, part }: { readonly supply: PartSupply; readonly part: number },
  findings: AdapterCollector,
): void {
  const { name, nets } = parts[part]!
  // A board may leave supply out altogether; one that has it has it everywhere.
  const isPowered = outside.some(({ direction }) => direction === 'supply' || direction === 'ground')
  const roles = [
    [supply.power, 'supply'],
    [supply.ground, 'ground'],
  ] as const
  const open = roles.filter(([pin]) => (nets[pin] ?? -1) < 0)
  if (open.length > 0 && isPowered) {
    findings.add('adapter/part-without-supply', {}, { part: name, open: open.map(([pin, role]) => ({ role, pin })) })
  }
  for (const [pin, role] of roles) {
    const net = nets[pin] ?? -1
    if (net >= 0 && !outside.some((each) => each.net === net && each.direction === role))
      findings.add('adapter/supply-pin', {}, { pin, part: name, role, net: netNames[net]! })
  }
}

function remarkNets(network: Network, findings: AdapterCollector): void {
  const ends = endsOf(network)
  const driven = drivenNets(network)
  const readers = readersOf(network)
  network.netNames.forEach((net, i) => {
    const reader = readers.get(i)
    if (!driven.has(i) && reader !== undefined) findings.add('adapter/net-without-driver', {}, { net, ...reader })
    else if (ends[i] === 1 && !/ pin \d+$/.test(net)) findings.add('adapter/net-one-end', {}, { net })
  })
}

/** Nets that something can hold at a level, be it at times only. */
export function drivenNets({ parts, outside, diodes, resistors, internalPullUps }: Network): ReadonlySet<number> {
  const outputs = parts.flatMap(({ logic, nets }) => [...netlistOf(logic).drivenPins].map((pin) => nets[pin]!))
  const pulled = internalPullUps
    ? parts.flatMap(({ logic, nets }) => nets.filter((_, pin) => !logic.supplyPins.includes(pin)))
    : []
  const outer = outside.flatMap(({ net, direction }) => (direction === 'output' ? [] : [net]))
  return new Set([
    ...outputs,
    ...pulled,
    ...outer,
    ...diodes.flatMap(({ anode, cathode }) => [anode, cathode]),
    ...resistors.map(({ net }) => net),
  ])
}

type NetReader =
  | { readonly reader: 'part'; readonly part: string; readonly pin: number }
  | { readonly reader: 'outside'; readonly pin: number }

/** One reader of each net that has some: of the parts the first, else an outside pin. */
function readersOf({ parts, outside }: Network): ReadonlyMap<number, NetReader> {
  const found = new Map<number, NetReader>()
  const add = (net: number, reader: NetReader): void => {
    if (!found.has(net)) found.set(net, reader)
  }
  for (const { name, logic, nets } of parts)
    for (const pin of readPins(logic)) add(nets[pin]!, { reader: 'part', part: name, pin })
  for (const { net, pin, direction } of outside) if (direction === 'output') add(net, { reader: 'outside', pin })
  return found
}

function remarkLoops({ netNames, diodes }: Network, findings: AdapterCollector): void {
  const all = [...new Set(diodes.flatMap(({ anode, cathode }) => [anode, cathode]))]
  const after = (net: number): number[] => diodes.flatMap(({ anode, cathode }) => (anode === net ? [cathode] : []))
  for (const loop of componentsOf(all, after))
    findings.add('adapter/diode-loop', {}, { nets: loop.map((net) => netNames[net]!).sort() })
}
