/** Settings of the 16V8 and 20V8 cells (GAL16V8 data sheet p. 4, 6, 8; GAL20V8 data sheet p. 4, 6, 8). */
import type { CellSetting } from '../device'

/** Enabled by the first of eight rows. */
export const ROW_ENABLED: CellSetting = {
  output: 'combinational',
  enable: { row: 0 },
  sums: [{ from: 1, count: 7 }],
  polarity: 'before',
  inverting: true,
}

/** Registered cell of the 16V8. */
export const REGISTERED_16: CellSetting = {
  output: 'registered',
  enable: { lowPin: 11 },
  sums: [{ from: 0, count: 8 }],
  polarity: 'before',
  inverting: true,
  clock: { pin: 1 },
  powerUp: 0,
}

/** Registered cell of the 20V8. */
export const REGISTERED_20: CellSetting = {
  output: 'registered',
  enable: { lowPin: 13 },
  sums: [{ from: 0, count: 8 }],
  polarity: 'before',
  inverting: true,
  clock: { pin: 1 },
  powerUp: 0,
}

/** AC1 = 0 in complex mode. */
export const UNDEFINED: CellSetting = {
  output: 'undefined',
  enable: 'never',
  sums: [],
  polarity: 'none',
  inverting: true,
}

/** Simple mode, output. */
export const ALWAYS_ON: CellSetting = {
  output: 'combinational',
  enable: 'always',
  sums: [{ from: 0, count: 8 }],
  polarity: 'before',
  inverting: true,
}

/** Simple mode, input. */
export const INPUT_ONLY: CellSetting = {
  output: 'none',
  enable: 'never',
  sums: [],
  polarity: 'none',
  inverting: true,
}
