/** Value change dumps (IEEE Std 1364-2001, clause 18): text by hand, and waves read back by a reader of their own. */
import { describe, expect, test } from 'vitest'
import { runSteps, valueChangeDump, type SequenceRun, type SequenceStep, type Step } from '../../src/logic'
import { encode, tableOf } from '../parts/encoder'
import { decodeStates } from '../parts/probe'
import { randomDesign, seededRandom } from '../parts/random-designs'
import { sampleSize } from '../sample-size'
import { runDesign } from './outcomes'
import { readDump, valueAt } from './vcd-reader'
import { granted } from '../granted'

/** A run of so many moments, written down by hand: `levels states` of each step, those on the way before a bar. */
function madeRun(pins: SequenceRun['pins'], registers: readonly number[], steps: readonly string[]): SequenceRun {
  const made = steps.map((text, i): SequenceStep => {
    const moments = text.split('|').map((one) => {
      const [moment, levels = '', states = ''] = one.trim().split(' ')
      return { moment: moment as 'set', levels: levels === '-' ? '' : levels, driving: '', states }
    })
    return {
      number: i + 1,
      entry: i,
      note: null,
      onTheWay: moments.slice(0, -1),
      unknown: [],
      overridden: [],
      checks: [],
      ...moments.at(-1)!,
    }
  })
  return {
    part: '16V8',
    mode: null,
    start: 'unknown',
    timeStep: 100,
    pins,
    registers,
    steps: made,
    reasons: [],
    expectations: { held: 0, contradicted: 0, open: 0 },
  }
}

const pinsOf = (count: number): SequenceRun['pins'] =>
  Array.from({ length: count }, (_, i) => ({ pin: i + 1, name: null }))

test('a small run as text, worked by hand', () => {
  const run = madeRun(
    [
      { pin: 1, name: 'clk' },
      { pin: 19, name: null },
    ],
    [19],
    ['set 0X X', 'set 0X X | pulse 11 0 | return 01 0', 'set 01 0', 'set 0Z 0 | load 0Z 1'],
  )
  // Codes are the printable characters from ! on. Step 2 begins at 100: pulse at half of it, back at three quarters;
  // step 3 changes nothing; step 4 begins at 300, its preload lies a quarter on; the end is at 4 × 100.
  expect(valueChangeDump(run)).toBe(`$version fuse-assay $end
$timescale 1 ns $end
$scope module part_16v8 $end
$var wire 1 ! clk $end
$var wire 1 " p19 $end
$var reg 1 # q19 $end
$upscope $end
$enddefinitions $end
#0
$dumpvars
0!
x"
x#
$end
#150
1!
1"
0#
#175
0!
#300
z"
#325
1#
#400
`)
})

test('the least step still has four moments', () => {
  const dump = readDump(
    valueChangeDump({ ...madeRun(pinsOf(1), [], ['set 0 | load 1 | pulse 0 | return 1', 'set 0']), timeStep: 4 }),
  )
  expect(dump.variables[0]!.changes.map(({ time }) => time)).toEqual([0, 1, 2, 3, 4])
  expect(dump.end).toBe(8)
})

describe('names', () => {
  const namesOf = (pins: SequenceRun['pins'], registers: readonly number[] = []): string[] =>
    readDump(
      valueChangeDump(
        madeRun(pins, registers, [`set ${'0'.repeat(pins.length) || '-'} ${'0'.repeat(registers.length)}`]),
      ),
    ).variables.map(({ name }) => name)

  test('are simple identifiers (2.7), no keywords, and each stands once', () => {
    const named = ['clk', '/OE', 'A 0', 'A_0', '3Y', '$x', 'reg', 'p9', 'q19', 'Größe'].map((name, i) => ({
      pin: i + 1,
      name,
    }))
    const names = namesOf([...named, { pin: 11, name: null }, { pin: 19, name: null }], [19])
    expect(names).toEqual([
      'clk',
      '_OE',
      'A_0',
      'A_0_p4',
      '_3Y',
      '_$x',
      'reg_p7',
      'p9',
      'q19_p9',
      'Gr__e',
      'p11',
      'p19',
      'q19',
    ])
  })

  test('stay apart however they are chosen', () => {
    const names = namesOf([
      { pin: 1, name: 'p2' },
      { pin: 2, name: null },
      { pin: 3, name: 'p2_p1' },
      { pin: 4, name: 'a-b' },
      { pin: 5, name: 'a+b_p6' },
      { pin: 6, name: 'a_b' },
    ])
    expect(new Set(names).size).toBe(6)
    expect(names[1]).toBe('p2')
  })

  test('the scope is the part or what the caller says', () => {
    const run = madeRun(pinsOf(1), [], ['set 0'])
    expect(readDump(valueChangeDump(run)).scope).toBe('part_16v8')
    expect(readDump(valueChangeDump(run, { module: 'board_U7' })).scope).toBe('board_U7')
    for (const module of ['', '7', 'a b', 'module', 'é', '$a'])
      expect(() => valueChangeDump(run, { module }), module).toThrow(RangeError)
  })
})

