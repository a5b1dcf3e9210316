/**
 * The cases of a whole board: the file of its part U1, the board as plain data, and what examining it yields. As in
 * `make.mjs`, to which they belong, nothing of the library is used.
 */

/** Files made with the helpers of `make.mjs`. */
export function adapterCases({ fuseSum, run, small, large, quiet }) {
  /**
   * A 14L4 whose row 0, of pin 17, holds one literal: its column is 0 for pin 2, 4 for pin 3. Pin 17 is its
   * complement; pins 14 to 16 are high.
   */
  const inverter = (column, pin) => {
    const ones = run(0, 28).filter((fuse) => fuse !== column)
    const levels = run(1, 20)
      .map((each) => (each === pin ? '0' : each >= 14 && each <= 17 ? 'H' : 'N'))
      .join('')
    const digits = run(0, 28)
      .map((fuse) => (fuse === column ? '0' : '1'))
      .join('')
    return { lists: [`L0 ${digits}*`], sum: [`C${fuseSum(ones)}*`], vectors: [`V1 ${levels}*`] }
  }
  const text = small(inverter(0, 2))

  const limits = { delay: 1.5e-8, source: 'invented' }
  /** Pin 2 of the part at A, pin 17 at F, the other outputs too, all under the part's own numbers outside. */
  const pins = { 2: 'A', 14: 'G', 15: 'H', 16: 'I', 17: 'F' }
  const input = { pin: 2, net: 'A', direction: 'input' }
  const outputs = [
    [14, 'G'],
    [15, 'H'],
    [16, 'I'],
    [17, 'F'],
  ].map(([pin, net]) => ({ pin, net, direction: 'output' }))
  const board = ({ part = {}, outside = [input, ...outputs], ...more } = {}) => ({
    parts: [{ name: 'U1', device: '14L4', pins, limits, ...part }],
    outside,
    ...more,
  })
  const diode = (name, anode, cathode) => ({ name, anode, cathode })
  const second = { pin: 3, net: 'B', direction: 'input' }

  /** A diode without pull-up from A to B: A floats while B is high. */
  const floating = (outside) => board({ outside: [second, ...outside], diodes: [diode('D1', 'A', 'B')] })
  return {
    'adapter-part-unusable': {
      why: 'U1 has no fuses at all.',
      text: '\x02*QP20*\x030000',
      board: board(),
      verdict: 'fail',
      findings: [['adapter/part-unusable', null]],
    },
    'adapter-part-file': {
      why: 'The fuse checksum in the file of U1 is wrong.',
      text: small({ ...inverter(0, 2), sum: ['C1234*'] }),
      board: board(),
      verdict: 'caution',
      findings: [['adapter/part-file', null]],
    },
    'adapter-supply-pin': {
      why: 'The supply pin of U1, 20, lies on its input.',
      text,
      board: board({ part: { pins: { ...pins, 20: 'A' } } }),
      verdict: 'fail',
      findings: [['adapter/supply-pin', null]],
    },
    'adapter-registers': {
      why: 'Pin 19 of a 16V8 in registered mode is a register, whose state no table shows.',
      text: large({ mode: 'registered', ac1Pins: run(12, 7) }, { vectors: [`V1 ${'N'.repeat(20)}*`] }),
      board: {
        parts: [{ name: 'U1', device: '16V8', pins: { 1: 'CLOCK', 11: 'ENABLE', 19: 'F' }, limits }],
        outside: [
          { pin: 1, net: 'CLOCK', direction: 'input' },
          { pin: 11, net: 'ENABLE', direction: 'input', held: 0 },
          { pin: 19, net: 'F', direction: 'output' },
        ],
      },
      verdict: 'caution',
      findings: [
        ['adapter/registers', null],
        ['adapter/output-unknown', null, { pin: 19 }],
      ],
    },
    'adapter-net-without-driver': {
      why: 'Pin 2 of U1, which pin 17 depends on, is connected to nothing.',
      text,
      board: board({ outside: outputs, part: { pins: { 14: 'G', 15: 'H', 16: 'I', 17: 'F' } } }),
      verdict: 'fail',
      findings: [
        ['adapter/net-without-driver', null],
        ['adapter/output-unknown', null, { pin: 17 }],
      ],
    },
    'adapter-net-one-end': {
      why: 'A resistor leads to a net that has nothing else on it.',
      text,
      board: board({ resistors: [{ name: 'R1', net: 'AA', to: 'supply' }] }),
      verdict: 'caution',
      findings: [['adapter/net-one-end', null]],
    },
    'adapter-diode-loop': {
      why: 'Two diodes lie between A and B, one each way round.',
      text,
      board: board({ diodes: [diode('D1', 'A', 'B'), diode('D2', 'B', 'A')] }),
      verdict: 'caution',
      findings: [['adapter/diode-loop', null]],
    },
    'adapter-too-many-inputs': {
      why: 'One outside input, and none may be swept.',
      text,
      board: board(),
      options: { maxInputs: 0 },
      verdict: 'fail',
      findings: [['adapter/too-many-inputs', null]],
    },
    'adapter-contention': {
      why: 'Outside pins 2 and 3 both drive A.',
      text,
      board: board({ outside: [input, { ...second, net: 'A' }, ...outputs] }),
      verdict: 'fail',
      findings: [
        ['adapter/contention', null],
        ['adapter/output-unknown', null, { pin: 17 }],
      ],
    },
    'adapter-contention-possible': {
      why: 'Pin 17 reads its own level inverted and never settles, while outside pin 2 drives the same net.',
      text,
      board: board({ part: { pins: { ...pins, 2: 'F' } }, outside: [{ ...input, net: 'F' }, ...outputs] }),
      verdict: 'caution',
      findings: [
        ['adapter/contention-possible', null],
        ['adapter/output-unknown', null, { pin: 17 }],
      ],
    },
    'adapter-floating-input': {
      why: 'A diode pulls A low, and nothing pulls it high; pin 17 depends on it.',
      text,
      board: floating(outputs),
      verdict: 'fail',
      findings: [
        ['adapter/floating-input', null],
        ['adapter/output-unknown', null, { pin: 17 }],
      ],
    },
    'adapter-input-floats': {
      why: 'A diode pulls A low, and nothing pulls it high; no outside pin shows pin 17.',
      text,
      board: {
        ...floating(outputs.slice(0, 3)),
        parts: board({ part: { pins: { 2: 'A', 14: 'G', 15: 'H', 16: 'I' } } }).parts,
      },
      verdict: 'caution',
      findings: [['adapter/input-floats', null]],
    },
    'adapter-output-unknown': {
      why: 'Pin 17 reads its own level inverted and never settles.',
      text,
      board: board({ part: { pins: { ...pins, 2: 'F' } }, outside: outputs }),
      verdict: 'caution',
      findings: [['adapter/output-unknown', null, { pin: 17 }]],
    },
    'adapter-internal-pull-ups': {
      why: 'The board counts on pull-ups inside U1.',
      text,
      board: board({ internalPullUps: true }),
      verdict: 'pass',
      findings: [['adapter/internal-pull-ups', null]],
    },
    'adapter-original-unusable': {
      why: 'The original has no fuses at all.',
      text,
      board: board(),
      other: '\x02*QP20*\x030000',
      verdict: 'fail',
      findings: [['adapter/original-unusable', null]],
    },
    'adapter-inputs-differ': {
      why: 'Pin 17 of the original depends on pin 3, which the board does not have.',
      text,
      board: board(),
      other: small(inverter(4, 3)),
      verdict: 'fail',
      findings: [['adapter/inputs-differ', null]],
    },
    'adapter-output-not-compared': {
      why: 'The board does not have the original’s pin 16.',
      text,
      board: board({
        part: { pins: { 2: 'A', 14: 'G', 15: 'H', 17: 'F' } },
        outside: [input, ...outputs.filter(({ pin }) => pin !== 16)],
      }),
      other: text,
      verdict: 'caution',
      findings: [['adapter/output-not-compared', null, { pin: 16 }]],
    },
    'adapter-output-differs': {
      why: 'Pin 17 of the original is high whatever pin 2 is; that of the board is its complement.',
      text,
      board: board(),
      other: quiet,
      verdict: 'fail',
      findings: [['adapter/output-differs', null, { pin: 17 }]],
    },
    'adapter-faults-unnoticed': {
      why: 'A resistor at A, which an outside pin drives anyway, may be missing without a difference.',
      text,
      board: board({ resistors: [{ name: 'R1', net: 'A', to: 'supply' }] }),
      options: { faults: true },
      verdict: 'pass',
      findings: [['adapter/faults-unnoticed', null]],
    },
    'adapter-rows-left-out': {
      why: 'Pins 14 to 17 are data lines 0 to 3 of an image of pin 2; row 0 is stated to be misread.',
      text,
      board: board(),
      image: '0F07',
      options: { wiring: { address: [2], data: [14, 15, 16, 17], badRows: [0] } },
      verdict: 'pass',
      findings: [['adapter/rows-left-out', null]],
    },
    'adapter-no-row-judged': {
      why: 'Both rows of the image are stated to be misread.',
      text,
      board: board(),
      image: '0F07',
      options: { wiring: { address: [2], data: [14, 15, 16, 17], badRows: [[0, 1]] } },
      verdict: 'fail',
      findings: [
        ['adapter/no-row-judged', null],
        ['adapter/rows-left-out', null],
      ],
    },
    'adapter-drive-not-shown': {
      why: 'Outside pin 18 of the board is driven by nothing, and off counts as 1, which the image has there.',
      text,
      board: board({ outside: [input, ...outputs, { pin: 18, net: 'J', direction: 'output' }] }),
      image: '1F17',
      options: { wiring: { address: [2], data: [14, 15, 16, 17, 18], off: 1 } },
      verdict: 'fail',
      findings: [
        ['adapter/net-without-driver', null],
        ['adapter/drive-not-shown', null],
      ],
    },
    'adapter-one-change': {
      why: 'A diode lifts the input of pin 17 while A is high; with it the other way round R1 lifts it, and A pulls it low.',
      text,
      board: board({
        part: { pins: { ...pins, 2: 'W' } },
        diodes: [diode('D1', 'A', 'W')],
        resistors: [{ name: 'R1', net: 'W', to: 'supply' }],
      }),
      other: text,
      verdict: 'fail',
      findings: [
        ['adapter/output-differs', null, { pin: 17 }],
        ['adapter/one-change', null],
      ],
    },
    'adapter-part-without-supply': {
      why: 'An outside pin is supply, and neither supply nor ground of U1 is connected.',
      text,
      board: board({
        outside: [
          input,
          ...outputs,
          { pin: 20, net: 'VCC', direction: 'supply' },
          { pin: 10, net: 'VCC0', direction: 'ground' },
        ],
        wires: [],
        resistors: [
          { name: 'R1', net: 'VCC', to: 'supply' },
          { name: 'R2', net: 'VCC0', to: 'ground' },
        ],
      }),
      verdict: 'fail',
      findings: [['adapter/part-without-supply', null]],
    },
    'adapter-too-much-work': {
      why: 'One step is allowed, and every net is one.',
      text,
      board: board(),
      options: { maxSteps: 1 },
      verdict: 'caution',
      findings: [['adapter/too-much-work', null]],
    },
    'adapter-faults-not-tried': {
      why: 'The steps suffice for the table, and not for an open net in place of each of the five.',
      text,
      board: board(),
      options: { faults: true, maxSteps: 400 },
      verdict: 'pass',
      findings: [
        ['adapter/faults-not-tried', null],
        ['adapter/faults-unnoticed', null],
      ],
    },
    'adapter-budget-exceeded': {
      why: 'U1 takes 15 ns from pin 2 to pin 17, and the machine allows 10 ns.',
      text,
      board: board({ machine: { time: 1e-8, source: 'invented' } }),
      verdict: 'fail',
      findings: [['adapter/budget-exceeded', null, { pin: 17 }]],
    },
    'adapter-budget-open': {
      why: 'No delay of U1 is stated.',
      text,
      board: board({ part: { limits: { source: 'invented' } } }),
      verdict: 'pass',
      findings: [['adapter/budget-open', null]],
    },
  }
}
