/** What grades, makes and uses test vectors: how the inputs are made, and what must hold of the answers. */
import { compare, differingFuses, explain, inspect, readFuseFile, setFuse, verify, writeFuseFile, type FuseFile } from '../../src/index'
import { renderDistinguished, renderExercise, renderGrade } from '../../src/report'
import { distinguish, exercise, grade, type FaultCounts, type Grade } from '../../src/vectors'
import { seeded, type Random } from '../jesd3/reference'
import type { EntryPoint } from './entry-point'
import { anyFile, DECODED_PARTS, mapFile, namedPart } from './files'
import { brokenFindings, brokenJson, brokenText, firstBroken } from './invariants'

/** Limits, and parts most of the time, with which an input takes some tenths of a second. */
const MAX_VECTORS = 12
const MAX_NODES = 5000
const SMALL_PARTS = DECODED_PARTS.filter(({ fuseCount }) => fuseCount < 700)

const anyPart = (random: Random): (typeof DECODED_PARTS)[number] =>
  random.pick(random.below(200) === 1 ? DECODED_PARTS : SMALL_PARTS)

const startOf = (random: Random): { start?: 'unknown' | 'power-up' } =>
  random.below(3) ? {} : { start: random.pick(['unknown', 'power-up'] as const) }

function brokenCounts({ total, shown, cannotBeShown, missed, undecided }: FaultCounts, what: string): string | null {
  const counts = [total, shown, cannotBeShown, missed, undecided]
  if (counts.some((count) => !Number.isInteger(count) || count < 0)) return `${what}: ${counts.join(' ')}`
  return shown + cannotBeShown + missed + undecided === total ? null : `${what} do not add up: ${counts.join(' ')}`
}

function brokenGrade({ faults, missed, idleVectors, vectors }: Grade, maxMissed: number): string | null {
  const { byClass, ...all } = faults
  const keys = Object.keys(all) as (keyof FaultCounts)[]
  const sum = (key: keyof FaultCounts): number => Object.values(byClass).reduce((total, one) => total + one[key], 0)
  const ascends = (list: readonly number[]): boolean => list.every((value, i) => i === 0 || value > list[i - 1]!)
  return firstBroken(
    () => brokenCounts(all, 'all faults'),
    ...Object.entries(byClass).map(([name, counts]) => () => brokenCounts(counts, name)),
    () => (keys.every((key) => sum(key) === all[key]) ? null : 'the classes are not the whole'),
    () => (missed.length === Math.min(maxMissed, all.missed) ? null : `${missed.length} of ${all.missed} are listed`),
    () => (ascends(missed.map(({ fuse }) => fuse)) ? null : 'missed fuses out of order'),
    () => (ascends(idleVectors) && idleVectors.length <= vectors ? null : `idle: ${idleVectors.join(' ')}`),
    () => (vectors > 0 || all.shown === 0 ? null : 'no vector, and faults are shown'),
  )
}

/** What does not hold of a made file with the fuses of `original`. */
function brokenMade(bytes: Uint8Array, original: FuseFile, part: string): string | null {
  const again = readFuseFile(bytes)
  if (explain(again).findings.counts.error > 0) return 'the made file has errors'
  if (differingFuses(again.fuses!, original.fuses!).count > 0) return 'the made file has other fuses'
  const { failed } = verify(bytes, { device: part }).testVectors
  return failed === 0 ? null : `${failed} made vectors fail on their own map`
}

/** A map, and others of its part: the same, some fuses away, or any. */
function mapsOfOnePart(random: Random): readonly Uint8Array[] {
  const part = anyPart(random)
  const first = mapFile(random, part)
  const others = Array.from({ length: 1 + random.below(2) }, () => {
    const kind = random.below(5)
    if (kind === 0) return mapFile(random, part)
    const { fuses } = readFuseFile(first)
    const times = kind === 1 ? 0 : 1 + random.below(3)
    for (let i = 0; i < times; i++) setFuse(fuses!, random.below(fuses!.length), random.below(2) as 0 | 1)
    return writeFuseFile({ fuses: fuses!, notes: [`Device ${part.part}`] })
  })
  return random.below(20) ? [first, ...others] : [first, anyFile(random)]
}

