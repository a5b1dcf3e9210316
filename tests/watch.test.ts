/** Long work seen from outside: progress by counts of work, and an end within a step where a signal is aborted. */
import { readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import { examineAdapter } from '../src/board'
import { examineCapture } from '../src/capture'
import { AbortError, check, compare, type Progress, type WatchOptions } from '../src/index'
import { tableImage, truthTable, type TruthTable } from '../src/logic'
import { callProgram } from './call-program'
import { otherRing, ring, wideBoard } from './long-work'

const EXAMPLE = readFileSync(new URL('../vectors/published/jesd3a-14l4.jed', import.meta.url))
const { bytes: image } = tableImage(truthTable(check(EXAMPLE, { device: '14L4' }).decoded!) as TruthTable) as {
  readonly bytes: Uint8Array
}

type Work = readonly [name: string, kinds: readonly Progress['work'][], run: (options: WatchOptions) => unknown]

const WORK: readonly Work[] = [
  ['a board', ['board-table', 'board-faults'], (options) => examineAdapter(wideBoard, options)],
  [
    'the search for a wiring',
    ['wiring'],
    (options) => examineCapture(image, { search: {}, against: EXAMPLE, device: '14L4', ...options }),
  ],
  ['two machines', ['states'], (options) => compare(ring, otherRing, { device: '16V8', ...options })],
]

describe.each(WORK)('%s', (_, kinds, run) => {
  test('says how far it is, by counts that grow, and gives what it gives unwatched', () => {
    const seen: Progress[] = []
    expect(run({ onProgress: (progress) => void seen.push(progress) })).toEqual(run({}))
    expect([...new Set(seen.map(({ work }) => work))]).toEqual(kinds)
    for (const kind of kinds) {
      const done = seen.filter(({ work }) => work === kind).map((each) => each.done)
      expect(done.every((count, i) => i === 0 || count >= done[i - 1]!)).toBe(true)
    }
    expect(seen.every(({ done, most }) => done >= 0 && done <= most)).toBe(true)
  })

  test('ends within a step once it is aborted, with the reason of the signal', () => {
    const reason = new Error('enough')
    const signal = { aborted: false, reason }
    let calls = 0
    const onProgress = (): void => {
      calls++
      signal.aborted = true
    }
    expect(() => run({ onProgress, signal })).toThrow(reason)
    expect(calls).toBe(1)
  })

  test('does not begin under an aborted signal', () => {
    const onProgress = (): void => expect.fail('works')
    expect(() => run({ onProgress, signal: { aborted: true } })).toThrow(AbortError)
    expect(() => run({ signal: AbortSignal.abort() })).toThrow(/abort/)
  })

  test('ends where the callback throws', () => {
    const onProgress = (): void => {
      throw new RangeError('mine')
    }
    expect(() => run({ onProgress })).toThrow(/^mine$/)
  })
})

describe('on standard error', () => {
  const files = { 'board.json': JSON.stringify(wideBoard) }
  /** A clock of which each look takes so many milliseconds. */
  const shownWith = (perLook: number): { readonly lines: string[]; readonly out: string } => {
    const lines: string[] = []
    let time = 0
    const { out } = callProgram(['adapter', 'board.json'], files, {
      now: () => (time += perLook),
      status: (line) => void lines.push(line),
    })
    return { lines, out }
  }

  test('nothing for work of less than two seconds, then a line a second, and none at the end', () => {
    const quick = shownWith(0)
    expect(quick.lines).toEqual([])
    const { lines, out } = shownWith(500)
    expect(lines.length).toBeGreaterThan(1)
    expect(lines[0]).toMatch(/^fuse-assay: (the table|single faults) of the board: \d+ steps, at most \d+$/)
    expect(lines.at(-1)).toBe('')
    expect(out).toBe(quick.out)
  })
})
