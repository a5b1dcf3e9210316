/**
 * Levels of the nets of a board, 32 rows at a time. Three strengths: 3 an output or what drives an outside pin, 2 the
 * same through a diode, 1 a resistor or an internal pull-up, through diodes too. A diode passes a low from its
 * cathode's net to its anode's and a high the other way. For each strength a net has words for what may be there and
 * for what is there for sure, so that an unknown source gives X only where its two values differ in effect.
 */

import { takeWork, type Work } from './board-work'

/** Diodes as nets, those first whose anode no other diode leads to: a high passes all of them in one walk. */
export interface DiodeNets {
  readonly anodes: Int32Array
  readonly cathodes: Int32Array
}

/** Diodes in that order; those in a circle come where the walk meets them. */
export function orderDiodes(diodes: readonly { readonly anode: number; readonly cathode: number }[]): DiodeNets {
  const leaving = new Map<number, number[]>()
  diodes.forEach(({ anode }, i) => leaving.set(anode, [...(leaving.get(anode) ?? []), i]))
  const seen = new Set<number>()
  const last: number[] = []
  for (const { anode } of diodes) {
    const path = seen.has(anode) ? [] : [{ net: anode, next: 0 }]
    seen.add(anode)
    for (let at = path.at(-1); at; at = path.at(-1)) {
      const diode = leaving.get(at.net)?.[at.next++]
      const beyond = diode === undefined ? -1 : diodes[diode]!.cathode
      if (diode === undefined) last.push(...(leaving.get(path.pop()!.net) ?? []))
      else if (!seen.has(beyond)) {
        seen.add(beyond)
        path.push({ net: beyond, next: 0 })
      }
    }
  }
  const order = last.reverse()
  return {
    anodes: Int32Array.from(order, (i) => diodes[i]!.anode),
    cathodes: Int32Array.from(order, (i) => diodes[i]!.cathode),
  }
}

/** Words by net. `low…` and `high…`: may be there; `sure…`: is there. */
export interface NetLevels {
  readonly low3: Int32Array
  readonly high3: Int32Array
  readonly sure3: Int32Array
  /** Rows in which some one source surely drives low, and high. */
  readonly definiteLow: Int32Array
  readonly definiteHigh: Int32Array
  readonly low2: Int32Array
  readonly high2: Int32Array
  readonly sureLow2: Int32Array
  readonly sureHigh2: Int32Array
  readonly low1: Int32Array
  readonly high1: Int32Array
  readonly sureLow1: Int32Array
  readonly sureHigh1: Int32Array
  /** The result: can be 0, can be 1 (both: unknown), and where nothing at all is there (both are set then, too). */
  readonly zero: Int32Array
  readonly one: Int32Array
  readonly floats: Int32Array
  /** Rows in which drivers of opposite levels may meet on the net. */
  readonly fights: Int32Array
  /** Room for what may pass through a net. */
  readonly open: Int32Array
  readonly seed: Int32Array
  /** Pays for every walk over the diodes. */
  readonly work: Work
}

/** Room for the levels of so many nets. */
export function createNetLevels(nets: number, work: Work): NetLevels {
  const words = (): Int32Array => new Int32Array(nets)
  return {
    low3: words(),
    high3: words(),
    sure3: words(),
    definiteLow: words(),
    definiteHigh: words(),
    low2: words(),
    high2: words(),
    sureLow2: words(),
    sureHigh2: words(),
    low1: words(),
    high1: words(),
    sureLow1: words(),
    sureHigh1: words(),
    zero: words(),
    one: words(),
    floats: words(),
    fights: words(),
    open: words(),
    seed: words(),
    work,
  }
}

/** Takes all sources off the nets. */
export function clearSources({ low3, high3, sure3, definiteLow, definiteHigh, fights }: NetLevels): void {
  definiteLow.fill(0)
  definiteHigh.fill(0)
  low3.fill(0)
  high3.fill(0)
  sure3.fill(0)
  fights.fill(0)
}

/**
 * Puts a source of strength 3 on a net: rows in which it may drive low and high, and rows in which it surely drives.
 */
export function addSource(
  levels: NetLevels,
  net: number,
  { low, high, sure }: { readonly low: number; readonly high: number; readonly sure: number },
): void {
  const { low3, high3, sure3, definiteLow, definiteHigh, fights } = levels
  definiteLow[net]! |= sure & ~high
  definiteHigh[net]! |= sure & ~low
  fights[net]! |= (low & high3[net]!) | (high & low3[net]!)
  low3[net]! |= low
  high3[net]! |= high
  sure3[net]! |= sure
}

/** Resistors by net: −1 where one pulls low or high. */
export interface Pulls {
  readonly low: Int32Array
  readonly high: Int32Array
}

/** Works out all nets from the sources on them. */
export function resolveNets(levels: NetLevels, diodes: DiodeNets, pulls: Pulls): void {
  throughDiodes(levels, diodes)
  throughResistors(levels, diodes, pulls)
  conclude(levels)
}

/** Strength 2: from strongly driven nets, through nets that are not. */
function throughDiodes(levels: NetLevels, diodes: DiodeNets): void {
  const { low3, high3, sure3, low2, high2, sureLow2, sureHigh2, open, seed } = levels
  const nets = open.length
  for (const words of [low2, high2, sureLow2, sureHigh2]) words.fill(0)
  if (diodes.anodes.length === 0) return
  for (let net = 0; net < nets; net++) open[net] = ~sure3[net]!
  spreadLow(levels, diodes, { arrived: low2, seed: low3 })
  spreadHigh(levels, diodes, { arrived: high2, seed: high3 })
  meetings(levels, diodes)
  // A low is sure to pass on only from a net that cannot be high.
  for (let net = 0; net < nets; net++) {
    open[net] = ~(high3[net]! | high2[net]!)
    seed[net] = sure3[net]! & ~high3[net]!
  }
  spreadLow(levels, diodes, { arrived: sureLow2, seed })
  for (let net = 0; net < nets; net++) {
    open[net] = ~(low3[net]! | low2[net]!)
    seed[net] = sure3[net]! & ~low3[net]!
  }
  spreadHigh(levels, diodes, { arrived: sureHigh2, seed })
}

