/**
 * Counters in parts with registers other than a 16V8, through the typical sequences that TI prints for the '160 to '163
 * (SDLS060, October 1976, revised March 1988): p. 10 decade, p. 11 binary. The reset row of a 22V10 makes the
 * asynchronous clear of the '160 and '161; its preset row, behind which active-low outputs show low, the synchronous
 * one of the '162 and '163.
 */
import { describe, expect, test } from 'vitest'
import type { Design, DesignOutput, Enable } from './design'
import { namedOutput, namedTerm, runTable, vectorOf, type Pins } from './function-tables'

const BITS = ['A', 'B', 'C', 'D'] as const

/** What keeps a bit as it is while counting, and when it turns round: low bits for high ones, and the other way. */
interface Behaviour {
  readonly keepsHigh: readonly string[]
  readonly rises: string
  readonly keepsLow: readonly string[]
  readonly falls: string
}

/** After fifteen comes 0: a bit turns round when all lower ones are high. */
const BINARY: readonly Behaviour[] = BITS.map((_, i) => {
  const lower = BITS.slice(0, i).map((name) => `Q${name}`)
  const keeps = lower.map((name) => `${name}'`)
  return { keepsHigh: keeps, rises: lower.join(' '), keepsLow: keeps, falls: lower.join(' ') }
})

/** After nine comes 0: B does not rise while D is high, and D falls with A. */
const DECADE: readonly Behaviour[] = [
  { keepsHigh: [], rises: '', keepsLow: [], falls: '' },
  { keepsHigh: ["QA'"], rises: "QA QD'", keepsLow: ["QA'", 'QD'], falls: 'QA' },
  { keepsHigh: ["QA'", "QB'"], rises: 'QA QB', keepsLow: ["QA'", "QB'"], falls: 'QA QB' },
  { keepsHigh: ["QA'"], rises: 'QA QB QC', keepsLow: ["QA'", "QB'", "QC'"], falls: 'QA' },
]

/** Terms of the next state of a bit, or (`low`) of its complement: load, hold, count. */
function nextState(bit: string, { keepsHigh, rises, keepsLow, falls }: Behaviour, low: boolean): string[] {
  const now = low ? "'" : ''
  const other = low ? '' : "'"
  const keeps = low ? keepsLow : keepsHigh
  return [
    `LOAD' ${bit}${now}`,
    ...["ENP'", "ENT'", ...keeps].map((why) => `LOAD Q${bit}${now} ${why}`),
    `LOAD ENP ENT Q${bit}${other} ${low ? falls : rises}`,
  ]
}

interface Counter {
  readonly name: string
  readonly pins: Pins
  readonly pinCount: number
  readonly design: Design
  readonly asynchronousClear: boolean
  /** Load, the counts that follow, and the count at which the carry is high. */
  readonly load: number
  readonly counts: readonly number[]
  readonly last: number
}

const SEQUENCES = {
  binary: { behaviour: BINARY, load: 12, counts: [13, 14, 15, 0, 1, 2], last: 15, carry: ['QA', 'QB', 'QC', 'QD'] },
  decade: { behaviour: DECADE, load: 7, counts: [8, 9, 0, 1, 2, 3], last: 9, carry: ['QA', 'QD'] },
}

const PINS_22V10: Pins = {
  CLR: 2,
  LOAD: 3,
  ENP: 4,
  ENT: 5,
  A: 6,
  B: 7,
  C: 8,
  D: 9,
  QA: 23,
  QB: 22,
  QC: 21,
  QD: 20,
  RCO: 14,
}

/**
 * In a 22V10 the true column of a register is ¬Q: of an active-high one the opposite of its pin, of an active-low one
 * the pin.
 */
function counter22V10(name: string, kind: keyof typeof SEQUENCES, asynchronousClear: boolean): Counter {
  const pins = PINS_22V10
  const { behaviour, carry, ...sequence } = SEQUENCES[kind]
  const reads: Pins = asynchronousClear
    ? { ...pins, ...Object.fromEntries(BITS.map((bit) => [`Q${bit}`, -pins[`Q${bit}`]!])) }
    : pins
  const outputs = BITS.map((bit, i): DesignOutput => {
    const terms = nextState(bit, behaviour[i]!, !asynchronousClear).map((term) => namedTerm(reads, term))
    return { pin: pins[`Q${bit}`]!, kind: 'registered', activeHigh: asynchronousClear, enable: 'always', terms }
  })
  outputs.push({
    pin: pins['RCO']!,
    kind: 'combinational',
    activeHigh: true,
    enable: 'always',
    terms: [namedTerm(reads, `ENT ${carry.join(' ')}`)],
  })
  const clear = namedTerm(pins, "CLR'")
  const design: Design = {
    part: '22V10',
    mode: null,
    clockPin: 1,
    outputs,
    ...(asynchronousClear ? { reset: clear } : { clockedPreset: clear }),
  }
  return { name, pins, pinCount: 24, design, asynchronousClear, ...sequence }
}