test('more than 94 variables have codes of their own, and so have more than 94 × 94', () => {
  for (const count of [94, 95, 300, 94 + 94 * 94 + 1]) {
    const values = Array.from({ length: count }, (_, i) => '01XZ'[i % 4]).join('')
    const { variables } = readDump(valueChangeDump(madeRun(pinsOf(count), [], [`set ${values}`])))
    expect(variables).toHaveLength(count)
    expect(variables.map(({ changes }) => changes[0]!.value).join('')).toBe(values.toLowerCase())
    // 94 codes of one character, 94² of two, then three.
    expect(variables.at(-1)!.code).toHaveLength(count <= 94 ? 1 : count <= 94 + 94 * 94 ? 2 : 3)
  }
})

/** Every moment of every step is what the waves show at its time, and until the next one. */
function expectWaves(run: SequenceRun, label: string): number {
  const dump = readDump(valueChangeDump(run))
  expect(dump.variables.map(({ kind }) => kind)).toEqual([
    ...run.pins.map(() => 'wire'),
    ...run.registers.map(() => 'reg'),
  ])
  expect(dump.end).toBe(run.steps.length * run.timeStep)
  const offsets = { set: 0, load: 0.25, pulse: 0.5, return: 0.75 }
  let shown = 0
  run.steps.forEach((step, i) => {
    const moments = [...step.onTheWay, step]
    moments.forEach(({ moment, levels, states }, at) => {
      const from = i * run.timeStep + Math.floor(offsets[moment] * run.timeStep)
      const next = moments[at + 1]
      const until = next ? i * run.timeStep + Math.floor(offsets[next.moment] * run.timeStep) : (i + 1) * run.timeStep
      for (const time of [from, until - 1])
        expect(
          dump.variables.map((variable) => valueAt(variable, time)).join(''),
          `${label}, step ${i + 1} ${moment} at ${time}`,
        ).toBe((levels + states).toLowerCase())
      shown++
    })
  })
  return shown
}

test('waves equal the run at each moment: random designs, random steps with pulses, preloads and all four levels', () => {
  const table = tableOf({ part: '16V8', mode: 'registered' })
  let shown = 0
  for (let seed = 31_000; seed < 31_000 + sampleSize(5, 40); seed++) {
    const random = seededRandom(seed)
    const design = randomDesign(table, random)
    const registers = design.outputs.filter(({ kind }) => kind === 'registered').map(({ pin }) => pin)
    const inputs = [2, 3, 4, 5, 6, 7, 8, 9, 12, 15, 19]
    const steps = Array.from({ length: 25 }, (_, i): Step => ({
      set: {
        ...(i === 0 ? { 1: 0, 11: 0 } : {}),
        [inputs[random(inputs.length)]!]: ([0, 1, 'X', 'Z'] as const)[random(4)]!,
      },
      ...(random(2) ? { pulse: [1] } : {}),
      ...(random(4) === 0 && registers.length > 0
        ? { load: { [registers[random(registers.length)]!]: random(2) as 0 | 1 } }
        : {}),
      repeat: 1 + random(3),
    }))
    const run = granted(runSteps(decodeStates(encode(design)), {
      steps,
      start: 'power-up',
      timeStep: [4, 5, 7, 100, 1_000_000_000][random(5)]!,
    }))
    shown += expectWaves(run, `seed ${seed}`)
  }
  expect(shown).toBeGreaterThan(20 * 25)
})

test('the same run gives the same text, without a date', () => {
  const design = {
    part: '16V8',
    mode: 'registered',
    clockPin: 1,
    outputs: [{ pin: 19, kind: 'registered', activeHigh: true, enable: { lowPin: 11 }, terms: [[2]] }],
  } as const
  const dump = (): string => valueChangeDump(runDesign(design, [{ set: { 1: 0, 11: 0, 2: 1 }, pulse: [1] }]))
  expect(dump()).toBe(dump())
  expect(dump()).not.toContain('$date')
  expect(readDump(dump())).toMatchObject({ version: 'fuse-assay', timescale: '1 ns' })
})

test('what is no run, and options that are none, are refused', () => {
  for (const wrong of [null, undefined, 3, {}, 'x'])
    expect(() => valueChangeDump(wrong as never), String(wrong)).toThrow(TypeError)
  expect(() => valueChangeDump(madeRun(pinsOf(1), [], ['set 0']), null as never)).toThrow(TypeError)
})