/**
 * Diodes with a driven high at the anode and a driven low at the cathode, be it through further diodes: the first
 * diode of every such way.
 */
function meetings({ low3, high3, low2, open, fights }: NetLevels, { anodes, cathodes }: DiodeNets): void {
  for (let i = 0; i < anodes.length; i++) {
    const anode = anodes[i]!
    const cathode = cathodes[i]!
    fights[anode]! |= high3[anode]! & (low3[cathode]! | (low2[cathode]! & open[cathode]!))
  }
}

/**
 * Rows by net in which drivers of opposite levels meet whatever the unknown sources do. To be asked after
 * `resolveNets`, whose words for the lows that surely pass through diodes it uses up.
 */
export function certainFights(levels: NetLevels, diodes: DiodeNets, result: Int32Array): void {
  const { low3, high3, definiteLow, definiteHigh, sureLow2, open } = levels
  const { anodes, cathodes } = diodes
  for (let net = 0; net < result.length; net++) {
    result[net] = definiteLow[net]! & definiteHigh[net]!
    open[net] = ~(low3[net]! | high3[net]!)
  }
  sureLow2.fill(0)
  spreadLow(levels, diodes, { arrived: sureLow2, seed: definiteLow })
  for (let i = 0; i < anodes.length; i++) {
    const anode = anodes[i]!
    const cathode = cathodes[i]!
    result[anode]! |= definiteHigh[anode]! & (definiteLow[cathode]! | (sureLow2[cathode]! & open[cathode]!))
  }
}

/** Strength 1: resistors, and what they pass through diodes where nothing stronger holds the net. */
function throughResistors(levels: NetLevels, diodes: DiodeNets, pulls: Pulls): void {
  const { low3, high3, sure3, low2, high2, sureLow2, sureHigh2, low1, high1, sureLow1, sureHigh1, open, seed } =
    levels
  const nets = open.length
  for (const words of [low1, sureLow1]) words.set(pulls.low)
  for (const words of [high1, sureHigh1]) words.set(pulls.high)
  if (diodes.anodes.length === 0) return
  seed.fill(0)
  for (let net = 0; net < nets; net++) open[net] = ~(sure3[net]! | sureLow2[net]! | sureHigh2[net]!)
  spreadLow(levels, diodes, { arrived: low1, seed })
  spreadHigh(levels, diodes, { arrived: high1, seed })
  for (let net = 0; net < nets; net++) open[net] = ~(high3[net]! | high2[net]! | high1[net]!)
  spreadLow(levels, diodes, { arrived: sureLow1, seed })
  for (let net = 0; net < nets; net++) open[net] = ~(low3[net]! | low2[net]! | low1[net]!)
  spreadHigh(levels, diodes, { arrived: sureHigh1, seed })
}

interface Spreading {
  readonly arrived: Int32Array
  /** Passes on whatever has arrived. */
  readonly seed: Int32Array
}

/** The least words that contain what passes against the diodes; what has arrived passes on where a net is open. */
function spreadLow({ open, work }: NetLevels, { anodes, cathodes }: DiodeNets, { arrived, seed }: Spreading): void {
  for (let changed = true; changed;) {
    changed = false
    takeWork(work, anodes.length)
    for (let i = anodes.length - 1; i >= 0; i--)
      if (pass(arrived, anodes[i]!, seed[cathodes[i]!]! | (arrived[cathodes[i]!]! & open[cathodes[i]!]!)))
        changed = true
  }
}

/** The same along the diodes. */
function spreadHigh({ open, work }: NetLevels, { anodes, cathodes }: DiodeNets, { arrived, seed }: Spreading): void {
  for (let changed = true; changed;) {
    changed = false
    takeWork(work, anodes.length)
    for (let i = 0; i < anodes.length; i++)
      if (pass(arrived, cathodes[i]!, seed[anodes[i]!]! | (arrived[anodes[i]!]! & open[anodes[i]!]!))) changed = true
  }
}

function pass(arrived: Int32Array, net: number, passing: number): boolean {
  if ((passing & ~arrived[net]!) === 0) return false
  arrived[net]! |= passing
  return true
}

/** From the strongest down, what may be there is taken until something is there for sure. */
function conclude(levels: NetLevels): void {
  const {
    low3,
    high3,
    sure3,
    low2,
    high2,
    sureLow2,
    sureHigh2,
    low1,
    high1,
    sureLow1,
    sureHigh1,
    zero,
    one,
    floats,
  } = levels
  for (let net = 0; net < zero.length; net++) {
    let low = low3[net]!
    let high = high3[net]!
    let rest = ~sure3[net]!
    low |= rest & low2[net]!
    high |= rest & high2[net]!
    rest &= ~(sureLow2[net]! | sureHigh2[net]!)
    low |= rest & low1[net]!
    high |= rest & high1[net]!
    rest &= ~(sureLow1[net]! | sureHigh1[net]!)
    floats[net] = ~(low | high)
    zero[net] = low | rest
    one[net] = high | rest
  }
}
