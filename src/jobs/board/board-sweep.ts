/** A board prepared for sweeping its outside inputs, 32 rows at a time. */
import { COLUMN_BITS } from '../../logic/words'
import { isBypassed, usedSignals, expressionsOf, type Logic } from '../../logic/logic'
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
  orderDiodes,
  resolveNets,
  type DiodeNets,
  type NetLevels,
  type Pulls,
} from './board-levels'
import { columnsOf, type Network, type NetworkPin } from './board-network'
import { takeWork, type Work } from './board-work'

/** A part ready for sweeping. */
export interface SweptPart extends PreparedLogic {
  readonly nets: readonly number[]
  /** What each output does now. */
  readonly drives: readonly DriveWords[]
  readonly outputNets: readonly number[]
  /** Rows by place of the sweep in which an unknown reading or state is taken as low, and as high. */
  readonly takenLow: Int32Array
  readonly takenHigh: Int32Array
  /** True before its outputs were worked out for these rows. */
  fresh: boolean
}

/** What is worked out once for a part, and used for the board and for each of its faults. */
interface PreparedLogic {
  readonly sweep: Sweep
  /** What each output does whatever its inputs are. */
  readonly constant: readonly DriveWords[]
  /** Pins that it reads, and places of the states of its registers. */
  readonly pins: readonly number[]
  readonly states: readonly number[]
  /** Steps of working out its outputs once. */
  readonly cost: number
}

/** Prepared parts by their logic. */
export type PreparedParts = Map<Logic, PreparedLogic>

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
  readonly work: Work
}

/** Prepares a board. `prepared`: what is known of its parts already. */
export function prepareBoard(network: Network, work: Work, prepared: PreparedParts = new Map()): BoardSweep {
  const { inputs, outputs } = columnsOf(network)
  const words = (): Int32Array => new Int32Array(outputs.length)
  return {
    network,
    parts: network.parts.map((part) => sweptPart(part, prepared)),
    levels: createNetLevels(network.netNames.length, work),
    diodes: orderDiodes(network.diodes),
    pulls: pullsOf(network),
    inputs,
    outputs,
    rowCount: 2 ** inputs.length,
    own: { low: words(), high: words(), sure: words() },
    scratch: createDriveWords(),
    work,
  }
}

function sweptPart({ logic, nets }: Network['parts'][number], known: PreparedParts): SweptPart {
  const prepared = known.get(logic) ?? preparedLogic(logic)
  known.set(logic, prepared)
  const places = (): Int32Array => new Int32Array(prepared.sweep.zero.length)
  return {
    ...prepared,
    nets,
    pins: prepared.pins.filter((pin) => nets[pin]! >= 0),
    drives: logic.cells.map(createDriveWords),
    outputNets: logic.cells.map(({ pin }) => (pin === null ? -1 : nets[pin]!)),
    takenLow: places(),
    takenHigh: places(),
    fresh: true,
  }
}

function preparedLogic(logic: Logic): PreparedLogic {
  const sweep = prepareSweep(logic)
  const constant = logic.cells.map((_, i) => {
    const drive = createDriveWords()
    driveWords(sweep, i, drive)
    return drive
  })
  const states = logic.cells.flatMap((output, i) =>
    output.register && !isBypassed(output) ? [logic.pinCount + 1 + i] : [],
  )
  const codes = [...sweep.enables, ...sweep.values].reduce((sum, code) => sum + (code?.length ?? 0), 0)
  return { sweep, constant, pins: readPins(logic), states, cost: codes + logic.cells.length }
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
  for (const part of board.parts) startPart(part)
  for (let changed = true; changed;) {
    takeWork(board.work, board.levels.zero.length + board.network.outside.length)
    applySources(board, word)
    resolveNets(board.levels, board.diodes, board.pulls)
    changed = false
    for (const part of board.parts) if (redrive(part, board)) changed = true
  }
}

/** Takes a part back to where nothing is known of its inputs. */
function startPart(part: SweptPart): void {
  const { drives, constant, sweep, states, takenLow, takenHigh } = part
  for (let i = 0; i < drives.length; i++) copyDrive(drives[i]!, constant[i]!)
  for (const place of states) {
    sweep.zero[place] = ~takenHigh[place]!
    sweep.one[place] = ~takenLow[place]!
  }
  part.fresh = true
}

function copyDrive(to: DriveWords, from: DriveWords): void {
  to.enable.zero = from.enable.zero
  to.enable.one = from.enable.one
  to.value.zero = from.value.zero
  to.value.one = from.value.one
}

/** Lets a part see its nets; true where one of its outputs does something else than before. */
function redrive(part: SweptPart, board: BoardSweep): boolean {
  if (!readNets(part, board.levels)) return false
  takeWork(board.work, part.cost)
  let changed = false
  for (let i = 0; i < part.drives.length; i++) {
    const drive = part.drives[i]!
    driveWords(part.sweep, i, board.scratch)
    if (isSame(board.scratch, drive)) continue
    copyDrive(drive, board.scratch)
    changed = true
  }
  return changed
}

/** Takes the levels of the nets; false where the part has worked on the same ones already. */
function readNets(part: SweptPart, { zero, one }: NetLevels): boolean {
  const { sweep, nets, pins, takenLow, takenHigh } = part
  let changed = part.fresh
  part.fresh = false
  for (const pin of pins) {
    const net = nets[pin]!
    const [low, high] = [takenLow[pin]!, takenHigh[pin]!]
    const nextZero = (zero[net]! | low) & ~high
    const nextOne = (one[net]! | high) & ~low
    if (nextZero === sweep.zero[pin] && nextOne === sweep.one[pin]) continue
    sweep.zero[pin] = nextZero
    sweep.one[pin] = nextOne
    changed = true
  }
  return changed
}

function isSame(a: DriveWords, b: DriveWords): boolean {
  return (
    a.enable.zero === b.enable.zero &&
    a.enable.one === b.enable.one &&
    a.value.zero === b.value.zero &&
    a.value.one === b.value.one
  )
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
