/**
 * Levels of a board, one row at a time and by trying out: every unknown source is given each of its possible
 * behaviours, every conflict is decided both ways, and what all of these agree on is known. Nothing of the library.
 */
import type { DesignOutput, Term } from '../parts/design'
import type { PlainBoard } from './plain-boards'

/** 0, 1, X unknown, Z nothing there. */
export type Level = '0' | '1' | 'X' | 'Z'
type Sign = 'low' | 'high'

interface Diode {
  readonly anode: string
  readonly cathode: string
}

/** What a source may do: nothing, or drive one level. */
type Behaviour = Sign | 'off'

interface Source {
  readonly net: string
  readonly behaviours: readonly Behaviour[]
}

interface Circuit {
  readonly nets: readonly string[]
  readonly sources: readonly Source[]
  readonly diodes: readonly Diode[]
  readonly pulls: readonly { readonly net: string; readonly sign: Sign }[]
}

/** Nets that a level reaches through diodes from `starts`, passing only through nets that `open` admits. */
function reach(
  diodes: readonly Diode[],
  sign: Sign,
  { starts, open }: { readonly starts: readonly string[]; readonly open: (net: string) => boolean },
): Set<string> {
  const reached = new Set<string>()
  const waiting = [...starts]
  for (let net = waiting.pop(); net !== undefined; net = waiting.pop())
    for (const { anode, cathode } of diodes) {
      const next = sign === 'low' ? (cathode === net ? anode : null) : anode === net ? cathode : null
      if (next === null || !open(next) || reached.has(next)) continue
      reached.add(next)
      waiting.push(next)
    }
  return reached
}

/** All outcomes of a circuit whose sources are definite: level by net. Every net in conflict is decided both ways. */
function outcomes(
  circuit: Circuit,
  strong: ReadonlyMap<string, readonly Sign[]>,
): Map<string, 'low' | 'high' | 'none'>[] {
  const results: Map<string, 'low' | 'high' | 'none'>[] = []
  const decide = (forced: ReadonlyMap<string, Sign>): void => {
    const branch = (net: string): void => {
      for (const sign of ['low', 'high'] as const) decide(new Map([...forced, [net, sign]]))
    }
    const at3 = (net: string): Sign | null => {
      const signs = strong.get(net) ?? []
      return signs.length === 0 ? null : (forced.get(net) ?? signs[0]!)
    }
    for (const [net, signs] of strong) if (signs.length > 1 && !forced.has(net)) return branch(net)
    const weaker = (starts: (sign: Sign) => string[], free: (net: string) => boolean): Map<string, Sign> | string => {
      const admits =
        (sign: Sign) =>
        (net: string): boolean =>
          free(net) && (forced.get(net) ?? sign) === sign
      const sets = {
        low: reach(circuit.diodes, 'low', { starts: starts('low'), open: admits('low') }),
        high: reach(circuit.diodes, 'high', { starts: starts('high'), open: admits('high') }),
      }
      for (const sign of ['low', 'high'] as const) for (const net of starts(sign)) if (free(net)) sets[sign].add(net)
      const found = new Map<string, Sign>()
      for (const net of circuit.nets) {
        if (sets.low.has(net) && sets.high.has(net)) return net
        if (sets.low.has(net)) found.set(net, 'low')
        if (sets.high.has(net)) found.set(net, 'high')
      }
      return found
    }
    const through = weaker(
      (sign) => circuit.nets.filter((net) => at3(net) === sign),
      (net) => at3(net) === null,
    )
    if (typeof through === 'string') return branch(through)
    const free = (net: string): boolean => at3(net) === null && !through.has(net)
    const pulled = weaker(
      (sign) =>
        circuit.pulls
          .filter((pull) => pull.sign === sign && free(pull.net) && (forced.get(pull.net) ?? sign) === sign)
          .map(({ net }) => net),
      free,
    )
    if (typeof pulled === 'string') return branch(pulled)
    results.push(new Map(circuit.nets.map((net) => [net, at3(net) ?? through.get(net) ?? pulled.get(net) ?? 'none'])))
  }
  decide(new Map())
  return results
}

