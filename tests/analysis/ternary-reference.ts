/**
 * Hazards of a combinational design by trying: every level of what may be applied, every level at rest of what feeds
 * back, every single change, each followed in ternary algebra (Eichelberger, IBM J. Res. Dev. 9(2), 1965) with plain
 * arrays. Nothing of the library.
 */
import type { Design, DesignOutput, Term } from '../parts/design'

/** 0, 1, or ½ for either. */
export type Level = 0 | 0.5 | 1
type Levels = ReadonlyMap<number, Level>

const complement = (level: Level): Level => (1 - level) as Level
const least = (levels: readonly Level[]): Level => Math.min(1, ...levels) as Level
const most = (levels: readonly Level[]): Level => Math.max(0, ...levels) as Level

export const isContradictory = (term: Term): boolean => term.some((literal) => term.includes(-literal))

function termLevel(term: Term, levels: Levels): Level {
  if (isContradictory(term)) return 0
  return least(term.map((literal) => (literal > 0 ? levels.get(literal)! : complement(levels.get(-literal)!))))
}

/** The sum of an output as its pin shows it. */
export function valueOf({ terms, activeHigh }: DesignOutput, levels: Levels): Level {
  const sum = most(terms.map((term) => termLevel(term, levels)))
  return activeHigh ? sum : complement(sum)
}

export function enableOf({ enable }: DesignOutput, levels: Levels): Level {
  if (enable === 'always') return 1
  return typeof enable === 'object' && 'term' in enable ? termLevel(enable.term, levels) : 0
}

/** What a pin reads: its output while on, what is applied while off, what both agree on where that is open. */
function readingOf(output: DesignOutput, levels: Levels, applied: Level): Level {
  const on = enableOf(output, levels)
  const value = valueOf(output, levels)
  return on === 1 ? value : on === 0 ? applied : value === applied ? value : 0.5
}

/** Levels of a design, with those applied to its pins apart. */
export interface Standing {
  readonly applied: Levels
  readonly levels: Levels
}

/** Before, on the way, and after the levels applied have become others. */
export function follow(design: Design, { applied, levels }: Standing, to: Levels): [Levels, Levels, Levels] {
  const joined = (a: Level, b: Level): Level => (a === b ? a : 0.5)
  const outputAt = new Map(design.outputs.map((output) => [output.pin, output]))
  const run = (start: Levels, outside: Levels, keep: boolean): Levels => {
    let now = new Map(start)
    for (;;) {
      const next = new Map(
        [...now].map(([pin, old]): [number, Level] => {
          const output = outputAt.get(pin)
          const given = output ? readingOf(output, now, outside.get(pin)!) : outside.get(pin)!
          return [pin, keep ? joined(old, given) : given]
        }),
      )
      if ([...next].every(([pin, level]) => now.get(pin) === level)) return now
      now = next
    }
  }
  const between = new Map([...applied].map(([pin, level]) => [pin, joined(level, to.get(pin)!)]))
  const passing = run(levels, between, true)
  return [levels, passing, run(passing, to, false)]
}

/** Pins that feed back to themselves through live terms. */
export function circlePins({ outputs }: Design): number[] {
  const reads = new Map(
    outputs.map((output) => {
      const terms = [
        ...output.terms,
        ...(typeof output.enable === 'object' && 'term' in output.enable ? [output.enable.term] : []),
      ]
      return [
        output.pin,
        new Set(
          terms
            .filter((term) => !isContradictory(term))
            .flat()
            .map(Math.abs),
        ),
      ]
    }),
  )
  const isOff = ({ enable }: DesignOutput): boolean =>
    enable === 'never' || (typeof enable === 'object' && 'term' in enable && isContradictory(enable.term))
  for (const output of outputs) if (isOff(output)) reads.delete(output.pin)
  for (let grown = true; grown;) {
    grown = false
    for (const set of reads.values())
      for (const via of [...set])
        for (const pin of reads.get(via) ?? [])
          if (!set.has(pin)) {
            set.add(pin)
            grown = true
          }
  }
  return [...reads].flatMap(([pin, set]) => (set.has(pin) ? [pin] : []))
}

/** One unsafe change: `pin part kind input from`, and the levels of all else. */
export interface Seen {
  readonly key: string
  readonly applied: Levels
  readonly levels: Levels
}

/** Every unsafe single change of a design whose free pins are given; `tried` is the number of cases an input. */
export function unsafeChanges(design: Design, free: readonly number[]): Seen[] {
  const pins = [...new Set([...free, ...design.outputs.map(({ pin }) => pin)])]
  const cut = circlePins(design)
  const bits = (count: number): number[] => Array.from({ length: 2 ** count }, (_, i) => i)
  return bits(free.length).flatMap((word) => {
    const applied = new Map(pins.map((pin): [number, Level] => [pin, ((word >> free.indexOf(pin)) & 1) as Level]))
    return bits(cut.length).flatMap((held) => {
      const start = new Map(
        pins.map((pin): [number, Level] => [
          pin,
          cut.includes(pin) ? (((held >> cut.indexOf(pin)) & 1) as Level) : 0.5,
        ]),
      )
      const levels = atRest(design, { applied, levels: start }, cut)
      return levels ? free.flatMap((input) => changesOf(design, { applied, levels }, { input, cut })) : []
    })
  })
}

/** All levels where those at cut pins are at rest; null where they are not. */
function atRest(design: Design, { applied, levels }: Standing, cut: readonly number[]): Levels | null {
  const now = new Map(levels)
  const outputs = new Map(design.outputs.map((output) => [output.pin, output]))
  for (let round = 0; round <= design.outputs.length; round++)
    for (const pin of now.keys()) {
      if (cut.includes(pin)) continue
      const output = outputs.get(pin)
      now.set(pin, output ? readingOf(output, now, applied.get(pin)!) : applied.get(pin)!)
    }
  return cut.every((pin) => readingOf(outputs.get(pin)!, now, applied.get(pin)!) === levels.get(pin)) ? now : null
}

function changesOf(
  design: Design,
  standing: Standing,
  { input, cut }: { readonly input: number; readonly cut: readonly number[] },
): Seen[] {
  const { applied, levels } = standing
  const old = applied.get(input)!
  const stages = follow(design, standing, new Map(applied).set(input, complement(old)))
  const seen = (pin: number, part: string, kind: string): Seen => ({
    key: `${pin} ${part} ${kind} ${input} ${old}`,
    applied,
    levels,
  })
  return design.outputs.flatMap((output) => {
    const found: Seen[] = []
    const [enabled, enabling, on] = stages.map((stage) => enableOf(output, stage)) as [Level, Level, Level]
    const [before, passing, after] = stages.map((stage) => valueOf(output, stage)) as [Level, Level, Level]
    if (enabled === on && enabling === 0.5) found.push(seen(output.pin, 'enable', `static-${on}`))
    if (enabled === 1 && on === 1 && before === after && passing === 0.5)
      found.push(seen(output.pin, 'value', `static-${after}`))
    if (enabled === 1 && after === 0.5 && cut.includes(output.pin))
      found.push(seen(output.pin, 'value', `race-${before}`))
    return found
  })
}
