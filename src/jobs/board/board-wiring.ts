/** What can be said about a board without sweeping it: supply pins, nets that nothing drives, loops through diodes. */
import { netlistOf } from '../../logic/netlist'
import { ADAPTER_FINDINGS } from '../../findings/adapter-findings'
import type { FindingCollector } from '../../findings/finding'
import { componentsOf } from '../../logic/components'
import { structuralConstant } from '../../logic/logic'
import { endsOf, type Network } from './board-network'
import { readPins } from './board-sweep'

export type AdapterCollector = FindingCollector<keyof typeof ADAPTER_FINDINGS>

/** Pins of the parts that carry supply. */
export interface PartSupply {
  readonly power: number
  readonly ground: number
}

/** Adds what the wiring of a board shows by itself. */
export function remarkWiring(network: Network, supplies: readonly PartSupply[], findings: AdapterCollector): void {
  supplies.forEach((supply, i) => remarkSupply(network, { supply, part: i }, findings))
  for (const { name, logic } of network.parts)
    if (logic.cells.some(({ register, enable }) => register && structuralConstant(enable) !== 0))
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
  for (const [pin, role] of [
    [supply.power, 'supply'],
    [supply.ground, 'ground'],
  ] as const) {
    const net = nets[pin] ?? -1
    if (net >= 0 && !outside.some((each) => each.net === net && each.direction === role))
      findings.add('adapter/supply-pin', {}, { pin, part: name, role, net: netNames[net]! })
  }
}

function remarkNets(network: Network, findings: AdapterCollector): void {
  const ends = endsOf(network)
  const driven = drivenNets(network)
  network.netNames.forEach((net, i) => {
    const reader = readerOf(network, i)
    if (!driven.has(i) && reader !== null) findings.add('adapter/net-without-driver', {}, { net, reader })
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

function readerOf({ parts, outside }: Network, net: number): string | null {
  for (const { name, logic, nets } of parts) {
    const pin = readPins(logic).find((each) => nets[each] === net)
    if (pin !== undefined) return `${name} (pin ${pin})`
  }
  const pin = outside.find((each) => each.net === net && each.direction === 'output')
  return pin ? `outside pin ${pin.pin}` : null
}

function remarkLoops({ netNames, diodes }: Network, findings: AdapterCollector): void {
  const all = [...new Set(diodes.flatMap(({ anode, cathode }) => [anode, cathode]))]
  const after = (net: number): number[] => diodes.flatMap(({ anode, cathode }) => (anode === net ? [cathode] : []))
  for (const loop of componentsOf(all, after))
    findings.add(
      'adapter/diode-loop',
      {},
      {
        nets: loop
          .map((net) => netNames[net]!)
          .sort()
          .join(', '),
      },
    )
}
