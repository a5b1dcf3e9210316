/**
 * Random designs under random steps, against straight evaluation, moment by moment: levels, driving, states. One pin
 * changes a step, so that little hangs on orders; what the run knows must be so, and it must know nearly all.
 */
import { expect, test } from 'vitest'
import type { AppliedLevel, Step } from '../../src/logic'
import { tableOf, type PartTable } from '../parts/encoder'
import type { Design } from '../parts/design'
import { randomDesign, seededRandom, type Random } from '../parts/random-designs'
import { next, start, type Step as Straight } from '../parts/straight'
import { sampleSize } from '../sample-size'
import { runDesign } from './outcomes'

const DESIGNS = sampleSize(6, 60)
const STEPS = 60

interface Sample {
  readonly steps: readonly Step[]
  /** Straight evaluation at every moment of every step. */
  readonly moments: readonly (readonly Straight[])[]
}

/** First levels for every pin, then one pin a step, or a pulse of the clock. */
function sampleOf(table: PartTable, design: Design, random: Random): Sample {
  const clockPin = table.clockPin!
  const pins = Array.from({ length: table.pinCount }, (_, i) => i + 1).filter(
    (pin) => !table.supplyPins.includes(pin),
  )
  let applied = new Map(pins.map((pin) => [pin, pin !== clockPin && random(2) === 1]))
  for (const pin of table.supplyPins) applied.set(pin, false)
  const level = (pin: number): AppliedLevel => (applied.get(pin) ? 1 : 0)
  const steps: Step[] = [{ set: Object.fromEntries(pins.map((pin) => [pin, level(pin)])) }]
  let last = start(design, applied)
  const moments: Straight[][] = [[last]]
  while (steps.length < STEPS) {
    const pin = pins[random(pins.length)]!
    const isPulse = random(3) === 0
    if (!isPulse && pin === clockPin) continue
    const move = (moved: number): Straight => {
      applied = new Map(applied).set(moved, !applied.get(moved))
      return (last = next(design, last, applied))
    }
    // A step that only pulses settles first, which changes nothing.
    moments.push(isPulse ? [last, move(clockPin), move(clockPin)] : [move(pin)])
    steps.push(isPulse ? { pulse: [clockPin] } : { set: { [pin]: level(pin) } })
  }
  return { steps, moments }
}

test.each([
  ['16V8', 'registered'],
  ['20V8', 'registered'],
  ['22V10', null],
] as const)('%s', (part, mode) => {
  const table = tableOf({ part, mode })
  const known = { levels: 0, unknown: 0 }
  for (let seed = 1; seed <= DESIGNS; seed++) {
    const random = seededRandom(7_000 + seed)
    const design = randomDesign(table, random)
    if (!design.outputs.some(({ kind }) => kind === 'registered')) continue
    const { steps, moments } = sampleOf(table, design, random)
    const outputs = table.cells.map(({ pin }) => pin)
    const run = runDesign(design, steps, { start: 'power-up', watch: outputs })
    run.steps.forEach((step, i) => {
      const found = [...step.onTheWay, step]
      expect(found.length, `seed ${seed} step ${i}`).toBe(moments[i]!.length)
      found.forEach(({ levels, driving, states }, at) => {
        const expected = moments[i]![at]!
        const where = `${part} seed ${7_000 + seed}, step ${i + 1} moment ${at}`
        const agree = (text: string, wanted: readonly boolean[]): void => {
          known.levels += text.length
          known.unknown += text.replace(/[^X]/g, '').length
          expect(
            Array.from(text, (character, k) => (character === 'X' ? (wanted[k] ? '1' : '0') : character)).join(''),
            where,
          ).toBe(wanted.map(Number).join(''))
        }
        agree(
          levels,
          outputs.map((pin) => expected.levels.get(pin)!),
        )
        agree(
          driving,
          outputs.map((pin) => expected.driving.has(pin)),
        )
        agree(
          states,
          run.registers.map((pin) => expected.registers.get(pin as number)!),
        )
      })
    })
  }
  expect(known.levels).toBeGreaterThan(DESIGNS * STEPS * 8)
  expect(known.unknown / known.levels).toBeLessThan(0.03)
})
