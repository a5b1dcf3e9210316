/**
 * Vectors for a map with registers, one after the other from its start: first those that bring unknown registers to
 * known states, then at each state those that show most faults, then ways to states in which others show. Parts that
 * functions do not describe (loops, clocks made by terms) get levels as they come.
 */
import type { Pieces } from '../../arguments/pieces'
import type { Watch } from '../../arguments/watch'
import { withinWork, type Work } from '../../arguments/work'
import { withinLimit, type Node } from '../../logic/diagrams'
import { prepareFast } from '../../logic/fast-logic'
import { randomWords } from '../../logic/random-words'
import { X, type Ternary } from '../../logic/ternary'
import { FaultBench } from '../grade/fault-bench'
import { rowLiterals, type Fault } from '../grade/faults'
import type { GradeTask } from '../grade/grade-task'
import { FastPart, type Conditions } from '../grade/live-part'
import { madeVector, type TesterPins, type Wanted } from './made-vector'
import {
  placeAt,
  shownStates,
  stepsFrom,
  surely,
  type PartInState,
  type ShownStates,
  type NextState,
  type Way,
} from './state-moves'

/** What making a sequence needs. */
export interface SequenceTask {
  readonly faults: readonly Fault[]
  /** False where functions do not describe the part: levels are given as they come. */
  readonly described: boolean
  readonly maxNodes: number
  readonly pins: TesterPins
  readonly start: 'unknown' | 'power-up'
  readonly maxVectors: number
  readonly watch: Watch | null
  readonly work: Work
}

/** The vectors, and the cells whose registers never became known. */
export interface MadeSequence {
  readonly vectors: readonly Conditions[]
  readonly unknownCells: readonly number[]
  /** False where the steps did not suffice. */
  readonly complete: boolean
}

/** Faults that are looked at for one vector: those that it shows besides are found by running it. */
const MAX_TARGETS = 192
/** Faults that are tried for one vector: of 5,000, those of the first rows fill it. */
const MAX_SCANNED = 1024
/** Vectors taken by parts on the reference simulation, some 80 µs each. */
const MAX_SLOW_STEPS = 150_000
/** Times that all is tried again from where levels as they come have led. */
const MAX_ROUNDS = 4
/** Vectors that may go by without showing anything, where levels are given as they come. */
const MAX_IDLE = 48
/** Vectors that are given to bring parts together again: a shift register of ten takes ten. */
const MAX_GATHERING = 16
/** Times that a fault is aimed at before it is left: what it does may be covered at its pin. */
const MAX_AIMS = 3
/** States that one search for a way looks at. */
const MAX_SEARCHED = 256
/** Places whose functions are kept: a machine of eight registers has as many states. */
const MAX_PLACES = 256

/** What is aimed at from a place. */
interface Aim extends Way {
  readonly faults: readonly Fault[]
  readonly open: readonly number[]
}

class Maker {
  readonly task: SequenceTask
  readonly bench: FaultBench
  readonly vectors: Conditions[] = []
  /** How many vectors there are up to the last one that showed something. */
  lastShowing = 0
  readonly #grade: GradeTask
  readonly #literals: ReturnType<typeof rowLiterals>
  readonly #random = randomWords(1)
  readonly #aims = new Map<Fault, number>()
  readonly #unreachable = new Set<Fault>()
  readonly #places = new Map<string, PartInState | null>()
  /** A part that began with unknown states: what it knows hangs on no state before. */
  #shadow: FastPart | null = null

  constructor(grade: GradeTask, task: SequenceTask) {
    this.#grade = grade
    this.task = task
    this.#literals = rowLiterals(grade.decoded, grade.fuses)
    this.bench = new FaultBench({ ...grade, start: task.start }, task.faults)
  }

  get isFull(): boolean {
    const { left, slowSteps } = this.bench
    return this.vectors.length >= this.task.maxVectors || left.length === 0 || slowSteps >= MAX_SLOW_STEPS
  }

