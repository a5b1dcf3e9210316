/**
 * Vectors for a map with registers, one after the other from its start: first those that bring unknown registers to
 * known states, then at each state those that show most faults, then ways to states in which others show. Parts that
 * functions do not describe (loops, clocks made by terms) get levels as they come.
 */
import { withinLimit, type Node } from '../../logic/diagrams'
import { randomWords } from '../../logic/random-words'
import { prepareFast } from '../../logic/fast-logic'
import { X, type Ternary } from '../../logic/ternary'
import { FaultBench } from '../grade/fault-bench'
import type { FaultFunctions } from '../grade/fault-functions'
import type { Fault } from '../grade/faults'
import type { GradeTask } from '../grade/grade-task'
import { FastPart, type Conditions } from '../grade/live-part'
import { madeVector, type TesterPins } from './made-vector'
import { standing, stateConstants, stateMoves, stateNumber, surely, wayTo, type StateMoves, type Way } from './state-moves'

/** What making a sequence needs. */
export interface SequenceTask {
  readonly faults: readonly Fault[]
  readonly functions: FaultFunctions | null
  readonly pins: TesterPins
  readonly start: 'unknown' | 'power-up'
  readonly maxVectors: number
}

/** The vectors, and the cells whose registers never became known. */
export interface MadeSequence {
  readonly vectors: readonly Conditions[]
  readonly unknownCells: readonly number[]
}

/** Faults that are looked at for one vector: those that it shows besides are found by running it. */
const MAX_TARGETS = 192
/** Vectors that may go by without showing anything, where levels are given as they come. */
const MAX_IDLE = 48
/** Vectors that are given to bring parts together again: a shift register of ten takes ten. */
const MAX_GATHERING = 16
/** Times that a fault is aimed at before it is left: what it does may be covered at its pin. */
const MAX_AIMS = 3

class Maker {
  readonly task: SequenceTask
  readonly bench: FaultBench
  readonly vectors: Conditions[] = []
  readonly moves: StateMoves | null
  readonly #random = randomWords(1)
  readonly #aims = new Map<Fault, number>()
  readonly #unreachable = new Set<Fault>()
  /** A part that began with unknown states: what it knows hangs on no state before. */
  #shadow: FastPart | null = null
  readonly #steps: Parameters<typeof wayTo>[2] = new Map()

  constructor(grade: GradeTask, task: SequenceTask) {
    this.task = task
    this.bench = new FaultBench({ ...grade, start: task.start }, task.faults)
    const { functions, pins } = task
    this.moves = functions && functions.functions.loops.length === 0 ? withinLimit(() => stateMoves(functions, pins)) : null
  }

  get isFull(): boolean {
    return this.vectors.length >= this.task.maxVectors || this.bench.left.length === 0
  }

  unknownCells(): number[] {
    const states = this.bench.part.states()
    return this.task.pins.logic.cells.flatMap(({ register }, cell) => (register && states[cell] === X ? [cell] : []))
  }

  /** Adds a vector; the number of faults that it shows, or −1 where the part cannot be followed. */
  add(levelAt: (pin: number) => 0 | 1, pulsed: readonly number[], open: readonly number[] = []): number {
    const conditions = madeVector(this.bench.part, this.task.pins, { levelAt, pulsed, open })
    if (!conditions) return -1
    this.vectors.push(conditions)
    this.#shadow?.step(conditions)
    return this.bench.run(conditions).length
  }

  /** Levels of a cube of variables; those that it leaves open as they come. */
  levelsOf(cube: Uint8Array): (pin: number) => 0 | 1 {
    const others = new Map<number, 0 | 1>()
    return (pin) => {
      const level = cube[this.moves!.indexOfPin(pin)]
      if (level === 0 || level === 1) return level
      if (!others.has(pin)) others.set(pin, this.coin())
      return others.get(pin)!
    }
  }

