/**
 * The relation of two machines by trying: every pair of states that can come about, every change of levels. A step
 * changes one pin, or several pins where no register of either machine takes an edge of it: an edge together with
 * other changes has an order that nobody knows.
 */
import { behaviourOf, type Behaviour, type Frame } from './behaviour'
import { freePins, reached, type Machine } from './machine'

export interface BruteForce {
  /** `open`: no difference, but steps that have no defined end. */
  readonly relation: 'equal' | 'different' | 'open'
  /** The shortest way to a visible difference: levels by pin, step after step; the first are those of the start. */
  readonly sequence: readonly Readonly<Record<number, 0 | 1>>[] | null
}

/** A pair of states under the same levels, and how it was come to. */
interface Node {
  readonly x: number
  readonly a: number
  readonly b: number
  readonly from: Node | null
}

export interface Pair {
  readonly frame: Frame
  readonly a: Behaviour
  readonly b: Behaviour
}

const sorted = (pins: readonly number[]): number[] => [...new Set(pins)].sort((p, q) => p - q)

/** Two machines in one frame. */
export function pairOf(a: Machine, b: Machine): Pair {
  const machines = [reached(a), reached(b)] as const
  const cells = machines.flatMap((machine) => machine.cells)
  const frame = {
    registers: sorted(cells.filter(({ registered }) => registered).map(({ pin }) => pin)),
    free: sorted(machines.flatMap(freePins)),
    shown: sorted(cells.map(({ pin }) => pin)),
  }
  return { frame, a: behaviourOf(machines[0], frame), b: behaviourOf(machines[1], frame) }
}

/** The first visible difference on a way from one of the starts: breadth first, so that no way is shorter. */
function firstDifference({ frame, a, b }: Pair, starts: readonly Node[]): { found: Node | null; open: boolean } {
  const seen = new Set<number>()
  const states = 1 << frame.registers.length
  const inputs = 1 << frame.free.length
  const queue: Node[] = []
  let open = false
  const come = (node: Node): boolean => {
    const key = (node.a * states + node.b) * inputs + node.x
    if (seen.has(key)) return false
    seen.add(key)
    queue.push(node)
    return a.row(node.a, node.x)?.shown !== b.row(node.b, node.x)?.shown
  }
  for (const start of starts) if (come(start)) return { found: start, open }
  for (const from of queue)
    for (let x = 0; x < inputs; x++) {
      const changed = x ^ from.x
      if (changed === 0) continue
      const [first, second] = [a.step(from.a, from.x, x), b.step(from.b, from.x, x)]
      open ||= !first || !second
      if (!first || !second || ((first.clocked || second.clocked) && (changed & (changed - 1)) !== 0)) continue
      const node = { x, a: first.q, b: second.q, from }
      if (come(node)) return { found: node, open }
    }
  return { found: null, open }
}

/** Both machines as they come to rest after power-up, under any levels. */
function powerUpStarts({ frame, a, b }: Pair): { starts: Node[]; open: boolean } {
  const starts: Node[] = []
  for (let x = 0; x < 1 << frame.free.length; x++) {
    const [first, second] = [a.step(0, x, x), b.step(0, x, x)]
    if (first && second) starts.push({ x, a: first.q, b: second.q, from: null })
  }
  return { starts, open: starts.length < 1 << frame.free.length }
}

/**
 * All pairs of states in which the registers that both machines have are alike, or opposite where `inverted` has a bit,
 * and that nothing forbids: a state that a reset or preset ends at once is none.
 */
function anyStarts({ frame, a, b }: Pair, inverted: number): Node[] {
  const starts: Node[] = []
  const [states, inputs] = [1 << frame.registers.length, 1 << frame.free.length]
  const lasts = (one: Behaviour, q: number, x: number): boolean => (q & ~one.own) === 0 && one.step(q, x, x)?.q === q
  for (let p = 0; p < states; p++)
    for (let q = 0; q < states; q++)
      if (((p ^ q ^ inverted) & a.own & b.own) === 0)
        for (let x = 0; x < inputs; x++)
          if (lasts(a, p, x) && lasts(b, q, x)) starts.push({ x, a: p, b: q, from: null })
  return starts
}

function wayTo(pair: Pair, { x, from }: Node): Readonly<Record<number, 0 | 1>>[] {
  const levels = Object.fromEntries(pair.frame.free.map((pin, i) => [pin, ((x >> i) & 1) as 0 | 1]))
  return [...(from ? wayTo(pair, from) : []), levels]
}

function outcome(pair: Pair, starts: readonly Node[], openStart: boolean): BruteForce {
  const { found, open } = firstDifference(pair, starts)
  if (found) return { relation: 'different', sequence: wayTo(pair, found) }
  return { relation: open || openStart ? 'open' : 'equal', sequence: null }
}

/**
 * `power-up`: whether a visible difference can be reached from Q = 0 everywhere. `any-state`: whether it can from
 * states that correspond, for every way to pair the registers of equal pins by Q or by its complement; equal if one way
 * leaves no difference. Registers that one side alone has are tried at both states.
 */
export function relationByBruteForce(
  a: Machine,
  b: Machine,
  { start }: { readonly start: 'any-state' | 'power-up' },
): BruteForce {
  const pair = pairOf(a, b)
  if (start === 'power-up') {
    const { starts, open } = powerUpStarts(pair)
    return outcome(pair, starts, open)
  }
  const common = pair.a.own & pair.b.own
  let result: BruteForce | null = null
  for (let inverted = 0; inverted < 1 << pair.frame.registers.length; inverted++) {
    if (inverted & ~common) continue
    const tried = outcome(pair, anyStarts(pair, inverted), false)
    if (tried.relation === 'equal') return tried
    if (!result || tried.relation === 'open') result = tried
  }
  return result!
}