/** In a PAL with registers every output is the complement of its sum, and clear is a term; the carry by its zeros. */
function counterPal(
  name: string,
  kind: keyof typeof SEQUENCES,
  given: { readonly part: string; readonly pins: Pins; readonly pinCount: number; readonly lowPin: number },
): Counter {
  const { part, pins, pinCount, lowPin } = given
  const { behaviour, carry, ...sequence } = SEQUENCES[kind]
  const enable: Enable = { lowPin }
  const outputs = BITS.map((bit, i) =>
    namedOutput(pins, `Q${bit}`, {
      low: true,
      registered: true,
      enable,
      terms: ["CLR'", ...nextState(bit, behaviour[i]!, true)],
    }),
  )
  if (pins['RCO'])
    outputs.push(namedOutput(pins, 'RCO', { low: true, terms: ["ENT'", ...carry.map((bit) => `${bit}'`)] }))
  return {
    name,
    pins,
    pinCount,
    design: { part, mode: null, clockPin: 1, outputs },
    asynchronousClear: false,
    ...sequence,
  }
}

const INPUTS = { CLR: 2, LOAD: 3, ENP: 4, ENT: 5, A: 6, B: 7, C: 8, D: 9 }
const P16R4 = { part: '16R4', pins: { ...INPUTS, QA: 17, QB: 16, QC: 15, QD: 14, RCO: 19 }, pinCount: 20, lowPin: 11 }
const P20R4 = { part: '20R4', pins: { ...INPUTS, QA: 20, QB: 19, QC: 18, QD: 17, RCO: 15 }, pinCount: 24, lowPin: 13 }
/** No output without a register, so no carry. */
const P20R8 = { part: '20R8', pins: { ...INPUTS, D: 23, QA: 22, QB: 15, QC: 19, QD: 18 }, pinCount: 24, lowPin: 13 }

const COUNTERS: readonly Counter[] = [
  counter22V10("'160 in a 22V10", 'decade', true),
  counter22V10("'161 in a 22V10", 'binary', true),
  counter22V10("'162 in a 22V10", 'decade', false),
  counter22V10("'163 in a 22V10", 'binary', false),
  counterPal("'163 in a 16R4", 'binary', P16R4),
  counterPal("'162 in a 16R4", 'decade', P16R4),
  counterPal("'162 in a 20R4", 'decade', P20R4),
  counterPal("'163 without carry in a 20R8", 'binary', P20R8),
  counterPal("'162 without carry in a 20R8", 'decade', P20R8),
]

interface Step {
  readonly controls?: { readonly CLR?: 0; readonly LOAD?: 0; readonly ENP?: 0; readonly ENT?: 0 }
  readonly data?: number
  /** No clock. */
  readonly still?: boolean
  readonly count: number
}

function vector({ pins, pinCount, last, design }: Counter, { controls = {}, data = 0, still, count }: Step): string {
  const conditions = new Map<number, string>([[1, still ? '0' : 'C']])
  if (design.part !== '22V10') conditions.set(pinCount === 20 ? 11 : 13, '0')
  for (const name of ['CLR', 'LOAD', 'ENP', 'ENT'] as const) conditions.set(pins[name]!, String(controls[name] ?? 1))
  BITS.forEach((bit, i) => {
    conditions.set(pins[bit]!, String((data >> i) & 1))
    conditions.set(pins[`Q${bit}`]!, (count >> i) & 1 ? 'H' : 'L')
  })
  if (pins['RCO']) conditions.set(pins['RCO'], count === last && controls.ENT !== 0 ? 'H' : 'L')
  return vectorOf(conditions, pinCount)
}

describe.each(COUNTERS.map((one) => [one.name, one] as const))('%s', (_, counter) => {
  const { design, load, counts, last, asynchronousClear } = counter
  const cleared: Step = { controls: { CLR: 0 }, still: asynchronousClear, count: 0 }
  const run = (steps: readonly Step[]): ReturnType<typeof runTable> =>
    runTable(
      design,
      steps.map((step) => vector(counter, step)),
    )

  test('clear, load, count, hold: the printed sequence', () => {
    const held = counts.at(-1)!
    const steps: Step[] = [
      cleared,
      { controls: { LOAD: 0 }, data: load, count: load },
      ...counts.map((count) => ({ count })),
      { controls: { ENP: 0 }, count: held },
      { controls: { ENT: 0 }, data: 15, count: held },
    ]
    expect(run(steps)).toEqual({ passed: steps.length, first: null })
    // The same sequence expected one clock later is wrong at every vector at which the count moves on.
    const moving = steps.filter((step, i) => i > 0 && step.count !== steps[i - 1]!.count).length
    expect(run(steps.map((step, i) => ({ ...step, count: steps[Math.max(0, i - 1)]!.count }))).passed).toBe(
      steps.length - moving,
    )
  })

  test('all its states and around', () => {
    const around = Array.from({ length: last + 3 }, (__, i) => ({ count: (i + 1) % (last + 1) }))
    expect(run([cleared, ...around])).toEqual({ passed: last + 4, first: null })
  })

  test('clear goes before load, with the clock or without it as the type has it', () => {
    const loaded: Step = { controls: { LOAD: 0 }, data: load, count: load }
    const still: Step = {
      controls: { CLR: 0, LOAD: 0 },
      data: load,
      still: true,
      count: asynchronousClear ? 0 : load,
    }
    expect(
      run([cleared, loaded, still, { controls: { CLR: 0, LOAD: 0 }, data: load, count: 0 }, { count: 1 }]),
    ).toEqual({ passed: 5, first: null })
  })
})