/** A chip with another map fails vectors that were made against it. */
function brokenTelling(contents: readonly Uint8Array[], bytes: Uint8Array, k: number, part: string): string | null {
  const { vectors } = readFuseFile(bytes)
  // Without a QF field the part says how many fuses the default fills.
  const { fuses } = inspect(contents[k]!, { device: part }).file
  const swapped = writeFuseFile({ fuses: fuses!, vectors, ...pinCountOf(part) })
  return verify(swapped, { device: part }).testVectors.failed > 0 ? null : `map ${k + 1} passes, and is told apart`
}

function pinCountOf(part: string): { pinCount?: number } {
  const device = DECODED_PARTS.find((one) => one.part === part)
  return device ? { pinCount: device.pinCount } : {}
}

export const VECTOR_ENTRIES: Readonly<Record<string, EntryPoint>> = {
  grade: {
    make: (random) => [random.below(4) ? mapFile(random, anyPart(random)) : anyFile(random), ...(random.below(3) ? [] : [anyFile(random)])],
    check({ contents: [bytes, other], choice }, answered) {
      const random = seeded(choice)
      const maxMissed = 1 + random.below(40)
      const vectors = other ? { vectors: other } : {}
      const result = grade(bytes!, { ...namedPart(bytes!), ...startOf(random), ...vectors, maxMissed, maxNodes: MAX_NODES })
      const text = renderGrade(result)
      answered([result, text])
      return firstBroken(
        () => brokenJson(result),
        () => brokenText(text, 'text'),
        () => brokenFindings(result.findings, bytes!.length + (other?.length ?? 0)),
        () => ('refused' in result ? null : brokenGrade(result, maxMissed)),
      )
    },
  },
  exercise: {
    make: (random) => [random.below(8) ? mapFile(random, anyPart(random)) : anyFile(random)],
    check({ contents: [bytes], choice }, answered) {
      const limits = { maxVectors: MAX_VECTORS, maxNodes: MAX_NODES }
      const result = exercise(bytes!, { ...namedPart(bytes!), ...startOf(seeded(choice)), ...limits })
      const text = renderExercise(result)
      if ('refused' in result) return brokenJson(result)
      const { bytes: made, ...rest } = result
      answered([rest, text])
      return firstBroken(
        () => brokenJson(rest),
        () => brokenText(text, 'text'),
        () => brokenFindings(rest.findings, bytes!.length),
        () => brokenGrade(rest, 1000),
        () => (rest.vectors <= MAX_VECTORS ? null : `${rest.vectors} vectors were made`),
        () => brokenMade(made, readFuseFile(bytes!), rest.part),
      )
    },
  },
  distinguish: {
    make: mapsOfOnePart,
    check({ contents, choice }, answered) {
      const start = startOf(seeded(choice))
      const result = distinguish(contents, { ...namedPart(contents[0]!), ...start, maxVectors: MAX_VECTORS })
      const text = renderDistinguished(result)
      if ('refused' in result) return brokenJson(result)
      const { bytes, pairs, part, failing, ...rest } = result
      answered([rest, text])
      const told = pairs.filter((pair) => pair.apart && pair.a === 1)
      const isEqual = (a: number, b: number): boolean =>
        ['identical', 'equivalent'].includes(compare(contents[a - 1]!, contents[b - 1]!, { device: part }).relation)
      return firstBroken(
        () => brokenJson([rest, pairs, failing]),
        () => brokenText(text, 'text'),
        () => (pairs.length === (contents.length * (contents.length - 1)) / 2 ? null : `${pairs.length} pairs`),
        () => (failing.length === contents.length && failing[0]!.length === 0 ? null : 'the first map fails'),
        ...pairs.map(({ a, b, apart }) => () => (apart && isEqual(a, b) ? `${a} and ${b} are equal, and told apart` : null)),
        () => (bytes ? brokenMade(bytes, readFuseFile(contents[0]!), part) : null),
        ...told.map(({ b }) => () => (start.start === 'power-up' ? null : brokenTelling(contents, bytes!, b - 1, part))),
        () => (inspect(contents[0]!, { device: part }).kind === 'decoded' ? null : 'vectors for a map that is not decoded'),
      )
    },
  },
}
