/**
 * Work counted instead of timed, so that a loaded machine changes nothing: the blocks of code of src that ran, by the
 * engine's own coverage, and the bytes that its built-in searches and copies went over. Backtracking inside one regular
 * expression is not seen. Only code loaded after this module is counted: a test imports it first, src by `import()`,
 * and stands among those with modules of their own (vitest.config.ts).
 */
import { Session } from 'node:inspector'

const session = new Session()
session.connect()
session.post('Profiler.enable')
session.post('Profiler.startPreciseCoverage', { callCount: true, detailed: true })

interface Coverage {
  readonly result: readonly {
    readonly url: string
    readonly functions: readonly { readonly ranges: readonly { readonly count: number }[] }[]
  }[]
}

/** Blocks of src that ran since the last call. */
function takeBlocks(): number {
  let blocks = 0
  session.post('Profiler.takePreciseCoverage', (_: unknown, { result }: Coverage) => {
    for (const { url, functions } of result)
      if (url.includes('/src/'))
        for (const { ranges } of functions) for (const { count } of ranges) blocks += count
  })
  return blocks
}

type Native = (this: { readonly length?: number }, ...given: unknown[]) => unknown

/** What a built-in goes over at most, in bytes or characters. */
const NATIVE: readonly (readonly [
  owner: object,
  names: readonly string[],
  cost: (self: unknown, given: readonly unknown[], result: unknown) => number,
])[] = [
  [
    Object.getPrototypeOf(Uint8Array.prototype) as object,
    ['indexOf', 'includes'],
    (self, [, from], result) => searched(self, from, result),
  ],
  [Object.getPrototypeOf(Uint8Array.prototype) as object, ['slice', 'fill', 'join'], (self, _, result) => size(result ?? self)],
  [Object.getPrototypeOf(Uint8Array.prototype) as object, ['set'], (_, [source]) => size(source)],
  [Array.prototype, ['slice', 'concat', 'indexOf', 'includes', 'splice'], (self) => size(self)],
  [String.prototype, ['indexOf', 'includes'], (self, [, from], result) => searched(self, from, result)],
  [String.prototype, ['split', 'trim', 'toUpperCase', 'toLowerCase'], (self) => size(self)],
  [RegExp.prototype, ['exec'], (_, [text], result) => (result ? (result as RegExpExecArray).index + 1 : size(text))],
  [TextDecoder.prototype, ['decode'], (_, [bytes]) => size(bytes)],
]

const size = (value: unknown): number => (value as { readonly length?: number } | null)?.length ?? 0

function searched(self: unknown, from: unknown, result: unknown): number {
  const start = Number(from ?? 0)
  return Math.max(0, (typeof result === 'number' && result >= 0 ? result : size(self)) - start)
}

/** Bytes that a built-in goes over in about the time of a block of code. */
const BYTES_A_BLOCK = 16

/** The work of a call. */
export function countWork(work: () => unknown): number {
  let bytes = 0
  const undo: (() => void)[] = []
  for (const [owner, names, cost] of NATIVE)
    for (const name of names) {
      const methods = owner as Record<string, Native>
      const original = methods[name]!
      methods[name] = function (...given) {
        const result = original.apply(this, given)
        bytes += cost(this, given, result)
        return result
      }
      undo.push(() => void (methods[name] = original))
    }
  takeBlocks()
  try {
    work()
  } finally {
    for (const one of undo) one()
  }
  return takeBlocks() + bytes / BYTES_A_BLOCK
}

/** Slope of log work over log size, by least squares. */
export function exponentOf(points: readonly (readonly [size: number, work: number])[]): number {
  const logs = points.map(([size, work]) => [Math.log(size), Math.log(work)] as const)
  const mean = (index: 0 | 1): number => logs.reduce((sum, point) => sum + point[index], 0) / logs.length
  const [x, y] = [mean(0), mean(1)]
  return logs.reduce((sum, [a, b]) => sum + (a - x) * (b - y), 0) / logs.reduce((sum, [a]) => sum + (a - x) ** 2, 0)
}

/** A row of the table of growth, which a test leaves with its task. */
export interface Growth {
  /** The entry point, and what its size counts. */
  readonly kind: string
  readonly sizes: readonly number[]
  /** At the largest size. */
  readonly work: number
  readonly exponent: number
}

export function growthOf(kind: string, points: readonly (readonly [size: number, work: number])[]): Growth {
  const work = Math.round(points.at(-1)![1])
  return { kind, sizes: points.map(([size]) => size), work, exponent: exponentOf(points) }
}
