/** The catalogue's findings of captured tables; `catalogue.ts` says what the entries mean. */
import type { Catalogue } from './finding'
import type { DataOf } from './wording'

const BARE = 'common practice, no published source'
const ROWS = 'every row of the table, compared'
const CATALOGUE = 'catalogue of parts'
const SEARCH = 'equal tables have equal weights; every wiring that is reported was checked in all rows'

/** What a column of a table is: a pin of the part, or a line of the image that it is held against. */
const PLACE = { pin: 'pin {pin}', line: '{otherLine} of the other image' } as const
const PLACES = { pins: '{pins,=pin|pins}', lines: '{otherLines,} of the other image' } as const

/** Why no such part can be wired so. */
const MISFITS = {
  'pin-beyond': 'it has {pinCount} pins, and the wiring names pin {pin}',
  'signal-at-supply': 'pin {pin} is supply or ground',
  'supply-held-low': 'pin {pin} is held low and is supply',
  'ground-held-high': 'pin {pin} is held high and is ground',
  'no-output': 'pin {pin} is no output',
  'address-at-register': 'pin {pin} is the pin of a register, and an address line drives it',
  'address-at-output': 'pin {pin} is always an output, and an address line drives it',
} as const

/** Why a level is not known. */
const OPEN_LEVELS = {
  register: 'it shows a register',
  'hangs-on-register': 'it depends on a register',
  'too-wide': 'it depends on {needed} inputs and states, and at most {limit} are followed',
  'not-wired': 'it depends on pins that are not wired',
  loop: 'a loop decides it',
  'undefined-cell': 'the data sheet does not define its cell',
} as const

/** A misfit as data. */
export type WiringMisfit = DataOf<{ readonly message: '{misfit}'; readonly words: { readonly misfit: typeof MISFITS } }>

/** The reason of an open level as data. */
export type OpenLevel = DataOf<{ readonly message: '{why}'; readonly words: { readonly why: typeof OPEN_LEVELS } }>

/** Why there is nothing to compare with, as data. */
export type NoLogic = DataOf<(typeof CAPTURE_FINDINGS)['capture/no-logic']>

/** What reading an image under a wiring can show: apart, since boards read images too. */
export const IMAGE_FINDINGS = {
  'capture/size': {
    severity: 'error',
    message:
      'The image has {bytes:byte|bytes}; {lines:address line|address lines} with words of {width} bits make {size}.',
    hint: 'State the lines that the image really has, or read the chip again as a memory of that size.',
    clause: BARE,
  },
} as const satisfies Catalogue

