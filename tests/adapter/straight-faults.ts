/**
 * The list of single faults of a board and what a comparison makes of each, by the straight evaluation. Nothing of
 * the library.
 */
import type { PlainBoard } from './plain-boards'
import { straightTable } from './straight-board'

export interface StraightFault {
  readonly fault: string
  readonly result: 'noticed' | 'only-in-contention' | 'depends' | 'unnoticed'
}

/** A board with one thing changed: a net's name in all places. */
function everywhere(board: PlainBoard, rename: (net: string, place: string) => string): PlainBoard {
  return {
    ...board,
    parts: board.parts.map((part) => ({
      ...part,
      pins: Object.fromEntries(
        Object.entries(part.pins).map(([pin, net]) => [pin, rename(net, `${part.name}.${pin}`)]),
      ),
    })),
    inputs: board.inputs.map(([pin, net]) => [pin, rename(net, `in${pin}`)] as const),
    outputs: board.outputs.map(([pin, net]) => [pin, rename(net, `out${pin}`)] as const),
    diodes: board.diodes.map(
      ([name, anode, cathode]) => [name, rename(anode, `${name}a`), rename(cathode, `${name}c`)] as const,
    ),
    resistors: board.resistors.map(([name, net, to]) => [name, rename(net, name), to] as const),
  }
}

function faultyBoards(board: PlainBoard): [string, PlainBoard][] {
  const without = <T extends readonly unknown[]>(list: readonly T[], name: string): T[] =>
    list.filter(([each]) => each !== name)
  const diodes = board.diodes.flatMap(([name, anode, cathode]): [string, PlainBoard][] => {
    const open = { ...board, diodes: without(board.diodes, name) }
    const shorted = everywhere(open, (net) => (net === cathode ? anode : net))
    return [
      [`diode-open ${name}`, open],
      [`diode-shorted ${name}`, { ...shorted, diodes: shorted.diodes.filter(([, one, other]) => one !== other) }],
      [
        `diode-reversed ${name}`,
        {
          ...board,
          diodes: board.diodes.map((diode) => (diode[0] === name ? ([name, cathode, anode] as const) : diode)),
        },
      ],
    ]
  })
  const resistors = board.resistors.map(([name]): [string, PlainBoard] => [
    `resistor-missing ${name}`,
    { ...board, resistors: without(board.resistors, name) },
  ])
  const places = new Map<string, number>()
  everywhere(board, (net) => (places.set(net, (places.get(net) ?? 0) + 1), net))
  const nets = [...places]
    .filter(([, ends]) => ends > 1)
    .map(([open]): [string, PlainBoard] => [
      `net-open ${open}`,
      everywhere(board, (net, place) => (net === open ? `${net}@${place}` : net)),
    ])
  const pairs = board.parts
    .flatMap((one, i) => board.parts.slice(i + 1).map((other) => [one, other] as const))
    .filter(([one, other]) => one.design.part === other.design.part)
  const exchanged = pairs.map(([one, other]): [string, PlainBoard] => {
    const swapped = board.parts.map((part) => ({
      ...part,
      design: part === one ? other.design : part === other ? one.design : part.design,
    }))
    return [`parts-exchanged ${one.name} and ${other.name}`, { ...board, parts: swapped }]
  })
  return [...diodes, ...resistors, ...nets, ...exchanged]
}

/** The verdict on every fault against the sound board's own table, which must be known throughout. */
export function straightFaults(board: PlainBoard): StraightFault[] {
  const sound = straightTable(board)
  return faultyBoards(board).map(([fault, faulty]) => {
    const rows = straightTable(faulty).map(({ levels, fights }, row) => ({
      differs: levels.some((level, i) => level !== 'X' && level !== sound[row]!.levels[i]),
      open: levels.some((level, i) => level === 'X' && level !== sound[row]!.levels[i]),
      fights: fights.found !== 'in none',
    }))
    const result = rows.some(({ differs, fights }) => differs && !fights)
      ? 'noticed'
      : rows.some(({ differs }) => differs)
        ? 'only-in-contention'
        : rows.some(({ open }) => open)
          ? 'depends'
          : 'unnoticed'
    return { fault, result }
  })
}