  coin(): 0 | 1 {
    return (this.#random() >>> 31) as 0 | 1
  }

  /** A vector of levels as they come, a clock pulsed as often as not. */
  addRandom(): number {
    const { clocks, shared } = this.task.pins
    const levels = new Map<number, 0 | 1>()
    const levelAt = (pin: number): 0 | 1 => {
      if (!levels.has(pin)) levels.set(pin, this.coin())
      return levels.get(pin)!
    }
    const pulsed = clocks.length > 0 && this.coin() ? [clocks[this.#random() % clocks.length]!] : []
    const open = this.#random() >>> 30 === 0 ? shared : []
    return this.add(levelAt, pulsed, open)
  }

  /** Brings registers to known states; ends when all are, or nothing helps any more. */
  synchronise(): void {
    for (let idle = 0; idle < MAX_IDLE && this.unknownCells().length > 0 && !this.isFull; ) {
      const before = this.unknownCells().length
      const best = this.moves && withinLimit(() => this.#settling(this.moves!, this.bench.part.states()))
      const random = !best || idle % 2 === 1
      if ((random ? this.addRandom() : this.add(this.levelsOf(best.cube), best.pulsed)) < 0) return
      idle = this.unknownCells().length < before ? 0 : idle + 1
    }
  }

  /**
   * Brings parts with faults that have gone elsewhere back to where the map is: by moves after which states are known
   * whatever they were. False where that brought none back.
   */
  #gather(moves: StateMoves): boolean {
    const apart = (): number => this.#open().filter((fault) => !this.bench.isTogether(fault)).length
    const before = apart()
    const fast = prepareFast(this.task.pins.logic)
    if (before === 0 || !fast) return false
    this.#shadow = new FastPart(fast, 'unknown')
    for (let step = 0; step < MAX_GATHERING && !this.isFull; step++) {
      const states = this.#shadow.states()
      if (moves.bits.length === 0 || !this.task.pins.logic.cells.some(({ register }, i) => register && states[i] === X)) break
      const best = withinLimit(() => this.#settling(moves, states))
      if (!best || this.add(this.levelsOf(best.cube), best.pulsed) < 0) break
    }
    this.#shadow = null
    return apart() < before
  }

  /** The move after which most registers are known for sure, with outputs on where that is possible. */
  #settling(moves: StateMoves, states: readonly Ternary[]): (Way & { readonly count: number }) | null {
    const { diagrams, bits } = moves
    const here = standing(moves, this.task.pins, states)
    const first = bits.filter(({ variable }) => here[variable] === undefined)
    const order = [...first, ...bits.filter((bit) => !first.includes(bit))]
    let best: (Way & { readonly count: number }) | null = null
    for (const { levels, pulsed } of moves.moves) {
      let all: Node = surely(moves, diagrams.not(levels.open), here)
      let count = 0
      for (const { variable } of order) {
        const next = levels.levels[variable] ?? diagrams.variable(variable)
        const known = diagrams.or(surely(moves, next, here), surely(moves, diagrams.not(next), here))
        const both = diagrams.and(all, known)
        if (both === 0) continue
        all = both
        count++
      }
      if (all === 0 || (best && count <= best.count)) continue
      best = { cube: diagrams.shortestCube(this.#withOutputsOn(moves, all, here))!, pulsed, count }
    }
    return best
  }

  /** Of some levels those under which as many outputs as possible are on: only these can show anything. */
  #withOutputsOn(moves: StateMoves, levels: Node, here: readonly (Node | undefined)[]): Node {
    const { diagrams } = moves
    return this.task.functions!.functions.outputs.reduce((all, { pin, enable }) => {
      const both = pin === null || enable === 0 ? 0 : diagrams.and(all, surely(moves, enable, here))
      return both === 0 ? all : both
    }, levels)
  }

  /** Shows faults from known states, until none is left that anything is known to show. */
  aim(): void {
    const { moves } = this
    if (!moves) return
    while (!this.isFull) {
      const open = this.#open()
      if (open.length === 0) return
      const best = withinLimit(() => this.#showing(moves, open))
      if (best === null || best === undefined) {
        if (this.#travel(moves, open) || this.#gather(moves)) continue
        return
      }
      const shown = this.add(this.levelsOf(best.cube), best.pulsed, best.open)
      if (shown < 0) return
      for (const fault of best.faults) this.#aims.set(fault, (this.#aims.get(fault) ?? 0) + 1)
    }
  }

  #open(): Fault[] {
    return this.bench.left.filter((fault) => (this.#aims.get(fault) ?? 0) < MAX_AIMS && !this.#unreachable.has(fault))
  }

  /** The vector that shows most of the faults at once, from where the part stands. */
  #showing(
    moves: StateMoves,
    faults: readonly Fault[],
  ): (Way & { readonly faults: readonly Fault[]; readonly open: readonly number[] }) | undefined {
    const { diagrams } = moves
    const { functions, pins } = this.task
    const here = standing(moves, pins, this.bench.part.states())
    const clock = pins.clocks[0]
    let best: { readonly all: Node; readonly faults: readonly Fault[]; readonly pulsed: readonly number[] } | undefined
    for (const kind of ['taken', 'seen'] as const) {
      if (kind === 'taken' && clock === undefined) continue
      let all: Node = 1
      const aimed: Fault[] = []
      for (const fault of faults.slice(0, MAX_TARGETS)) {
        const differences = functions!.differencesOf(fault)
        if (typeof differences === 'string' || !this.bench.isTogether(fault)) continue
        const shows = surely(moves, differences[kind], here)
        const both = shows === 0 ? 0 : diagrams.and(all, shows)
        if (both === 0) continue
        all = both
        aimed.push(fault)
      }
      if (aimed.length > (best?.faults.length ?? 0))
        best = { all, faults: aimed, pulsed: kind === 'taken' ? [clock!] : [] }
    }
    if (!best) return undefined
    const open = best.faults.flatMap(({ pin }) => (pin !== null && pins.shared.includes(pin) ? [pin] : []))
    const again = best.faults.some((fault) => (this.#aims.get(fault) ?? 0) % 2 === 1)
    const levels = again ? best.all : this.#withOutputsOn(moves, best.all, here)
    return { cube: diagrams.shortestCube(levels)!, pulsed: best.pulsed, faults: best.faults, open: again ? open : [] }
  }

  /** Goes to a state in which some fault shows; false where no way leads on for any that is left. */
  #travel(moves: StateMoves, faults: readonly Fault[]): boolean {
    const { diagrams } = moves
    const some = faults.slice(0, MAX_TARGETS)
    const differences = some.flatMap((fault) => {
      const found = this.task.functions!.differencesOf(fault)
      return typeof found === 'string' || !this.bench.isTogether(fault) ? [] : [found]
    })
    const way =
      this.unknownCells().length > 0 || differences.length === 0
        ? null
        : withinLimit(() => {
            const any = differences.reduce<Node>((all, { seen, taken }) => diagrams.or(all, diagrams.or(seen, taken)), 0)
            const from = stateNumber(moves, standing(moves, this.task.pins, this.bench.part.states()))
            const wanted = (state: number): boolean => diagrams.substitute(any, stateConstants(moves, state)) !== 0
            return wayTo(moves, { from, wanted }, this.#steps)
          })
    if (!way) {
      const gone = some.filter((fault) => this.bench.isTogether(fault))
      for (const fault of gone) this.#unreachable.add(fault)
      return gone.length > 0
    }
    for (const { cube, pulsed } of way) if (this.isFull || this.add(this.levelsOf(cube), pulsed) < 0) return false
    return true
  }

  /** Levels as they come, as long as they show something now and then. */
  wander(): void {
    for (let idle = 0; idle < MAX_IDLE && !this.isFull; ) {
      const shown = this.addRandom()
      if (shown < 0) return
      idle = shown > 0 ? 0 : idle + 1
    }
  }
}

/** Makes a sequence. */
export function makeSequence(grade: GradeTask, task: SequenceTask): MadeSequence {
  const maker = new Maker(grade, task)
  maker.synchronise()
  const unknownCells = maker.unknownCells()
  maker.aim()
  maker.wander()
  return { vectors: maker.vectors, unknownCells }
}
