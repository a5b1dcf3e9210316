/** Small machines as a map of rows, one a term, and the same with one literal more or less, as one fuse does it. */
import { otherMap, type Fault } from '../../src/jobs/grade/faults'
import type { Logic } from '../../src/logic/logic'
import { hasLoop, freePins, termsOf, type Cell, type Literal, type Machine, type Term } from './machine'
import { buriedIn, isKnown, logicOf, MAX_FREE } from './small-machines'

/** A map with its faults. */
export interface SmallMap {
  readonly machine: Machine
  readonly logic: Logic
  /** Literals of each row, as numbers of the logic. */
  readonly literals: readonly (readonly number[])[]
  readonly faults: readonly SmallFault[]
  /** Faults that make a loop of wiring, which the reference model cannot follow. */
  readonly loops: readonly SmallFault[]
}

/** A fault, and the machine with it. */
export interface SmallFault {
  readonly fault: Fault
  readonly machine: Machine
  readonly change: string
}

/** A machine with each cell's terms replaced; a term that stands at several places is one row, and stays one. */
function withTerms(machine: Machine, next: (term: Term) => Term): Machine {
  const one = (term: Term | null): Term | null => term && next(term)
  const cells = machine.cells.map((cell): Cell => ({
    ...cell,
    terms: cell.terms.map(next),
    otherTerms: cell.otherTerms.map(next),
    enable: cell.enable.map(next),
    clock: one(cell.clock),
    reset: one(cell.reset),
    preset: one(cell.preset),
    clockedPreset: one(cell.clockedPreset),
  }))
  return { ...machine, cells }
}

const isAt = (a: Literal, b: Literal): boolean => a.tap === b.tap && a.pin === b.pin && a.level === b.level

function toggledTerm(term: Term, literal: Literal): Term {
  return term.some((each) => isAt(each, literal)) ? term.filter((each) => !isAt(each, literal)) : [...term, literal]
}

/** What can be tried: no reset that meets a preset, not too many levels from outside. */
const canBeTried = (machine: Machine): boolean => isKnown(machine) && freePins(machine).length <= MAX_FREE

/** Changes besides those of rows, as fuses of polarity and configuration make them. */
function otherMachines(
  { cells, ...rest }: Machine,
  buried: ReadonlySet<number>,
): { machine: Machine; change: string }[] {
  return cells.flatMap((cell) => {
    if (buried.has(cell.pin)) return []
    const plain = { clock: null, reset: null, preset: null, clockedPreset: null, bypass: false }
    const changes: Readonly<Record<string, Cell>> = {
      invertPin: { ...cell, invertPin: !cell.invertPin },
      invertData: { ...cell, invertData: !cell.invertData },
      invertBoth: { ...cell, invertPin: !cell.invertPin, invertData: !cell.invertData },
      enabled: { ...cell, enable: cell.enable.length > 0 ? [] : [[]] },
      oneSum: { ...cell, otherTerms: cell.otherTerms.length > 0 ? [] : cell.terms },
      noRegister: { ...cell, ...plain, registered: false },
      others: { ...cell, terms: cell.terms.slice(1), enable: [...cell.enable, ...cell.terms.slice(0, 1)] },
    }
    return Object.entries(changes).map(([change, next]) => ({
      machine: { ...rest, cells: cells.map((each) => (each === cell ? next : each)) },
      change: `${change} of ${cell.pin}`,
    }))
  })
}

/** A machine as a map, clocks that are one pin as structure where the machine has a pin for it. */
export function smallMap(machine: Machine, { bury }: { readonly bury: boolean }): SmallMap {
  const terms = [...new Set(machine.cells.flatMap(termsOf))]
  const clocks = new Set(machine.clockPin === null ? [] : machine.cells.map(({ clock }) => clock))
  const rows = terms.filter((term) => !clocks.has(term))
  const buried = bury ? buriedIn([machine]) : new Set<number>()
  const logic = logicOf(machine, buried, (term) => rows.indexOf(term))
  const indexOf = ({ tap, pin, level }: Literal): number => {
    const cell = machine.cells.findIndex((each) => each.pin === pin)
    const signal = logic.signals.findIndex((one) =>
      one.kind === 'pin' ? tap === 'pin' && one.pin === pin : tap === 'register' && one.cell === cell,
    )
    return 2 * signal + (level ? 0 : 1)
  }
  const used = machine.cells.flatMap((cell) => termsOf(cell).flat())
  const at = (tap: Literal['tap'], pins: readonly number[]) => [...new Set(pins)].map((pin) => ({ tap, pin }))
  const read = used.flatMap(({ tap, pin }) => (tap === 'pin' ? [pin] : []))
  const registers = machine.cells.flatMap(({ registered, pin }) => (registered ? [pin] : []))
  const taps = [...at('register', registers), ...at('pin', [...read, ...machine.cells.map(({ pin }) => pin)])]
  const inRows = rows.flatMap((term, row) =>
    taps.flatMap((tap) =>
      ([0, 1] as const).map((level): SmallFault => {
        const literal = { ...tap, level }
        const next = toggledTerm(term, literal)
        return {
          fault: { fuse: 0, class: 'array', row, pin: null, literal: indexOf(literal) },
          machine: withTerms(machine, (each) => (each === term ? next : each)),
          change: `row ${row}: ${JSON.stringify(term)} becomes ${JSON.stringify(next)}`,
        }
      }),
    ),
  )
  const maps = otherMachines(machine, buried).map(({ machine: other, change }): SmallFault => ({
    fault: otherMap(0, logicOf(other, buried, (term) => rows.indexOf(term))),
    machine: other,
    change,
  }))
  const faults = [...inRows, ...maps].filter((each) => canBeTried(each.machine))
  const literals = rows.map((term) => term.map(indexOf).sort((a, b) => a - b))
  const loops = faults.filter((each) => hasLoop(each.machine))
  return { machine, logic, literals, faults: faults.filter((each) => !loops.includes(each)), loops }
}
