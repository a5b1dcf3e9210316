/** The catalogue's findings of a whole board; `catalogue.ts` says what the entries mean. */
import type { Catalogue } from './finding'

const BARE = 'common practice, no published source'
const RULE = 'rule of this check: output before output through a diode before resistor before nothing'

/** What a board of parts, diodes and resistors can show. */
export const ADAPTER_FINDINGS = {
  'adapter/part-unusable': {
    severity: 'error',
    message: 'The logic of {part} is not known: {reason}.',
    hint: 'Check its file by itself and see what is wrong. Name the device in the board where the file does not tell it.',
    clause: BARE,
  },
  'adapter/part-file': {
    severity: 'warning',
    message: 'Checking the file of {part} by itself gives {verdict}: {reason}',
    hint: 'Check that file by itself and settle this first.',
    clause: BARE,
  },
  'adapter/supply-pin': {
    severity: 'error',
    message: 'Pin {pin} of {part} is its {role} and lies on net {net}, which no outside pin makes {role}.',
    hint: 'Correct the wiring before anything is powered.',
    clause: 'data sheet of the part',
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
  },
  'adapter/net-one-end': {
    severity: 'warning',
    message: 'Net {net} has one end only.',
    hint: 'Look for a misspelt name of a net.',
    clause: 'rule of this check: a net joins two ends',
  },
  'adapter/diode-loop': {
    severity: 'warning',
    message: 'Diodes lead in a circle through nets {nets}.',
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
    message: 'There is nothing to compare with: {reason}.',
    hint: 'See what is wrong with the original by itself.',
    clause: BARE,
  },
  'adapter/inputs-differ': {
    severity: 'error',
    message: 'Board and original do not have the same inputs: {reason}.',
    hint: 'Give the outside pins the numbers of the original, and hold those that the machine holds.',
    clause: 'rule of this check: rows are compared under the same inputs',
  },
  'adapter/output-not-compared': {
    severity: 'warning',
    message: 'Output pin {pin} is one of {side} only, and is not compared.',
    hint: 'Add it to the outside pins, or make sure that the machine does not use it.',
    clause: 'rule of this check: outputs are compared pin by pin',
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
      'Whether the original switches {pins} off where the board does is not shown: off counts as a level on both sides.',
    hint: 'Compare with a fuse file, or read the original once with pull-ups and once with pull-downs.',
    clause: BARE,
  },
  'adapter/one-change': {
    severity: 'note',
    message: 'With one change the board is the same as the original in every row compared: {change}.',
    hint: 'Look at that place on the board first.',
    clause: 'rule of this check: one change at a time of a closed list',
  },
  'adapter/part-without-supply': {
    severity: 'error',
    message: '{part} has {what}: nothing is connected there.',
    hint: 'Connect supply and ground of every part before anything is powered.',
    clause: 'data sheet of the part',
  },
  'adapter/faults-not-tried': {
    severity: 'note',
    message: '{tried} of {total} single faults were tried; the others take more steps than the limit.',
    hint: 'Hold some inputs at a level, or describe the board in pieces.',
    clause: 'limit of this check',
  },
  'adapter/faults-unnoticed': {
    severity: 'note',
    message: '{count} of {total} single faults tried would not surely be noticed by this comparison: {list}.',
    hint: 'Look at these places on the finished board with a meter.',
    clause: 'rule of this check: one fault at a time of a closed list',
  },
  'adapter/budget-exceeded': {
    severity: 'error',
    message: '{what}: {value}, and the limit is {limit}.',
    hint: 'Change the resistor, the diode type or the part; the figures are worst cases from stated limits.',
    clause: 'arithmetic on the limits that the board states',
  },
  'adapter/budget-open': {
    severity: 'note',
    message: '{count:line|lines} of the budget of levels and times not computed: no limit for {missing}.',
    hint: 'Add the limits from the data sheets, with their source.',
    clause: 'rule of this check: no limit is assumed',
  },
} as const satisfies Catalogue