/** Every way in which the sources can behave, as signs by net. */
function completions(sources: readonly Source[]): Map<string, Sign[]>[] {
  let all: Map<string, Sign[]>[] = [new Map()]
  for (const { net, behaviours } of sources)
    all = all.flatMap((signs) =>
      behaviours.map((behaviour) => {
        if (behaviour === 'off') return signs
        const there = signs.get(net) ?? []
        return new Map([...signs, [net, there.includes(behaviour) ? there : [...there, behaviour]]])
      }),
    )
  return all
}

/** Levels of all nets. */
export function netLevels(circuit: Circuit): Map<string, Level> {
  const seen = completions(circuit.sources).flatMap((strong) => outcomes(circuit, strong))
  return new Map(
    circuit.nets.map((net) => {
      const found = [...new Set(seen.map((levels) => levels.get(net)!))]
      return [net, found.length > 1 ? 'X' : ({ low: '0', high: '1', none: 'Z' } as const)[found[0]!]]
    }),
  )
}

/** In how many of the ways in which sources can behave drivers fight. */
export type Fighting = 'in all' | 'in some' | 'in none'

/**
 * Where a driven high meets a driven low: on a net, or forward through diodes with nothing driven between. `single`:
 * there is only one way.
 */
export function fights(circuit: Circuit): { readonly found: Fighting; readonly single: boolean } {
  const ways = completions(circuit.sources).map((strong) => {
    if ([...strong.values()].some((signs) => signs.length > 1)) return true
    const lows = circuit.nets.filter((net) => strong.get(net)?.includes('low'))
    const meeting = (net: string): boolean => strong.get(net)?.includes('high') ?? false
    const open = reach(circuit.diodes, 'low', { starts: lows, open: (net) => !strong.has(net) })
    return circuit.diodes.some(
      ({ anode, cathode }) => meeting(anode) && (open.has(cathode) || lows.includes(cathode)),
    )
  })
  return {
    found: ways.every((way) => way) ? 'in all' : ways.includes(true) ? 'in some' : 'in none',
    single: ways.length === 1,
  }
}

/** A sum of products over pins, three-valued; a term with a pin and its complement is 0. */
function sumOf(terms: readonly Term[], level: (pin: number) => Level): Level {
  const product = (term: Term): Level => {
    if (term.some((literal) => term.includes(-literal))) return '0'
    const values = term.map((literal) =>
      literal > 0 ? level(literal) : ({ 0: '1', 1: '0', X: 'X', Z: 'X' } as const)[level(-literal)],
    )
    return values.includes('0') ? '0' : values.some((value) => value === 'X' || value === 'Z') ? 'X' : '1'
  }
  const products = terms.map(product)
  return products.includes('1') ? '1' : products.includes('X') ? 'X' : '0'
}

function behavioursOf({ enable, terms, activeHigh }: DesignOutput, level: (pin: number) => Level): Behaviour[] {
  const on: Level =
    enable === 'always'
      ? '1'
      : enable === 'never'
        ? '0'
        : typeof enable === 'object' && 'term' in enable
          ? sumOf([enable.term], level)
          : 'X'
  const sum = sumOf(terms, level)
  const value: Level = sum === 'X' || activeHigh ? sum : sum === '1' ? '0' : '1'
  const driven: Sign[] = value === 'X' ? ['low', 'high'] : [value === '1' ? 'high' : 'low']
  return on === '0' ? ['off'] : on === '1' ? driven : ['off', ...driven]
}

/** What a pin of a part is said to read, by part and pin, whatever its net has. */
type Said = ReadonlyMap<string, Level>