/** What a captured table, and comparing it, can show. */
export const CAPTURE_FINDINGS = {
  'capture/no-table-size': {
    severity: 'error',
    message:
      'The image has {bytes:byte|bytes}, and a table of words of {width} bits has a power of two of them, up to {most} words.',
    hint: 'Read the chip again as a memory whose size is a power of two.',
    clause: BARE,
  },
  'capture/images-differ-in-size': {
    severity: 'error',
    message: 'The images have {sizes,and} bytes: they are not captures of one chip under one setting.',
    hint: 'Capture with the same setting every time.',
    clause: BARE,
  },
  'capture/all-alike': {
    severity: 'error',
    message:
      'Every output reads {level} in every row: an empty socket, a chip without supply, or outputs that are off.',
    hint: 'Check contacts, supply and the pins that enable the outputs, and capture again.',
    clause: BARE,
  },
  'capture/idle-address-line': {
    severity: 'warning',
    message: 'Address line A{line} ({place}) makes no difference: both halves are the same.',
    hint: 'Either the logic does not use this input, or the line is not connected: measure it.',
    clause: BARE,
    words: { place: PLACE },
  },
  'capture/stuck-data-line': {
    severity: 'warning',
    message: 'Data line D{line} ({place}) reads {level} in every row.',
    hint: 'Either the output is constant or off, or the line is not connected: measure it.',
    clause: BARE,
    words: { place: PLACE },
  },
  'capture/copied-data-line': {
    severity: 'warning',
    message: 'Data line D{line} ({place}) reads the same as D{other} ({otherPlace}) in every row.',
    hint: 'Either the outputs are equal, or two lines touch: measure them.',
    clause: BARE,
    words: {
      place: PLACE,
      otherPlace: { pin: 'pin {otherPin}', line: '{copiedLine} of the other image' },
    },
  },
  'capture/noise': {
    severity: 'error',
    message: 'The captures disagree in {rows:row|rows}; the first addresses are {addresses,}.',
    hint: 'Clean the contacts, read more slowly, capture again; rows that disagree are not judged as equal.',
    clause: BARE,
  },
  'capture/direction': {
    severity: 'error',
    message:
      'Counting up and counting down give different levels in {rows:row|rows}; the first addresses are {addresses,}.',
    hint: 'The chip keeps a state (a register, a latch, or feedback), or the reads are not steady: capture more than once in each direction. A table cannot hold a state.',
    clause: BARE,
  },
  'capture/rows-left-out': {
    severity: 'note',
    message: '{bad:row is|rows are} stated to be misread and {free} not to matter; they were left out.',
    hint: 'Nothing is said about them.',
    clause: 'request of the caller',
  },
  'capture/wiring-from-memory': {
    severity: 'note',
    message: 'The wiring {name} is from memory.',
    hint: 'Compare its pins with the data sheet of the part.',
    clause: BARE,
  },
  'capture/no-logic': {
    severity: 'error',
    message: 'There is nothing to compare with: {reason}.',
    hint: 'See what is wrong with the file first: check it by itself. State the part.',
    clause: CATALOGUE,
    words: {
      reason: {
        'no-fuses': 'the file holds no fuses',
        incomplete: 'the file does not say what every fuse is',
        ambiguous: 'its size fits {candidates,}',
        'unknown-part': 'no part of the catalogue has its number of fuses',
        undecoded: 'what its fuses mean as a {part} is not known',
        'no-output': 'the part drives no output',
        'too-wide': 'its outputs depend on {needed} inputs and states, more than {limit}',
        misfit: '{misfit}',
        'open-level': 'pin {pin} has no certain level: {why}',
        off: 'pin {pin} is off in some rows; say what that reads as (“off”)',
        'inputs-differ':
          'its outputs depend on {inputs:input|inputs}, and the image has {lines:address line|address lines}',
        'outputs-differ':
          'it drives {outputs:output|outputs}, and the image has {lines:data line|data lines} that move',
      },
      misfit: MISFITS,
      why: OPEN_LEVELS,
    },
  },
  'capture/wiring-does-not-fit': {
    severity: 'error',
    message: 'The wiring does not fit a {part}: {misfit}.',
    hint: 'Correct the wiring, or state another part.',
    clause: CATALOGUE,
    words: { misfit: MISFITS },
  },
  'capture/different': {
    severity: 'error',
    message: '{count:output differs|outputs differ}: {places}; the worst in {rows} of {of} rows.',
    hint: 'See the first rows and where they lie. A wrong wiring, a wrong map and a bad chip can look alike.',
    clause: ROWS,
    words: { places: PLACES },
  },
  'capture/opposite-level': {
    severity: 'note',
    message: 'What {place} reads is the opposite level in all {rows:row|rows}.',
    hint: 'Look for an inverter on that line; state the line as inverted where there is one.',
    clause: ROWS,
    words: { place: PLACE },
  },
  'capture/no-agreement': {
    severity: 'note',
    message:
      '{agreeing} of {levels} levels agree, and {chance} would by chance: the wiring is probably not the one stated.',
    hint: 'Search for the wiring as an unknown one; where none is found, the map is of another design.',
    clause: 'J. Cohen, Educ. Psychol. Meas. 20, 1960: agreement beyond chance, below 0.1',
  },
  'capture/undecided': {
    severity: 'warning',
    message: 'The level of {place} is open in {rows:row|rows}: {reason}.',
    hint: 'Nothing is claimed about these rows.',
    clause: ROWS,
    words: {
      place: PLACE,
      reason: { 'captures-disagree': 'the captures disagree', 'not-known': '{why}' },
      why: OPEN_LEVELS,
    },
  },
  'capture/state': {
    severity: 'warning',
    message:
      'What {pins,=pin|pins} show depends on registers, or on loops that keep a state; a table of levels does not decide that.',
    hint: 'Compare such outputs by test vectors or step by step.',
    clause: CATALOGUE,
  },
  'capture/unwired-inputs': {
    severity: 'warning',
    message: 'The outputs depend on {pins,=pin|pins}, which the wiring neither reaches nor holds.',
    hint: 'Add them to the address lines, or say under “held” at which level they were.',
    clause: CATALOGUE,
  },
  'capture/off-rows': {
    severity: 'note',
    message:
      'Outputs that are off were not judged ({rows:level|levels} in all): the wiring does not say what they read as.',
    hint: 'State “off” in the wiring, 0 or 1, where a resistor gives them a level.',
    clause: 'request of the caller',
  },
  'capture/drive-not-shown': {
    severity: 'warning',
    message:
      'By the fuses nothing drives {pins,=pin|pins} in {rows:row|rows}: a single image does not show whether the chip is off there.',
    hint: 'Read the chip once with pull-ups and once with pull-downs: what follows the resistor is off.',
    clause: BARE,
  },
  'capture/against-resistor': {
    severity: 'error',
    message:
      'In {rows:row|rows} an output reads low with the pull-up and high with the pull-down; the first addresses are {addresses,}.',
    hint: 'Look whether the two images are exchanged; else clean the contacts and read more slowly.',
    clause: BARE,
  },
  'capture/constant-outputs': {
    severity: 'warning',
    message:
      'By the fuses {pins,=pin|pins} never move. The search puts them at any lines that never move, whatever their levels, because it may invert lines: a line stuck at the wrong level is not seen there.',
    hint: 'Look at these lines: what inverts them, and whether they are connected.',
    clause: SEARCH,
  },
  'capture/sequence': {
    severity: 'warning',
    message:
      'What {pins,=pin|pins} show depends on the rows before: the images were judged as the sequences of addresses that they are, {known} of {rows} levels known.',
    hint: 'Nothing is said about other orders of addresses; compare such outputs step by step as well.',
    clause: CATALOGUE,
  },
  'capture/order-fits': {
    severity: 'note',
    message:
      'Of {count} orders in which the fuses of a {part} may be numbered, {fitting} fit this capture: {orders,}.',
    hint: 'The capture confirms an order for this map; state it. Where several fit, a capture of a chip with another map can tell them apart.',
    clause: ROWS,
  },
  'capture/no-order-fits': {
    severity: 'error',
    message:
      'None of {count} orders in which the fuses of a {part} may be numbered fits this capture; nearest is “{nearest}”, with {rows} differing rows.',
    hint: 'Look at the wiring first, then at the quality of the capture; the fuses may also be numbered in another order.',
    clause: ROWS,
  },
  'capture/wiring-found': {
    severity: 'note',
    message: 'A wiring was found under which both are equal in all {rows} rows; {others}.',
    hint: 'Equal tables under a found wiring do not prove that the lines are wired so: look at them once.',
    clause: SEARCH,
    words: {
      others: {
        uncounted: 'how many others do the same was not counted',
        none: 'no other does',
        some: '{wirings} wirings do the same by symmetry',
      },
    },
  },
  'capture/no-wiring': {
    severity: 'error',
    message: 'No wiring makes them equal{nearest}.',
    hint: 'The tables are of different functions, or the capture has errors: see the nearest wiring and the rows in which it fails.',
    clause: SEARCH,
    words: { nearest: { found: '; the nearest one found fails in {rows:row|rows}', none: '' } },
  },
  'capture/wiring-undecided': {
    severity: 'warning',
    message: 'Whether a wiring makes them equal was not decided: {reason}.',
    hint: 'State the wiring, or the rows known to be misread, or capture again.',
    clause: SEARCH,
    words: {
      reason: {
        'too-wide': 'it has too many inputs',
        'open-levels': 'the captures disagree in some rows',
        steps: 'the bound of the search was reached',
        'rows-left-out': 'no wiring fits all rows that count, and others were left out as misread or not steady',
      },
    },
  },
} as const satisfies Catalogue
