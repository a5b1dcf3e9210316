/** A run as text: whole texts worked by hand, and what a table of many pins and many remarks looks like. */
import { describe, expect, test } from 'vitest'
import type { Step } from '../../src/logic'
import { renderSequence } from '../../src/report'
import type { Design } from '../parts/design'
import { runDesign } from './outcomes'

/** 19 is a register that takes pin 2; 18 copies pin 2 while pin 3 is high; 17 copies pin 18. */
const DESIGN: Design = {
  part: '16V8',
  mode: 'registered',
  clockPin: 1,
  outputs: [
    { pin: 19, kind: 'registered', activeHigh: true, enable: { lowPin: 11 }, terms: [[2]] },
    { pin: 18, kind: 'combinational', activeHigh: true, enable: { term: [3] }, terms: [[2]] },
    { pin: 17, kind: 'combinational', activeHigh: true, enable: 'always', terms: [[18]] },
  ],
}

test('a table with everything below it', () => {
  const steps: Step[] = [
    { note: 'start', set: { clk: 0, off: 0, 2: 1, 3: 0, 18: 'X' }, expect: { q: 'H', 17: 'L' } },
    { note: 'clock,\n twice', pulse: ['clk'], repeat: 2, expect: { q: 'L', 18: 'Z' } },
    { set: { 3: 1, 18: 0 }, expect: { 17: 'H' } },
  ]
  const run = runDesign(DESIGN, steps, { pins: { clk: 1, off: 11, q: 19 }, watch: ['clk', 2, 3, 'q', 18, 17] })
  // Step 1: q was never set; 18 is off and an unknown level is applied, which 17 copies. Steps 2 and 3: q took 1.
  // Step 4: 18 is on and drives 1 against the applied 0.
  expect(renderSequence(run, { name: 'x.jed' }))
    .toBe(`x.jed: 4 steps run, of 5 expectations 1 contradicted, 2 open, 2 held.

Contradicted
  step 3, pin 19 (q): expected L, found 1

Open
  step 1, pin 17: expected L, found X; depends on the unknown level applied to
    pin 18
  step 1, pin 19 (q): expected H, found X; depends on the register of pin 19,
    which nothing has set

Levels after each step; 0, 1, X unknown, Z nothing drives. Registers start
  unknown.

        clk        q
   pin    1  2  3 19 18 17
     1    0  1  0  X  X  X   start
     2    0  1  0  1  X  X   clock, twice
     3    0  1  0  1  X  X
     4    0  1  1  1  1  1

Unknown
  step 1, pin 19 (q): the register of pin 19, which nothing has set
  step 1 and 2 more, pin 17: the unknown level applied to pin 18

Overridden by an enabled output, which on a board would be two drivers against
  each other
  step 4, pin 18
`)
})

test('a run without remarks is a table alone', () => {
  expect(renderSequence(runDesign(DESIGN, [{ set: { 2: 1, 3: 1 } }], { watch: [18], start: 'power-up' })))
    .toBe(`the 16V8: 1 step run, nothing was expected.

Levels after each step; 0, 1, X unknown, Z nothing drives. Registers start as
  after power-up.

   pin  18
     1   1
`)
})

describe('many pins', () => {
  const parts: Design = {
    part: '22V10',
    mode: null,
    clockPin: 1,
    outputs: [{ pin: 23, kind: 'combinational', activeHigh: true, enable: 'always', terms: [[2]] }],
  }
  const all = Array.from({ length: 24 }, (_, i) => i + 1).filter((pin) => pin !== 12 && pin !== 24)
  const set = Object.fromEntries(all.slice(0, 11).map((pin, i) => [pin, (i % 2) as 0 | 1]))

  test('all 22 of a part fit a screen, each level under its pin', () => {
    const lines = renderSequence(runDesign(parts, [{ set, note: 'a note' }], { watch: all })).split('\n')
    const head = lines.find((line) => line.startsWith('   pin'))!
    const row = lines.find((line) => /^ +1 /.test(line))!
    expect(Math.max(...lines.map((line) => line.length))).toBeLessThanOrEqual(100)
    for (const pin of all) {
      const at =
        head.lastIndexOf(` ${pin} `) >= 0 ? head.lastIndexOf(` ${pin} `) + String(pin).length : head.length - 1
      // Inputs 1 to 11 alternate from 0; 23 follows pin 2 = 1; the others nothing drives.
      expect(row[at], `pin ${pin}`).toBe(pin <= 11 ? String((pin - 1) % 2) : pin === 23 ? '1' : 'Z')
    }
    expect(row.endsWith('   a note')).toBe(true)
  })

  test('names that would not fit stand above', () => {
    const pins = Object.fromEntries(all.map((pin) => [`signal_${pin}`, pin]))
    const lines = renderSequence(runDesign(parts, [{ set }], { watch: all, pins })).split('\n')
    const named = lines.join('\n').replace(/\n {2}(?=\S)/g, ' ')
    expect(named).toContain(`\nPins: ${all.map((pin) => `${pin} signal_${pin}`).join(', ')}\n`)
    expect(
      lines
        .slice(2)
        .filter((line) => line.startsWith('   pin') || /^ +\d/.test(line))
        .every((line) => line.length <= 100),
    ).toBe(true)
  })

  test('long lists below are cut, and say so', () => {
    const run = runDesign(
      parts,
      Array.from({ length: 20 }, (): Step => ({ set: { 2: 1 }, expect: { 23: 'L' } })),
    )
    const lines = renderSequence(run).split('\n')
    expect(lines[0]).toBe('the 22V10: 20 steps run, of 20 expectations 20 contradicted.')
    expect(lines.filter((line) => line.includes('expected L, found 1'))).toHaveLength(2)
    expect(lines).toContain('  and 18 more lines')
    expect(lines).toContain('  and 12 more steps')
    expect(lines.length).toBeLessThanOrEqual(25)
    const all = renderSequence(run, { all: true }).split('\n')
    expect(all.filter((line) => line.includes('expected L, found 1'))).toHaveLength(12)
    expect(all).toContain('  and 8 more; the JSON document lists them')
  })

  test('step numbers of many digits keep their column', () => {
    const rows = renderSequence(runDesign(parts, [{ set, repeat: 10_000 }], { watch: [23] }), { all: true })
      .split('\n')
      .filter((line) => /^ +\d+ +1$/.test(line))
    expect(rows).toHaveLength(10_000)
    expect(new Set(rows.map((row) => row.length)).size).toBe(1)
  })
})

test('what is no run is refused', () => {
  for (const wrong of [null, undefined, {}, 'x'])
    expect(() => renderSequence(wrong as never), String(wrong)).toThrow(TypeError)
})
