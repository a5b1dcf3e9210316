/** The catalogue's findings of a whole board; `catalogue.ts` says what the entries mean. */
import type { Catalogue } from './finding'
import type { DataOf, ItemEntry } from './wording'

const BARE = 'common practice, no published source'
const RULE = 'rule of this check: output before output through a diode before resistor before nothing'

/** Why the logic of a part's file is not known. */
const UNUSABLE = {
  incomplete: 'its file does not give all fuses.',
  ambiguous: 'it may be {candidates,or}.',
  found: '{finding!}',
  'unknown-part': 'its part is not known.',
} as const

/** Why the logic of a file is not known, as data. */
export type UnusablePart = DataOf<{ readonly message: '{why}'; readonly words: { readonly why: typeof UNUSABLE } }>

const SUPPLY = { supply: 'supply', ground: 'ground' } as const

/** Changes that make a board equal its original. */
export const CHANGES = {
  message: '{kind}',
  between: ', or with ',
  words: {
    kind: {
      'diode-reversed': '{of,} the other way round',
      'resistor-to-other-rail': '{of,} to the other rail',
      'resistor-added': 'a resistor from net {of,to}',
      'parts-exchanged': 'the files of {of,and} exchanged',
      'pins-exchanged': 'outside pins {of,and} exchanged',
      'nets-joined': 'nets {of,and} joined',
      'diode-removed': '{of,} left out',
      'diode-added': 'a diode from {of,to}',
    },
  },
} as const satisfies ItemEntry

/** Single faults of a board. */
export const FAULTS = {
  message: '{of,and} ({kind})',
  between: ', ',
  words: {
    kind: {
      'diode-open': 'diode open',
      'diode-shorted': 'diode shorted',
      'diode-reversed': 'diode reversed',
      'resistor-missing': 'resistor missing',
      'net-open': 'net open',
      'parts-exchanged': 'parts exchanged',
    },
  },
} as const satisfies ItemEntry

/** What is missing where a number of the budget was not worked out. */
export const MISSING = {
  message: '{what}',
  between: ', ',
  words: {
    what: {
      limit: '{limit} for {of}',
      driver: 'a driver at the far end of a diode',
      'diode-loop-end': 'an end of a loop through diodes',
      'loop-end': 'an end of a loop',
      resistance: 'a resistance above 0',
      'input-below-supply': 'an input level below the supply',
      'input-above-ground': 'an input low level above 0 V',
    },
  },
} as const satisfies ItemEntry

/** What a number of the budget needs and the board does not state, or does not have. */
export type MissingLimit = DataOf<typeof MISSING>

/** Why there is nothing to compare a board with, as data. */
export type NoOriginal = DataOf<(typeof ADAPTER_FINDINGS)['adapter/original-unusable']>

/** Why the inputs of a board and its original differ, as data. */
export type OtherInputs = DataOf<(typeof ADAPTER_FINDINGS)['adapter/inputs-differ']>