/** A board in a row of outside levels: level by net, from all parts unknown on until nothing changes. */
export function boardLevels(
  board: PlainBoard,
  row: readonly ('0' | '1')[],
  said: Said = new Map(),
): { readonly levels: ReadonlyMap<string, Level>; readonly fights: ReturnType<typeof fights> } {
  const ownNet = (part: string, pin: number): string => `${part}.${pin}`
  const signals = board.parts.flatMap(({ name, design, pins }) =>
    Array.from({ length: 20 }, (_, i) => i + 1)
      .filter((pin) => pin !== 10 && pin !== 20 && design.part === '16V8')
      .map((pin) => ({ name, pin, net: pins[pin] ?? ownNet(name, pin) })),
  )
  const nets = [
    ...new Set([
      ...signals.map(({ net }) => net),
      ...board.inputs.map(([, net]) => net),
      ...board.outputs.map(([, net]) => net),
      ...board.diodes.flatMap(([, anode, cathode]) => [anode, cathode]),
      ...board.resistors.map(([, net]) => net),
    ]),
  ]
  let levels = new Map<string, Level>(nets.map((net) => [net, 'X']))
  for (;;) {
    const sources: Source[] = board.inputs.map(([, net], i) => ({
      net,
      behaviours: [row[i] === '1' ? 'high' : 'low'],
    }))
    for (const { name, design, pins } of board.parts)
      for (const output of design.outputs)
        if (output.kind !== 'input')
          sources.push({
            net: pins[output.pin] ?? ownNet(name, output.pin),
            behaviours: behavioursOf(
              output,
              (pin) => said.get(ownNet(name, pin)) ?? levels.get(pins[pin] ?? ownNet(name, pin))!,
            ),
          })
    const circuit: Circuit = {
      nets,
      sources,
      diodes: board.diodes.map(([, anode, cathode]) => ({ anode, cathode })),
      pulls: [
        ...board.resistors.map(([, net, to]) => ({
          net,
          sign: to === 'supply' ? ('high' as const) : ('low' as const),
        })),
        ...(board.internalPullUps ? signals.map(({ net }) => ({ net, sign: 'high' as const })) : []),
      ],
    }
    const next = netLevels(circuit)
    if (nets.every((net) => next.get(net) === levels.get(net))) return { levels, fights: fights(circuit) }
    levels = next
  }
}

/** Pins of parts that some term of an output that can be on has, a term with a pin and its complement aside. */
function readPins({ parts }: PlainBoard): { readonly place: string; readonly net: string }[] {
  return parts.flatMap(({ name, design, pins }) => {
    const able = design.outputs.flatMap((output) => {
      if (output.kind === 'input' || output.enable === 'never') return []
      const on: readonly Term[] =
        typeof output.enable === 'object' && 'term' in output.enable ? [output.enable.term] : []
      const live = [...on, ...output.terms].filter((term) => !term.some((literal) => term.includes(-literal)))
      return on.some((term) => !live.includes(term)) ? [] : live.flat().map(Math.abs)
    })
    return [...new Set(able)].map((pin) => ({ place: `${name}.${pin}`, net: pins[pin] ?? `${name}.${pin}` }))
  })
}

/** More unknown readings than these are not tried out: then those of floating nets alone, if they are not more. */
const MOST_READINGS = 6

/** Unknown readings of which both levels are tried. */
function triedReadings(board: PlainBoard, levels: ReadonlyMap<string, Level>): string[] {
  const having = (...signs: readonly Level[]): string[] =>
    readPins(board).flatMap(({ place, net }) => (signs.includes(levels.get(net)!) ? [place] : []))
  const [unknown, floating] = [having('X', 'Z'), having('Z')]
  return unknown.length <= MOST_READINGS ? unknown : floating.length <= MOST_READINGS ? floating : []
}

/** Levels of the outputs in a row: where one is X, what all levels of the unknown readings agree on. */
function outputLevels(board: PlainBoard, row: readonly ('0' | '1')[]): ReturnType<typeof straightTable>[number] {
  const plain = boardLevels(board, row)
  const shown = ({ levels }: ReturnType<typeof boardLevels>): Level[] =>
    board.outputs.map(([, net]) => levels.get(net)!)
  const tried = shown(plain).includes('X') ? triedReadings(board, plain.levels) : []
  const cases = Array.from({ length: 2 ** tried.length }, (_, k) =>
    shown(boardLevels(board, row, new Map(tried.map((place, i) => [place, (k >> i) & 1 ? '1' : '0'])))),
  )
  const levels = shown(plain).map((_, i) =>
    cases.every((each) => each[i] === cases[0]![i]) ? cases[0]![i]! : ('X' as const),
  )
  return { levels, fights: plain.fights }
}

/** Levels of the outputs in every row, row r applying bit k of r to input k, with whether drivers fight in it. */
export function straightTable(
  board: PlainBoard,
): { readonly levels: readonly Level[]; readonly fights: ReturnType<typeof fights> }[] {
  return Array.from({ length: 2 ** board.inputs.length }, (_, row) =>
    outputLevels(
      board,
      board.inputs.map((_, k) => ((row >> k) & 1 ? '1' : '0')),
    ),
  )
}
