/**
 * An event-driven simulation of a module with the four values 0, 1, x and z, as IEEE 1364-2001, clause 5 has it: active
 * events in any order, nonblocking updates once none is left. The order is a parameter, because a module whose result
 * hangs on it would be wrong in one simulator and right in the next.
 */
import type { Expression, Module, Statement } from './reader'

export type Value = '0' | '1' | 'x' | 'z'

/** Chooses among so many active events: an index below `count`. */
export type Choose = (count: number) => number

export const FIRST: Choose = () => 0
export const LAST: Choose = (count) => count - 1

/** What the standard leaves open besides the order of events. */
export interface Habits {
  /** Continuous assignments follow at once, before any other event. */
  readonly eager?: boolean
  /** Procedures begin to wait only once everything has come to rest at time 0, so that they miss what happens there. */
  readonly lateStart?: boolean
  /** Ports that are tied to a level from the start. */
  readonly tied?: ReadonlyMap<string, Value>
}

/** The module has not come to rest after many events, as a ring that oscillates never does. */
export class Restless extends Error {}

const MOST_EVENTS = 20_000

function not(value: Value): Value {
  return value === '0' ? '1' : value === '1' ? '0' : 'x'
}

function and(left: Value, right: Value): Value {
  if (left === '0' || right === '0') return '0'
  return left === '1' && right === '1' ? '1' : 'x'
}

function xor(left: Value, right: Value): Value {
  if (!'01'.includes(left) || !'01'.includes(right)) return 'x'
  return left === right ? '0' : '1'
}

/** A conditional whose condition is unknown keeps what both sides agree on (5.1.13). */
function either(left: Value, right: Value): Value {
  return left === right && left !== 'z' ? left : 'x'
}

/** Rising from 0 to anything, or from the unknown to 1 (table 9-1). */
function rises(from: Value, to: Value): boolean {
  return (from === '0' && to !== '0') || (from !== '1' && to === '1')
}

function namesIn(expression: Expression): string[] {
  switch (expression.kind) {
    case 'constant':
      return []
    case 'name':
      return [expression.name]
    case 'not':
      return namesIn(expression.of)
    case '?':
      return [expression.condition, expression.left, expression.right].flatMap(namesIn)
    default:
      return [expression.left, expression.right].flatMap(namesIn)
  }
}

/** A running module. Drive its ports, look at its nets. */
export class Running {
  private readonly values = new Map<string, Value>()
  private readonly internal = new Map<string, Value>()
  private readonly external = new Map<string, Value>()
  private readonly readers = new Map<string, (() => void)[]>()
  private active: (() => void)[] = []
  private later: (readonly [name: string, value: Value])[] = []
  private readonly choose: Choose

  constructor(
    module: Module,
    choose: Choose = FIRST,
    { eager = false, lateStart = false, tied = new Map() }: Habits = {},
  ) {
    this.choose = choose
    for (const name of [...module.wires, ...module.regs]) this.values.set(name, 'x')
    for (const [name, direction] of module.ports) this.values.set(name, direction === 'input' ? 'z' : 'x')
    for (const { target, value } of module.assigns) {
      this.internal.set(target, 'x')
      const run = (): void => {
        this.internal.set(target, this.evaluate(value))
        this.change(target)
      }
      for (const name of new Set(namesIn(value))) this.listen(name, eager ? run : () => this.schedule(run))
      this.active.push(run)
    }
    if (!lateStart) this.startProcedures(module)
    for (const { target, value } of module.initials) this.active.push(() => this.write(target, this.evaluate(value)))
    this.drive(tied)
    if (lateStart) this.startProcedures(module)
  }

  private startProcedures(module: Module): void {
    for (const { events, body } of module.always)
      for (const { rising, name } of events) {
        let last = this.level(name)
        const run = (): void => this.execute(body)
        this.listen(name, () => {
          const now = this.level(name)
          if (!rising || rises(last, now)) this.schedule(run)
          last = now
        })
      }
  }

  level(name: string): Value {
    const value = this.values.get(name)
    if (value === undefined) throw new RangeError(`no ${name}`)
    return value
  }

  /**
   * Drives ports from outside, all at the same time, and runs until nothing is left to do. The strength is weak (7.10),
   * so that an output that drives wins, as it does in the reference; between equal strengths a contradiction would be
   * x.
   */
  drive(levels: ReadonlyMap<string, Value>): void {
    for (const [name, value] of levels) {
      if ((this.external.get(name) ?? 'z') === value) continue
      this.active.push(() => {
        this.external.set(name, value)
        this.change(name)
      })
    }
    this.settle()
  }

  /** Writes variables past all logic, as a test bench may. */
  deposit(values: ReadonlyMap<string, Value>): void {
    for (const [name, value] of values) this.write(name, value)
    this.settle()
  }

  private listen(name: string, reader: () => void): void {
    this.readers.set(name, [...(this.readers.get(name) ?? []), reader])
  }

  private schedule(run: () => void): void {
    if (!this.active.includes(run)) this.active.push(run)
  }

  private settle(): void {
    for (let events = 0; this.active.length > 0 || this.later.length > 0; events++) {
      if (events > MOST_EVENTS) throw new Restless('the module does not come to rest')
      if (this.active.length > 0) this.active.splice(this.choose(this.active.length), 1)[0]!()
      else for (const [name, value] of this.later.splice(0)) this.write(name, value)
    }
  }

  private change(net: string): void {
    const inside = this.internal.get(net) ?? 'z'
    this.write(net, inside === 'z' ? (this.external.get(net) ?? 'z') : inside)
  }

  private write(name: string, value: Value): void {
    if (this.values.get(name) === value) return
    this.values.set(name, value)
    for (const reader of this.readers.get(name) ?? []) reader()
  }

  private execute(statement: Statement): void {
    if (statement.kind === '<=') this.later.push([statement.target, this.evaluate(statement.value)])
    else if (this.evaluate(statement.condition) === '1') this.execute(statement.then)
    else if (statement.otherwise) this.execute(statement.otherwise)
  }

  private evaluate(expression: Expression): Value {
    switch (expression.kind) {
      case 'constant':
        return expression.value
      case 'name':
        return this.level(expression.name)
      case 'not':
        return not(this.evaluate(expression.of))
      case '&':
        return and(this.evaluate(expression.left), this.evaluate(expression.right))
      case '|':
        return not(and(not(this.evaluate(expression.left)), not(this.evaluate(expression.right))))
      case '^':
        return xor(this.evaluate(expression.left), this.evaluate(expression.right))
      case '?': {
        const condition = this.evaluate(expression.condition)
        const [left, right] = [this.evaluate(expression.left), this.evaluate(expression.right)]
        return condition === '1' ? left : condition === '0' ? right : either(left, right)
      }
    }
  }
}
