/** A board prepared for sweeping its outside inputs, 32 rows at a time. */
import { COLUMN_BITS } from '../../logic/words'
import { usedSignals, expressionsOf, type Logic } from '../../logic/logic'
import { netlistOf } from '../../logic/netlist'
import {
  createDriveWords,
  driveWords,
  prepareSweep,
  ROWS_AT_ONCE,
  type DriveWords,
  type Sweep,
} from '../../logic/sweep'
import {
  addSource,
  clearSources,
  createNetLevels,
  resolveNets,
  type DiodeNets,
  type NetLevels,
  type Pulls,
} from './board-levels'
import { columnsOf, type Network, type NetworkPin } from './board-network'

interface SweptPart {
  readonly sweep: Sweep
  readonly nets: readonly number[]
  /** What each output does now, and what it does whatever its inputs are. */
  readonly drives: readonly DriveWords[]
  readonly constant: readonly DriveWords[]
  /** Signal pins, and the nets of the outputs in their order. */
  readonly pins: readonly number[]
  readonly outputNets: readonly number[]
}

/** A board with room for 32 rows. */
export interface BoardSweep {
  readonly network: Network
  readonly parts: readonly SweptPart[]
  readonly levels: NetLevels
  readonly diodes: DiodeNets
  readonly pulls: Pulls
  readonly inputs: readonly NetworkPin[]
  readonly outputs: readonly NetworkPin[]
  readonly rowCount: number
  /** By output of the board: what its parts drive onto the net of a pin that is an input too. */
  readonly own: { readonly low: Int32Array; readonly high: Int32Array; readonly sure: Int32Array }
  readonly scratch: DriveWords
}

/** Prepares a board. */
export function prepareBoard(network: Network): BoardSweep {
  const { inputs, outputs } = columnsOf(network)
  const words = (): Int32Array => new Int32Array(outputs.length)
  return {
    network,
    parts: network.parts.map(sweptPart),
    levels: createNetLevels(network.netNames.length),
    diodes: {
      anodes: Int32Array.from(network.diodes, ({ anode }) => anode),
      cathodes: Int32Array.from(network.diodes, ({ cathode }) => cathode),
    },
    pulls: pullsOf(network),
    inputs,
    outputs,
    rowCount: 2 ** inputs.length,
    own: { low: words(), high: words(), sure: words() },
    scratch: createDriveWords(),
  }
}

function sweptPart({ logic, nets }: Network['parts'][number]): SweptPart {
  const sweep = prepareSweep(logic)
  const pins = nets.flatMap((net, pin) =>
    net >= 0 && pin <= logic.pinCount && !logic.supplyPins.includes(pin) ? [pin] : [],
  )
  const constant = logic.cells.map((_, i) => {
    const drive = createDriveWords()
    driveWords(sweep, i, drive)
    return drive
  })
  return {
    sweep,
    nets,
    pins,
    constant,
    drives: logic.cells.map(createDriveWords),
    outputNets: logic.cells.map(({ pin }) => (pin === null ? -1 : nets[pin]!)),
  }
}

function pullsOf({ netNames, resistors, parts, internalPullUps }: Network): Pulls {
  const [low, high] = [new Int32Array(netNames.length), new Int32Array(netNames.length)]
  for (const { net, to } of resistors) (to === 'supply' ? high : low)[net] = -1
  if (internalPullUps)
    for (const { logic, nets } of parts)
      nets.forEach((net, pin) => (net >= 0 && !logic.supplyPins.includes(pin) ? (high[net] = -1) : 0))
  return { low, high }
}

/** Works out the 32 rows of a word: row r applies bit k of r to input k. */
export function settleBoard(board: BoardSweep, word: number): void {
  for (const { drives, constant } of board.parts)
    for (let i = 0; i < drives.length; i++) copyDrive(drives[i]!, constant[i]!)
  for (let changed = true; changed;) {
    applySources(board, word)
    resolveNets(board.levels, board.diodes, board.pulls)
    changed = false
    for (const part of board.parts) if (redrive(part, board)) changed = true
  }
}

function copyDrive(to: DriveWords, from: DriveWords): void {
  to.enable.zero = from.enable.zero
  to.enable.one = from.enable.one
  to.value.zero = from.value.zero
  to.value.one = from.value.one
}