/** What a board of parts, diodes and resistors can show. */
export const ADAPTER_FINDINGS = {
  'adapter/part-unusable': {
    severity: 'error',
    message: 'The logic of {part} is not known: {why}',
    hint: 'Check its file by itself and see what is wrong. Name the device in the board where the file does not tell it.',
    clause: BARE,
    words: { why: UNUSABLE },
  },
  'adapter/part-file': {
    severity: 'warning',
    message: 'Checking the file of {whose} by itself gives {verdict}: {finding!}',
    hint: 'Check that file by itself and settle this first.',
    clause: BARE,
    words: {
      whose: { part: '{part}', original: 'the original' },
      verdict: { caution: 'caution', fail: 'fail' },
    },
  },
  'adapter/supply-pin': {
    severity: 'error',
    message: 'Pin {pin} of {part} is its {role} and lies on net {net}, which no outside pin makes {role}.',
    hint: 'Correct the wiring before anything is powered.',
    clause: 'data sheet of the part',
    words: { role: SUPPLY },
  },
  'adapter/registers': {
    severity: 'warning',
    message: '{part} has registers; their states are taken as unknown, since a table shows no sequences.',
    hint: 'Compare such a part by itself, or run steps on it.',
    clause: BARE,
  },
  'adapter/net-without-driver': {
    severity: 'error',
    message: 'Nothing can drive net {net}, which {reader} reads.',
    hint: 'Connect it, or tie it with a resistor.',
    clause: RULE,
    words: { reader: { part: '{part} (pin {pin})', outside: 'outside pin {pin}' } },
  },
  'adapter/net-one-end': {
    severity: 'warning',
    message: 'Net {net} has one end only.',
    hint: 'Look for a misspelt name of a net.',
    clause: 'rule of this check: a net joins two ends',
  },
  'adapter/diode-loop': {
    severity: 'warning',
    message: 'Diodes lead in a circle through nets {nets,}.',
    hint: 'Look whether one of them is drawn the wrong way round.',
    clause: RULE,
  },
  'adapter/too-many-inputs': {
    severity: 'error',
    message: 'The board has {count} outside inputs; at most {limit} are swept.',
    hint: 'Hold some of them at a level (held in the board), or raise the limit where the caller can.',
    clause: 'limit of this check',
  },
  'adapter/too-much-work': {
    severity: 'warning',
    message: 'The table of {rows:row|rows} takes more than the {limit} steps that are spent on one board.',
    hint: 'Hold some inputs at a level, or describe the board in pieces that can be compared one at a time.',
    clause: 'limit of this check',
  },
  'adapter/contention': {
    severity: 'error',
    message:
      'A driven high on net {net} meets a driven low, there or through diodes, in {count:row|rows} of {rows}, first in row {row}.',
    hint: 'Look for a diode the wrong way round or left out, and for outputs that are on together.',
    clause: RULE,
  },
  'adapter/contention-possible': {
    severity: 'warning',
    message:
      'Where levels are unknown, a driven high on net {net} may meet a driven low, there or through diodes: in {count:row|rows} of {rows}, first in row {row}.',
    hint: 'Find out what makes the level unknown: a register, a loop, an input that floats.',
    clause: RULE,
  },
  'adapter/floating-input': {
    severity: 'error',
    message:
      'Pin {pin} of {part} floats on net {net} in {count:row|rows} of {rows}, first in row {row}, and an outside output is unknown there.',
    hint: 'Give the net a resistor to the level that it should rest at.',
    clause: RULE,
  },
  'adapter/input-floats': {
    severity: 'warning',
    message:
      'Pin {pin} of {part} floats on net {net} in {count:row|rows} of {rows}, first in row {row}; no outside output depends on it there.',
    hint: 'A floating input may take noise for levels, and draws current; a resistor settles it.',
    clause: RULE,
  },
  'adapter/output-unknown': {
    severity: 'warning',
    message: 'The level of outside pin {pin} is not known in {count:row|rows} of {rows}.',
    hint: 'Look at the other findings: loops, registers, contention and floating inputs leave levels open.',
    clause: RULE,
  },
  'adapter/internal-pull-ups': {
    severity: 'note',
    message:
      'Pull-ups inside the parts are counted on. With them a missing external resistor does not show in the logic, only in the rise time.',
    hint: 'Make sure that the chips have them (some have pin keepers instead), and judge the rise time by the budget.',
    clause: 'GAL16V8 and GAL20V8 data sheets: unused inputs float high',
  },
  'adapter/original-unusable': {
    severity: 'error',
    message: 'There is nothing to compare with: {reason}',
    hint: 'See what is wrong with the original by itself.',
    clause: BARE,
    words: {
      reason: {
        'one-level': 'every output of the image reads {level} in every row.',
        'no-shared-output': 'it has no output in common with the board.',
        registers: 'it has registers, and a table shows no sequences.',
        'too-many-inputs': 'it has more than {limit} outside inputs.',
        'too-much-work': 'its table takes more steps than the limit.',
        file: '{why}',
        part: 'the logic of {part} is not known: {why}',
      },
      why: UNUSABLE,
    },
  },
  'adapter/inputs-differ': {
    severity: 'error',
    message: 'Board and original do not have the same inputs: {reason}.',
    hint: 'Give the outside pins the numbers of the original, and hold those that the machine holds.',
    clause: 'rule of this check: rows are compared under the same inputs',
    words: {
      reason: {
        'no-signal': 'pin {pin} carries no signal on the original',
        'too-wide': 'the original depends on {inputs:input|inputs}',
        'board-lacks': 'the original depends on {pins,=pin|pins}, which the board does not have',
        states: 'the original has states, which a board’s table does not show',
        'one-side': 'pin {pin} is swept on one side only',
      },
    },
  },
  'adapter/output-not-compared': {
    severity: 'warning',
    message: 'Output pin {pin} is one of {side} only, and is not compared.',
    hint: 'Add it to the outside pins, or make sure that the machine does not use it.',
    clause: 'rule of this check: outputs are compared pin by pin',
    words: { side: { board: 'the board', original: 'the original' } },
  },
  'adapter/output-differs': {
    severity: 'error',
    message:
      'In {count:row|rows} of {rows} the board gives another level than the original, first in row {row}: {board} instead of {original}.',
    hint: 'Follow that row through the board; a diode the wrong way round and exchanged files are the usual causes.',
    clause: 'rule of this check: all rows of the table',
  },
  'adapter/rows-left-out': {
    severity: 'note',
    message: '{bad:row is|rows are} stated to be misread and {free} not to matter; {judged} of {rows} were compared.',
    hint: 'Nothing is said about the rows that were left out.',
    clause: 'request of the caller',
  },
  'adapter/no-row-judged': {
    severity: 'error',
    message: 'None of {rows:row|rows} was compared: all are stated to be misread or not to matter.',
    hint: 'Look at the patterns and bad rows in the wiring of the image.',
    clause: 'rule of this check: what was not compared is not equal',
  },
  'adapter/drive-not-shown': {
    severity: 'warning',
    message:
      'Whether the original switches {pins,=pin|pins} off where the board does is not shown: off counts as a level on both sides.',
    hint: 'Compare with a fuse file, or read the original once with pull-ups and once with pull-downs.',
    clause: BARE,
  },
  'adapter/one-change': {
    severity: 'note',
    message: 'With one change the board is the same as the original in every row compared: {changes,}.',
    hint: 'Look at that place on the board first.',
    clause: 'rule of this check: one change at a time of a closed list',
    items: { changes: CHANGES },
  },
  'adapter/part-without-supply': {
    severity: 'error',
    message: '{part} has {open,}: nothing is connected there.',
    hint: 'Connect supply and ground of every part before anything is powered.',
    clause: 'data sheet of the part',
    items: { open: { message: 'no {role} (pin {pin})', between: ' and ', words: { role: SUPPLY } } },
  },
  'adapter/faults-not-tried': {
    severity: 'note',
    message: '{tried} of {total} single faults were tried; the others take more steps than the limit.',
    hint: 'Hold some inputs at a level, or describe the board in pieces.',
    clause: 'limit of this check',
  },
  'adapter/faults-unnoticed': {
    severity: 'note',
    message: '{count} of {total} single faults tried would not surely be noticed by this comparison: {faults,}{listed}.',
    hint: 'Look at these places on the finished board with a meter.',
    clause: 'rule of this check: one fault at a time of a closed list',
    words: { listed: { all: '', some: ', …' } },
    items: { faults: FAULTS },
  },
  'adapter/budget-exceeded': {
    severity: 'error',
    message: '{what}: {value} {unit}, and the limit is {limit} {unit}.',
    hint: 'Change the resistor, the diode type or the part; the figures are worst cases from stated limits.',
    clause: 'arithmetic on the limits that the board states',
    words: {
      what: {
        net: '{kind} of net {net}',
        way: 'time from pin {from} to pin {to}',
        'slowest-way':
          'time from pin {from} to pin {to}, the slowest of {ways} ways between pins that are too slow',
      },
      kind: {
        'low-level': 'low level',
        'high-level': 'high level',
        current: 'current',
        'rise-time': 'rise time',
        'fall-time': 'fall time',
      },
      unit: { V: 'V', A: 'A', s: 's', ns: 'ns' },
    },
  },
  'adapter/budget-open': {
    severity: 'note',
    message: '{count:line|lines} of the budget of levels and times not computed: no limit for {missing,}{listed}.',
    hint: 'Add the limits from the data sheets, with their source.',
    clause: 'rule of this check: no limit is assumed',
    words: { listed: { all: '', some: ', …' } },
    items: { missing: MISSING },
  },
} as const satisfies Catalogue
