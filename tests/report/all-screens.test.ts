/** Screens of every job: the answer in the first three lines, at most 24 lines of 80 columns, ASCII where asked for. */
import { readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import { examineAdapter, type AdapterReport } from '../../src/board'
import { examineCapture } from '../../src/capture'
import { check, compareReadings, readFuseFile, retarget, rewrite, verify } from '../../src/index'
import { describe as describePart, hazardsOf, runSteps, tableImage, truthTable, type TruthTable } from '../../src/logic'
import {
  renderAdapter,
  renderCapture,
  renderDescription,
  renderHazards,
  renderReadings,
  renderRefusal,
  renderRetargeted,
  renderRewritten,
  renderSequence,
  type TextOptions,
} from '../../src/report'
import { boardOf } from '../adapter/plain-boards'
import { ADAPTER } from '../adapter/two-part-board'
import { granted } from '../granted'

const bytesOf = (path: string): Uint8Array => readFileSync(new URL(`../../vectors/${path}`, import.meta.url))
const EXAMPLE = bytesOf('published/jesd3a-14l4.jed')
const FLIPPED = bytesOf('demo/example-one-fuse-flipped.jed')
const CUT = bytesOf('demo/example-cut-in-half.jed')
const GAUGE = bytesOf('demo/tide-gauge-16v8.jed')
const { decoded: gates } = check(EXAMPLE, { device: '14L4' })
const { decoded: gauge } = check(GAUGE)
const { bytes: image } = tableImage(truthTable(gates!) as TruthTable) as { readonly bytes: Uint8Array }
const wiring = { address: [1, 2, 3, 4, 5], data: [17, 16, 15, 14] }
const BOARD = boardOf(ADAPTER)
/** One diode of the board the other way round. */
const REVERSED = {
  ...BOARD,
  diodes: BOARD.diodes!.map((diode, i) =>
    i === 0 ? { ...diode, anode: diode.cathode, cathode: diode.anode } : diode,
  ),
}
let examined: AdapterReport | null = null
/** Examined once: what would mend it takes a quarter of a second to find. */
const reversed = (): AdapterReport => (examined ??= examineAdapter(REVERSED, { against: { board: BOARD } }))
const names = { from: 'old.jed', to: 'new.jed' }
const STEPS = { steps: [{ set: { 1: 0, 2: 1, 3: 1, 4: 0, 11: 0 }, repeat: 40, expect: { 19: 'L' } }] } as const

/** Texts by job, with the words that answer. */
const SCREENS: readonly (readonly [name: string, answer: RegExp, text: (options: TextOptions) => string])[] = [
  ['show', /16V8, registered mode/, (look) => renderDescription(granted(describePart(gauge!)), verify(GAUGE), look)],
  [
    'show a file that does not pass',
    /fail \(do not burn it\)/,
    (look) => renderDescription(granted(describePart(gates!)), verify(FLIPPED, { device: '14L4' }), look),
  ],
  ['hazards', /^Hazards/, (look) => renderHazards(granted(hazardsOf(gauge!.logic!)), look)],
  ['refuse', /cannot be shown: the file ends/, (look) => renderRefusal(verify(CUT), 'its logic cannot be shown', look)],
  ['run', /40 steps run, of 1 expectation 1 open/, (look) => renderSequence(granted(runSteps(gauge!, STEPS)), look)],
  [
    'capture, equal',
    /equal in every row judged: 32 rows/,
    (look) => renderCapture(examineCapture(image, { wiring, against: EXAMPLE, device: '14L4' }), look),
  ],
  [
    'capture, different',
    /different: 1 output differs/,
    (look) => renderCapture(examineCapture(image, { wiring, against: FLIPPED, device: '14L4' }), look),
  ],
  ['capture alone', /captured table/, (look) => renderCapture(examineCapture(image, { wiring }), look)],
  ['board', /pass \(nothing speaks against it\)/, (look) => renderAdapter(examineAdapter(BOARD), look)],
  [
    'board, different',
    /different: .*the same with \S+ the other way round/,
    (look) => renderAdapter(reversed(), look),
  ],
  ['readings', /not the same: 1 fuse/, (look) => renderReadings(compareReadings([EXAMPLE, FLIPPED]), look)],
  [
    'retarget',
    /written, a map for a 16V8/,
    (look) => renderRetargeted(retarget(EXAMPLE, { device: '14L4', to: '16V8' }), names, look),
  ],
  [
    'retarget, refused',
    /not moved to a 16L8: no setting/,
    (look) => renderRetargeted(retarget(GAUGE, { to: '16L8' }), names, look),
  ],
  [
    'rewrite',
    /written: its 448 fuses/,
    (look) => renderRewritten(rewrite(readFuseFile(EXAMPLE)), { ...names, fuseCount: 448 }, look),
  ],
  [
    'rewrite, refused',
    /not rewritten: its fuses cannot be trusted: the fuse checksum/,
    (look) => renderRewritten(rewrite(readFuseFile(FLIPPED)), { ...names, fuseCount: 448 }, look),
  ],
]

describe.each(SCREENS)('%s', (_, answer, text) => {
  const more = '--all shows them'

  test('fits 24 lines of 80 columns and 60, the answer in its first three', () => {
    const lines = text({ more }).trimEnd().split('\n')
    expect(lines.length).toBeLessThanOrEqual(24)
    expect(lines.slice(0, 3).join(' ').replace(/\s+/g, ' ')).toMatch(answer)
    for (const width of [60, 80, 100])
      expect(text({ more, width }).split('\n').filter((line) => line.length > width)).toEqual([])
  })

  test('is ASCII where that is asked for, in short and in full', () => {
    for (const all of [false, true]) expect(text({ more, all, ascii: true })).toMatch(/^[\n -~]*$/)
  })

  test('leaves no gap of its wording, in short and in full', () => {
    for (const all of [false, true]) expect(text({ more, all })).not.toMatch(/undefined|NaN|null|\{\w+\}|\[object/)
  })
})

describe('what a difference of a captured table looks like stands in its first sentence', () => {
  const head = (wired: typeof wiring, bytes: Uint8Array): string =>
    renderCapture(examineCapture(bytes, { wiring: wired, against: EXAMPLE, device: '14L4' }))
      .split('\n\n')[0]!
      .replace(/\s+/g, ' ')

  test('an inverter on every line of a pin', () => {
    // Data line 0 is pin 17.
    const inverted = image.map((byte) => byte ^ 1)
    expect(head(wiring, inverted)).toContain(
      'different: what pin 17 reads is the opposite level in all 32 rows; 1 of 4 outputs differs.',
    )
  })

  test('data lines exchanged so that nothing agrees', () => {
    // Pin 17 = p1 ∧ p2 ∧ p3 is high in 4 of 32 rows; pins 14 to 16 are high in all but one of their own. For each other
    // pins 17 and 14 agree in 3 rows (by chance in (4 · 31 + 28 · 1) / 32 = 4.75), pins 16 and 15 in 30 (by chance in
    // (31 · 31 + 1) / 32 = 30.06): 66 of 128 where chance gives 69.6.
    const reversed = { ...wiring, data: [14, 15, 16, 17] }
    expect(head(reversed, image)).toContain('different: 66 of 128 levels agree, and 70 would by chance: ')
  })
})