  unknownCells(): number[] {
    return unknownIn(this.task.pins, this.bench.part.states())
  }

  #placeAt(states: ShownStates): PartInState | null {
    if (!this.task.described) return null
    const key = states.map((state) => state ?? '-').join('')
    const known = this.#places.get(key)
    if (known !== undefined) return known
    if (this.#places.size >= MAX_PLACES) this.#places.clear()
    const { pins, maxNodes } = this.task
    const place = withinLimit(() => placeAt(this.#grade, { pins, maxNodes, literals: this.#literals }, states))
    this.#places.set(key, place)
    return place
  }

  #here(): PartInState | null {
    return this.#placeAt(shownStates(this.task.pins, this.bench.part.states()))
  }

  /** Adds a vector; the number of faults that it shows, or −1 where the part cannot be followed. */
  add(wanted: Wanted): number {
    const { faults, watch } = this.task
    watch?.('vectors', faults.length - this.bench.left.length, faults.length)
    const conditions = madeVector(this.bench.part, this.task.pins, wanted)
    if (!conditions) return -1
    this.vectors.push(conditions)
    this.#shadow?.step(conditions)
    const shown = this.bench.run(conditions).length
    if (shown > 0) this.lastShowing = this.vectors.length
    return shown
  }

  #addWay({ functions: { space } }: PartInState, { cube, pulsed }: Way, open: readonly number[] = []): number {
    const others = new Map<number, 0 | 1>()
    const levelAt = (pin: number): 0 | 1 => {
      const level = cube[space.indexOf('pin', String(pin))]
      if (level === 0 || level === 1) return level
      if (!others.has(pin)) others.set(pin, this.#coin())
      return others.get(pin)!
    }
    const shown = this.add({ levelAt, pulsed, open })
    // What shows while a clock is high: the same levels again, so that at the edge nothing else moves.
    const high = this.task.pins.clocks.filter((pin) => cube[space.indexOf('pin', String(pin))] === 1)
    if (shown < 0 || pulsed.length > 0 || high.length === 0) return shown
    return this.add({ levelAt, pulsed, open, high })
  }

  #coin(): 0 | 1 {
    return (this.#random() >>> 31) as 0 | 1
  }

  /** A vector of levels as they come, a clock pulsed as often as not. */
  addRandom(): number {
    const { clocks, shared } = this.task.pins
    const levels = new Map<number, 0 | 1>()
    const levelAt = (pin: number): 0 | 1 => {
      if (!levels.has(pin)) levels.set(pin, this.#coin())
      return levels.get(pin)!
    }
    const pulsed = clocks.length > 0 && this.#coin() ? [clocks[(this.#random() >>> 8) % clocks.length]!] : []
    const open = this.#random() >>> 30 === 0 ? shared : []
    return this.add({ levelAt, pulsed, open })
  }

  /** Brings registers to known states; ends when all are, or nothing helps any more. */
  *synchronise(): Pieces<void> {
    for (let idle = 0; idle < MAX_IDLE && this.unknownCells().length > 0 && !this.isFull; ) {
      const before = this.unknownCells().length
      const place = idle % 2 === 1 ? null : this.#here()
      const way = place && withinLimit(() => this.#settling(place))
      if ((place && way ? this.#addWay(place, way) : this.addRandom()) < 0) return
      idle = this.unknownCells().length < before ? 0 : idle + 1
      yield
    }
  }

  /**
   * Brings parts with faults that have gone elsewhere back to where the map is: by moves after which states are known
   * whatever they were. False where that brought none back.
   */
  #gather(): boolean {
    const { pins } = this.task
    const apart = (): number => this.#open().filter((fault) => !this.bench.isTogether(fault)).length
    const before = apart()
    const fast = prepareFast(pins.logic)
    if (before === 0 || !fast) return false
    const shadow = (this.#shadow = new FastPart(fast, 'unknown', 'reference'))
    for (let step = 0; step < MAX_GATHERING && !this.isFull; step++) {
      if (unknownIn(pins, shadow.states()).length === 0) break
      const place = this.#placeAt(shownStates(pins, shadow.states()))
      const way = place && withinLimit(() => this.#settling(place))
      if (!place || !way || this.#addWay(place, way) < 0) break
    }
    this.#shadow = null
    return apart() < before
  }

  /** The move after which most registers are known for sure, with outputs on where that is possible. */
  #settling(place: PartInState): Way | null {
    const { diagrams, moves, unknown, bits } = place
    const order = bits.map((_, i) => i).sort((a, b) => rank(b) - rank(a))
    function rank(i: number): number {
      return unknown.includes(bits[i]!.variable) ? 1 : 0
    }
    let best: (Way & { readonly count: number }) | null = null
    for (const { levels, pulsed, open } of moves) {
      let all: Node = surely(place, diagrams.not(open))
      let count = 0
      for (const i of order) {
        const known = diagrams.or(surely(place, levels[i]!), surely(place, diagrams.not(levels[i]!)))
        const both = diagrams.and(all, known)
        if (both === 0) continue
        all = both
        count++
      }
      if (all === 0 || (best && count <= best.count)) continue
      best = { cube: diagrams.shortestCube(withOutputsOn(place, all))!, pulsed, count }
    }
    return best
  }

  /** Shows faults, and goes on to states in which others show, until none is left that anything is known to show. */
  *aim(): Pieces<void> {
    for (; !this.isFull; yield) {
      const faults = this.#open()
      const place = this.#here()
      if (faults.length === 0 || !place) return
      const aim = withinLimit(() => this.#aimFrom(place, faults))
      if (!aim) {
        if (this.#travel(faults) || this.#gather()) continue
        return
      }
      if (this.#addWay(place, aim, aim.open) < 0) return
      for (const fault of aim.faults) this.#aims.set(fault, (this.#aims.get(fault) ?? 0) + 1)
    }
  }

  /** Forgets what was found out of reach. */
  again(): void {
    this.#aims.clear()
    this.#unreachable.clear()
  }

  #open(): Fault[] {
    return this.bench.left.filter((fault) => (this.#aims.get(fault) ?? 0) < MAX_AIMS && !this.#unreachable.has(fault))
  }

  /** The vector that shows most of the faults at once, from where the part stands. */
  #aimFrom(place: PartInState, faults: readonly Fault[]): Aim | null {
    const { diagrams, functions } = place
    const { clocks, shared } = this.task.pins
    const together = faults.filter((fault) => this.bench.isTogether(fault)).slice(0, MAX_SCANNED)
    let best: (Omit<Aim, 'cube' | 'open'> & { readonly all: Node }) | null = null
    for (const kind of ['taken', 'seen'] as const) {
      if (kind === 'taken' && clocks.length === 0) continue
      let all: Node = 1
      const aimed: Fault[] = []
      for (const fault of together) {
        const differences = functions.differencesOf(fault)
        if (typeof differences === 'string') continue
        const both = diagrams.and(all, surely(place, differences[kind]))
        if (both === 0) continue
        all = both
        if (aimed.push(fault) >= MAX_TARGETS) break
      }
      if (aimed.length > (best?.faults.length ?? 0))
        best = { all, faults: aimed, pulsed: kind === 'taken' ? clocks.slice(0, 1) : [] }
    }
    if (!best) return null
    const again = best.faults.some((fault) => (this.#aims.get(fault) ?? 0) % 2 === 1)
    const levels = again ? best.all : withOutputsOn(place, best.all)
    const open = best.faults.flatMap(({ pin }) => (pin !== null && shared.includes(pin) ? [pin] : []))
    return { ...best, cube: diagrams.shortestCube(levels)!, open: again ? open : [] }
  }

  /** Goes to a state in which some fault shows; false where no way leads on for any that is left. */
  #travel(faults: readonly Fault[]): boolean {
    const together = faults.filter((fault) => this.bench.isTogether(fault)).slice(0, MAX_TARGETS)
    if (together.length === 0) return false
    const path = this.unknownCells().length > 0 ? null : this.#pathTo(together)
    if (!path) {
      for (const fault of together) this.#unreachable.add(fault)
      return true
    }
    for (const { place, way } of path) if (this.isFull || this.#addWay(place, way) < 0) return false
    return true
  }

  /** The shortest way to a state in which one of the faults shows; null where none was found. */
  #pathTo(faults: readonly Fault[]): { readonly place: PartInState; readonly way: Way }[] | null {
    interface Met {
      readonly states: ShownStates
      readonly before: Met | null
      readonly step: { readonly place: PartInState; readonly way: Way } | null
    }
    const keyOf = (states: ShownStates): string => states.map((state) => state ?? '-').join('')
    const first: Met = { states: shownStates(this.task.pins, this.bench.part.states()), before: null, step: null }
    const met = new Set([keyOf(first.states)])
    const queue: Met[] = [first]
    for (let at = 0; at < queue.length && at < MAX_SEARCHED; at++) {
      const here = queue[at]!
      const place = this.#placeAt(here.states)
      if (!place) continue
      if (at > 0 && withinLimit(() => faults.some((fault) => shows(place, fault)))) {
        const path = []
        for (let each: Met | null = here; each?.step; each = each.before) path.unshift(each.step)
        return path
      }
      const steps: readonly NextState[] = withinLimit(() => stepsFrom(place)) ?? []
      for (const { to, way } of steps) {
        if (met.has(keyOf(to))) continue
        met.add(keyOf(to))
        queue.push({ states: to, before: here, step: { place, way } })
      }
    }
    return null
  }

  /** Shows what it can, from wherever levels as they come have led. */
  *show(): Pieces<void> {
    for (let round = 0, left = Infinity; round < MAX_ROUNDS && this.bench.left.length < left; round++) {
      left = this.bench.left.length
      yield* this.aim()
      yield* this.wander()
      this.again()
    }
  }

  /** Levels as they come, as long as they show something now and then. */
  *wander(): Pieces<void> {
    for (let idle = 0; idle < MAX_IDLE && !this.isFull; ) {
      const shown = this.addRandom()
      if (shown < 0) return
      idle = shown > 0 ? 0 : idle + 1
      yield
    }
  }
}

function unknownIn({ logic }: TesterPins, states: readonly Ternary[]): number[] {
  return logic.cells.flatMap(({ register }, cell) => (register && states[cell] === X ? [cell] : []))
}

function shows({ functions }: PartInState, fault: Fault): boolean {
  const differences = functions.differencesOf(fault)
  return typeof differences !== 'string' && (differences.seen !== 0 || differences.taken !== 0)
}

/** Of some levels those under which as many outputs as possible are on: only these can show anything. */
function withOutputsOn(place: PartInState, levels: Node): Node {
  const { diagrams, functions } = place
  return functions.functions.outputs.reduce((all, { pin, enable }) => {
    const both = pin === null || enable === 0 ? 0 : diagrams.and(all, surely(place, enable))
    return both === 0 ? all : both
  }, levels)
}

/** Makes a sequence. */
export function* makeSequence(grade: GradeTask, task: SequenceTask): Pieces<MadeSequence> {
  const maker = new Maker(grade, task)
  const { work } = task
  let unknownCells: readonly number[] = []
  const making = function* (): Pieces<true> {
    yield* maker.synchronise()
    unknownCells = maker.unknownCells()
    yield* maker.show()
    return true // Only null says that the steps did not suffice.
  }
  const complete = (yield* withinWork(work, work.steps, making())) !== null
  return { vectors: maker.vectors.slice(0, Math.max(1, maker.lastShowing)), unknownCells, complete }
}
