/**
 * Levels of the nets of a board, 32 rows at a time. Three strengths: 3 an output or what drives an outside pin, 2 the
 * same through a diode, 1 a resistor or an internal pull-up, through diodes too. A diode passes a low from its
 * cathode's
 * net to its anode's and a high the other way. For each strength a net has words for what may be there and for what is
 * there for sure, so that an unknown source gives X only where its two values differ in effect.
 */

/** Diodes as nets, in the order of the board. */
export interface DiodeNets {
  readonly anodes: Int32Array
  readonly cathodes: Int32Array
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
}

/** Room for the levels of so many nets. */
export function createNetLevels(nets: number): NetLevels {
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
  const { anodes, cathodes } = diodes
  const nets = open.length
  for (const words of [low2, high2, sureLow2, sureHigh2]) words.fill(0)
  if (anodes.length === 0) return
  for (let net = 0; net < nets; net++) open[net] = ~sure3[net]!
  spread(low2, { from: cathodes, to: anodes, seed: low3, open })
  spread(high2, { from: anodes, to: cathodes, seed: high3, open })
  meetings(levels, diodes)
  // A low is sure to pass on only from a net that cannot be high.
  for (let net = 0; net < nets; net++) {
    open[net] = ~(high3[net]! | high2[net]!)
    seed[net] = sure3[net]! & ~high3[net]!
  }
  spread(sureLow2, { from: cathodes, to: anodes, seed, open })
  for (let net = 0; net < nets; net++) {
    open[net] = ~(low3[net]! | low2[net]!)
    seed[net] = sure3[net]! & ~low3[net]!
  }
  spread(sureHigh2, { from: anodes, to: cathodes, seed, open })
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
 * `resolveNets`,
 * whose words for the lows that surely pass through diodes it uses up.
 */
export function certainFights(
  { low3, high3, definiteLow, definiteHigh, sureLow2, open }: NetLevels,
  { anodes, cathodes }: DiodeNets,
  result: Int32Array,
): void {
  for (let net = 0; net < result.length; net++) {
    result[net] = definiteLow[net]! & definiteHigh[net]!
    open[net] = ~(low3[net]! | high3[net]!)
  }
  sureLow2.fill(0)
  spread(sureLow2, { from: cathodes, to: anodes, seed: definiteLow, open })
  for (let i = 0; i < anodes.length; i++) {
    const anode = anodes[i]!
    const cathode = cathodes[i]!
    result[anode]! |= definiteHigh[anode]! & (definiteLow[cathode]! | (sureLow2[cathode]! & open[cathode]!))
  }
}

/** Strength 1: resistors, and what they pass through diodes where nothing stronger holds the net. */
function throughResistors(levels: NetLevels, { anodes, cathodes }: DiodeNets, pulls: Pulls): void {
  const { low3, high3, sure3, low2, high2, sureLow2, sureHigh2, low1, high1, sureLow1, sureHigh1, open, seed } =
    levels
  const nets = open.length
  for (const words of [low1, sureLow1]) words.set(pulls.low)
  for (const words of [high1, sureHigh1]) words.set(pulls.high)
  if (anodes.length === 0) return
  seed.fill(0)
  for (let net = 0; net < nets; net++) open[net] = ~(sure3[net]! | sureLow2[net]! | sureHigh2[net]!)
  spread(low1, { from: cathodes, to: anodes, seed, open })
  spread(high1, { from: anodes, to: cathodes, seed, open })
  for (let net = 0; net < nets; net++) open[net] = ~(high3[net]! | high2[net]! | high1[net]!)
  spread(sureLow1, { from: cathodes, to: anodes, seed, open })
  for (let net = 0; net < nets; net++) open[net] = ~(low3[net]! | low2[net]! | low1[net]!)
  spread(sureHigh1, { from: anodes, to: cathodes, seed, open })
}

interface Spreading {
  readonly from: Int32Array
  readonly to: Int32Array
  /** Passes on whatever has arrived. */
  readonly seed: Int32Array
  /** Where what has arrived passes on. */
  readonly open: Int32Array
}

/** The least words that contain what passes through the diodes. */
function spread(arrived: Int32Array, { from, to, seed, open }: Spreading): void {
  for (let changed = true; changed;) {
    changed = false
    for (let i = 0; i < from.length; i++) {
      const source = from[i]!
      const target = to[i]!
      const passing = seed[source]! | (arrived[source]! & open[source]!)
      if ((passing & ~arrived[target]!) === 0) continue
      arrived[target]! |= passing
      changed = true
    }
  }
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