/** Lets a part see its nets; true where one of its outputs does something else than before. */
function redrive({ sweep, nets, pins, drives }: SweptPart, { levels, scratch }: BoardSweep): boolean {
  for (const pin of pins) {
    const net = nets[pin]!
    sweep.zero[pin] = levels.zero[net]!
    sweep.one[pin] = levels.one[net]!
  }
  let changed = false
  for (let i = 0; i < drives.length; i++) {
    const drive = drives[i]!
    driveWords(sweep, i, scratch)
    const { enable, value } = scratch
    if (
      enable.zero === drive.enable.zero &&
      enable.one === drive.enable.one &&
      value.zero === drive.value.zero &&
      value.one === drive.value.one
    )
      continue
    copyDrive(drive, scratch)
    changed = true
  }
  return changed
}

/** Puts outputs, then outside levels on their nets. */
function applySources(board: BoardSweep, word: number): void {
  const { parts, levels, network, inputs } = board
  clearSources(levels)
  for (const { drives, outputNets } of parts)
    for (let i = 0; i < drives.length; i++) {
      const { enable, value } = drives[i]!
      if (enable.one !== 0)
        addSource(levels, outputNets[i]!, {
          low: enable.one & value.zero,
          high: enable.one & value.one,
          sure: ~enable.zero,
        })
    }
  keepOwn(board)
  for (const { net, direction, held } of network.outside) {
    if (direction === 'supply' || held === 1) addSource(levels, net, { low: 0, high: -1, sure: -1 })
    if (direction === 'ground' || held === 0) addSource(levels, net, { low: -1, high: 0, sure: -1 })
  }
  for (let k = 0; k < inputs.length; k++) {
    const high = k < COLUMN_BITS.length ? COLUMN_BITS[k]! : -((word >>> (k - COLUMN_BITS.length)) & 1)
    applyInput(levels, inputs[k]!, high)
  }
}

/** An outside level. At a pin that is an output too it is there only while no part drives the net. */
function applyInput(levels: NetLevels, { net, direction }: NetworkPin, high: number): void {
  if (direction !== 'both') return addSource(levels, net, { low: ~high, high, sure: -1 })
  const free = ~levels.sure3[net]!
  const sure = ~(levels.low3[net]! | levels.high3[net]!)
  levels.low3[net]! |= free & ~high
  levels.high3[net]! |= free & high
  levels.sure3[net]! |= sure
  levels.definiteLow[net]! |= sure & ~high
  levels.definiteHigh[net]! |= sure & high
}

function keepOwn({ outputs, levels, own }: BoardSweep): void {
  for (let i = 0; i < outputs.length; i++) {
    if (outputs[i]!.direction !== 'both') continue
    const { net } = outputs[i]!
    own.low[i] = levels.low3[net]!
    own.high[i] = levels.high3[net]!
    own.sure[i] = levels.sure3[net]!
  }
}

/** Levels of an output of the board as a table has them: `ones` alone 1, `open` alone off, both unknown. */
export function outputWords(
  { outputs, levels, own }: BoardSweep,
  index: number,
  result: { ones: number; open: number },
): void {
  const { net, direction } = outputs[index]!
  if (direction === 'both') {
    const [low, high, sure] = [own.low[index]!, own.high[index]!, own.sure[index]!]
    const off = ~(low | high)
    const unknown = ~off & (~sure | (low & high))
    result.ones = (high & sure) | unknown
    result.open = off | unknown
    return
  }
  const floats = levels.floats[net]!
  const unknown = levels.zero[net]! & levels.one[net]! & ~floats
  result.ones = (levels.one[net]! & ~floats) | unknown
  result.open = floats | unknown
}

/** Words of a table of so many rows, and the rows that count in the last of them. */
export function wordsOf(rowCount: number): { readonly count: number; readonly within: number } {
  return { count: Math.max(1, rowCount / ROWS_AT_ONCE), within: rowCount < ROWS_AT_ONCE ? 2 ** rowCount - 1 : -1 }
}

/** Pins that some output of a part can depend on. */
export function readPins(logic: Logic): number[] {
  const { drives } = netlistOf(logic)
  const live = logic.cells.filter(({ register }, i) => register || drives[i] !== 'never')
  const signals = usedSignals(live.flatMap(expressionsOf)).map((signal) => logic.signals[signal]!)
  return [...new Set(signals.flatMap((signal) => (signal.kind === 'pin' ? [signal.pin] : [])))].sort((a, b) => a - b)
}
