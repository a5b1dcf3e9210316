/**
 * The cases of captured tables: images in hexadecimal, and the fuse file that they are compared with (`alone`: with
 * none).
 * As in `make.mjs`, to which they belong, nothing of the library is used.
 */

/** Files made with the helpers of `make.mjs`. */
export function captureCases({ frame, fuseSum, lists, run, small, large, complementOfPin2 }) {
  /** Pin 17 is the complement of pin 2; pins 14 to 16 are high. */
  const inverter = small({ ...complementOfPin2, vectors: ['V1 N1NNNNNNNNNNNHHHLNNN*'] })
  /** A 16 × 48 × 8 array whose fuses `ones` are open; nothing but its order is remarked on. */
  const array = (ones) =>
    frame([
      'Array*',
      'QP28*',
      'QF1928*',
      'QV1*',
      'G0*',
      'F0*',
      ...lists(ones),
      `C${fuseSum(ones)}*`,
      `V1 ${'N'.repeat(28)}*`,
    ])
  const part = { device: '14L4' }
  const alone = { images: [], alone: true }
  const table = { address: [2, 3], data: [17, 16] }
  const column = { address: [2, 3], data: [17] }
  return {
    'capture-size': {
      why: 'Three bytes are no table of two address lines.',
      text: inverter,
      capture: { ...alone, images: ['000101'] },
      options: { wiring: table },
      verdict: 'fail',
      findings: [['capture/size', null]],
    },
    'capture-no-table-size': {
      why: 'Three bytes are no table whatever the lines are.',
      text: inverter,
      capture: { images: ['000101'] },
      options: { ...part, search: {} },
      verdict: 'fail',
      findings: [['capture/no-table-size', null]],
    },
    'capture-images-differ-in-size': {
      why: 'One image has four bytes and the other two.',
      text: inverter,
      capture: { ...alone, images: ['00010100', '0001'] },
      options: { wiring: column },
      verdict: 'fail',
      findings: [
        ['capture/images-differ-in-size', null],
        ['capture/size', null],
      ],
    },
    'capture-all-alike': {
      why: 'Every byte is FF.',
      text: inverter,
      capture: { ...alone, images: ['FFFFFFFF'] },
      options: { wiring: table },
      verdict: 'fail',
      findings: [['capture/all-alike', null]],
    },
    'capture-idle-address-line': {
      why: 'D0 is A0 and D1 its complement; A1, at pin 3, makes no difference.',
      text: inverter,
      capture: { ...alone, images: ['02010201'] },
      options: { wiring: table },
      verdict: 'caution',
      findings: [['capture/idle-address-line', null, { pin: 3 }]],
    },
    'capture-stuck-data-line': {
      why: 'D0 is the exclusive-or of both lines; D1, at pin 16, is always low.',
      text: inverter,
      capture: { ...alone, images: ['00010100'] },
      options: { wiring: table },
      verdict: 'caution',
      findings: [['capture/stuck-data-line', null, { pin: 16 }]],
    },
    'capture-copied-data-line': {
      why: 'D0 and D1 are both the exclusive-or of both lines.',
      text: inverter,
      capture: { ...alone, images: ['00030300'] },
      options: { wiring: table },
      verdict: 'caution',
      findings: [['capture/copied-data-line', null, { pin: 16 }]],
    },
    'capture-noise': {
      why: 'Two captures differ at address 3.',
      text: inverter,
      capture: { ...alone, images: ['00010100', '00010101'] },
      options: { wiring: column },
      verdict: 'fail',
      findings: [['capture/noise', null]],
    },
    'capture-direction': {
      why: 'Counting up and counting down give different levels at address 3.',
      text: inverter,
      capture: { ...alone, images: ['00010100', '00010100'], down: ['00010101'] },
      options: { wiring: column },
      verdict: 'fail',
      findings: [['capture/direction', null]],
    },
    'capture-rows-left-out': {
      why: 'Address 0 is stated to be misread.',
      text: inverter,
      capture: { ...alone, images: ['00010100'] },
      options: { wiring: { ...column, badRows: [0] } },
      verdict: 'pass',
      findings: [['capture/rows-left-out', null]],
    },
    'capture-wiring-from-memory': {
      why: 'The wiring goes by the name of the one that is at hand.',
      text: inverter,
      capture: { ...alone, images: ['00010100'] },
      options: { wiring: { ...column, title: 'plain-28' } },
      verdict: 'pass',
      findings: [['capture/wiring-from-memory', null]],
    },
    'capture-no-logic': {
      why: 'The file that it is compared with holds no fuses.',
      text: frame(['Vectors alone*', 'QP20*', 'QV1*', 'G0*', `V1 ${'N'.repeat(20)}*`]),
      capture: { images: ['0100'] },
      options: { wiring: { address: [2], data: [17] } },
      verdict: 'fail',
      findings: [
        ['capture/no-logic', null],
        ['device/no-fuses', null],
      ],
    },
    'capture-wiring-does-not-fit': {
      why: 'An address line is at the supply pin.',
      text: inverter,
      capture: { images: ['0100'] },
      options: { ...part, wiring: { address: [20], data: [17] } },
      verdict: 'fail',
      findings: [['capture/wiring-does-not-fit', null]],
    },
    'capture-different': {
      why: 'Pin 17 reads as pin 2 and should be its complement.',
      text: inverter,
      capture: { images: ['0001'] },
      options: { ...part, wiring: { address: [2], data: [17] } },
      verdict: 'fail',
      findings: [['capture/different', null]],
    },
    'capture-opposite-level': {
      why: 'Pin 17 reads as pin 2 in all four rows and should be its complement; pin 3 decides nothing.',
      text: inverter,
      capture: { images: ['00010001'] },
      options: { ...part, wiring: column },
      verdict: 'fail',
      findings: [
        ['capture/different', null],
        ['capture/opposite-level', null, { pin: 17 }],
      ],
    },
    'capture-no-agreement': {
      why: 'Pin 17 reads as the complement of line A1, which is stated to be pin 3: 16 of 32 rows agree, as by chance.',
      text: inverter,
      capture: { images: ['01010000'.repeat(8)] },
      options: { ...part, wiring: { address: [2, 3, 4, 5, 6], data: [17] } },
      verdict: 'fail',
      findings: [
        ['capture/different', null],
        ['capture/idle-address-line', null, { pin: 2 }],
        ['capture/no-agreement', null],
      ],
    },
    'capture-undecided': {
      why: 'Two captures disagree at address 3, so that the row is open.',
      text: inverter,
      capture: { images: ['01000100', '01000101'] },
      options: { ...part, wiring: column },
      verdict: 'fail',
      findings: [
        ['capture/noise', null],
        ['capture/undecided', null, { pin: 17 }],
      ],
    },
    'capture-state': {
      why: 'Pin 19 of a 16V8 in registered mode shows a register.',
      text: large({ mode: 'registered', ac1Pins: run(12, 7) }, { vectors: [`V1 ${'N'.repeat(20)}*`] }),
      capture: { images: ['0100'] },
      options: { device: '16V8', wiring: { address: [2], data: [19], held: { 1: 0, 11: 0 } } },
      verdict: 'caution',
      findings: [
        ['capture/state', null],
        ['capture/undecided', null, { pin: 19 }],
        ['device/power-up', null],
      ],
    },
    'capture-unwired-inputs': {
      why: 'Pin 17 depends on pin 2, and only pin 3 is wired.',
      text: inverter,
      capture: { images: ['0100'] },
      options: { ...part, wiring: { address: [3], data: [17] } },
      verdict: 'caution',
      findings: [
        ['capture/unwired-inputs', null],
        ['capture/undecided', null, { pin: 17 }],
      ],
    },
    'capture-off-rows': {
      why: 'Pin 18 of a 16V8 in complex mode is always off, as its enable row is connected throughout.',
      text: large({ mode: 'complex', ac1Pins: run(12, 8) }, { vectors: [`V1 ${'N'.repeat(20)}*`] }),
      capture: { images: ['0001'] },
      options: { device: '16V8', wiring: { address: [2], data: [18] } },
      verdict: 'caution',
      findings: [
        ['capture/drive-not-shown', null],
        ['capture/off-rows', null],
      ],
    },
    'capture-drive-not-shown': {
      why: 'Pin 18 of a 16V8 in complex mode is always off; one image has a level there all the same.',
      text: large({ mode: 'complex', ac1Pins: run(12, 8) }, { vectors: [`V1 ${'N'.repeat(20)}*`] }),
      capture: { images: ['0100'] },
      options: { device: '16V8', wiring: { address: [2], data: [18] } },
      verdict: 'caution',
      findings: [
        ['capture/drive-not-shown', null],
        ['capture/off-rows', null],
      ],
    },
    'capture-against-resistor': {
      why: 'In row 1 pin 17 reads low with the pull-up and high with the pull-down.',
      text: inverter,
      capture: { ...alone, images: [], pulls: ['00010100', '01010100'] },
      options: { wiring: column },
      verdict: 'fail',
      findings: [['capture/against-resistor', null]],
    },
    'capture-constant-outputs': {
      why: 'One line moves as pin 17 should. Pins 14 to 16 should be high; two lines are, and the third one is inverted.',
      text: inverter,
      capture: { images: ['0D0C'] },
      options: { ...part, search: {} },
      verdict: 'caution',
      findings: [
        ['capture/wiring-found', null],
        ['capture/constant-outputs', null],
      ],
    },
    'capture-sequence': {
      why: 'Pin 19 of a 16V8 in registered mode shows a register, which no edge reaches in either direction.',
      text: large({ mode: 'registered', ac1Pins: run(12, 7) }, { vectors: [`V1 ${'N'.repeat(20)}*`] }),
      capture: { images: ['0100'], down: ['0001'] },
      options: { device: '16V8', wiring: { address: [2], data: [19], held: { 1: 0, 11: 0 } } },
      verdict: 'caution',
      findings: [
        ['capture/sequence', null],
        ['capture/state', null],
        ['capture/undecided', null, { pin: 19 }],
        ['device/power-up', null],
      ],
    },
    'capture-order-fits': {
      why: 'Fuse 0 of the first 32 connected, and behind them fuse 32 of eight: term by term, F0 is I0.',
      text: array([...run(1, 31), ...run(33, 7)]),
      capture: { images: ['0001'] },
      options: { device: '82S100', wiring: { address: [9], data: [18], held: { 19: 0 } } },
      verdict: 'pass',
      findings: [['capture/order-fits', null]],
    },
    'capture-no-order-fits': {
      why: 'The first 32 fuses are open: in every order a term that is always 1, and F0 is high.',
      text: array(run(0, 32)),
      capture: { images: ['0001'] },
      options: { device: '82S100', wiring: { address: [9], data: [18], held: { 19: 0 } } },
      verdict: 'fail',
      findings: [
        ['capture/no-order-fits', null],
        ['capture/different', null],
      ],
    },
    'capture-wiring-found': {
      why: 'One line moves as pin 17 should, three are high as pins 14 to 16 should be, four are low and lead nowhere.',
      text: inverter,
      capture: { images: ['0F0E'] },
      options: { ...part, search: {} },
      verdict: 'pass',
      findings: [['capture/wiring-found', null]],
    },
    'capture-no-wiring': {
      why: 'Two data lines move, and of the part only pin 17 does.',
      text: inverter,
      capture: { images: ['0D0E'] },
      options: { ...part, search: {} },
      verdict: 'fail',
      findings: [
        ['capture/no-wiring', null],
        ['capture/different', null],
      ],
    },
    'capture-wiring-undecided': {
      why: 'One step is allowed, and the first look at all rows is one.',
      text: inverter,
      capture: { images: ['0F0E'] },
      options: { ...part, search: {}, searchOptions: { maxSteps: 1 } },
      verdict: 'caution',
      findings: [['capture/wiring-undecided', null]],
    },
  }
}
