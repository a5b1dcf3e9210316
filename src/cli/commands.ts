/** The one table of commands and options, from which arguments are read and help pages are made. */
export interface OptionEntry {
  /** The word for its value in usage lines; none for a switch. */
  readonly value?: string
  readonly about: string
  readonly short?: string
  /** True where the value names a file that is read. */
  readonly reads?: true
}

/** Every option. Each is given once; a list is one value, its members parted by commas. */
export const OPTIONS: Readonly<Record<string, OptionEntry>> = {
  device: { value: 'PART', about: 'the part: a name of the catalogue, or a JSON document of your own' },
  'fuse-order': { value: 'NAME', about: 'the order of the fuses of a logic array, of which none is published' },
  'other-device': { value: 'PART', about: 'the part of the second file' },
  to: { value: 'PART', about: 'the part to move to' },
  wiring: { value: 'W.json', about: 'which pin each line of the reader is at; or the name of a known wiring' },
  'find-wiring': { about: 'searches which pin each line is at' },
  against: { value: 'FILE', about: 'what it is compared with', reads: true },
  down: { value: 'IMAGE', about: 'the same chip read with addresses counting down', reads: true },
  'pull-up': { value: 'IMAGE', about: 'the same chip read with pull-ups at its outputs' },
  'pull-down': { value: 'IMAGE', about: 'the same chip read with pull-downs at its outputs' },
  'power-up': { value: 'high|low|unknown', about: 'the state of the registers after power-up' },
  'other-power-up': { value: 'high|low|unknown', about: 'the same of the second file' },
  pins: { value: 'PAIRS.json', about: 'which pins of the two parts belong together', reads: true },
  'dont-care': { value: 'D.json', about: 'levels of inputs that never occur', reads: true },
  inputs: { value: 'PINS', about: 'the columns of inputs, a list such as 2,3,5-9' },
  outputs: { value: 'PINS', about: 'the columns of outputs, a list such as 12-19' },
  held: { value: 'PIN=LEVEL', about: 'pins that keep a level and are no column, a list such as 19=0,2=1' },
  table: { about: 'prints the truth table of the board instead' },
  all: { about: 'prints everything, not a screenful' },
  ascii: { about: 'writes and, or, not for the signs of logic' },
  csv: { about: 'comma-separated values; to a file where a second name is given' },
  binary: { value: 'OUT', about: 'writes the table as the image of a memory' },
  off: { value: '0|1', about: 'what an output that is off counts as' },
  vectors: { value: 'OTHER', about: 'runs the test vectors of another file', reads: true },
  most: { value: 'N', about: 'most missed faults in the JSON document (1000)' },
  start: { value: 'unknown|power-up', about: 'what the registers hold before the first vector' },
  out: { value: 'NEW', about: 'the file to write' },
  steps: { value: 'STEPS.json', about: 'the levels to apply, step by step', reads: true },
  verilog: { about: 'prints the logic as a module in Verilog' },
  hazards: { about: 'prints the signals that may pulse while one input changes' },
  vcd: { value: 'OUT', about: 'writes the levels over time as a wave file' },
  html: { value: 'OUT', about: 'writes a page for a browser: the answer, pictures, every finding' },
  sarif: { value: 'OUT', about: 'writes the findings as a log of SARIF 2.1.0, for viewers of analyses' },
  'line-ends': { value: 'crlf|lf', about: 'how the lines of the new file end' },
  security: { value: '0|1', about: 'the security field of the new file' },
  replace: { about: 'lets a new file take the place of one that exists, never of one that is read' },
  json: { about: 'prints one JSON document and nothing else' },
  strict: { about: 'counts a caution as a failure' },
  help: { about: 'prints this page', short: 'h' },
  version: { about: 'prints the version' },
}

/** What an option of a command is. */
export function optionOf(command: CommandEntry, name: string): OptionEntry {
  return command.own?.[name] ?? OPTIONS[name]!
}

/** Options that every command takes. */
export const COMMON: readonly string[] = ['json', 'strict', 'help']

export interface CommandEntry {
  readonly files: string
  readonly about: string
  readonly takes: readonly string[]
  /** Options that mean something of its own with this command. */
  readonly own?: Readonly<Record<string, OptionEntry>>
  /** Options that it does not do without. */
  readonly needs?: readonly string[]
  readonly example: { readonly call: string; readonly output: readonly string[] }
  /** What exit 0, 1 and 3 mean. */
  readonly exits: Readonly<Record<string, string>>
}

const DEVICE = ['device', 'fuse-order']
const RELATION = {
  0: 'identical or equivalent',
  1: 'different',
  3: 'undecided or not comparable',
}
/** Without an original there is no relation. */
const RELATION_OR_ERROR = {
  0: 'identical or equivalent; without --against: no error',
  1: 'different; without --against: an error',
  3: RELATION[3],
}
const DONE = { 0: 'done', 1: 'its logic is not known' }

export const COMMANDS: Readonly<Record<string, CommandEntry>> = {
  check: {
    files: 'FILE…|FOLDER…',
    about: 'reads, checks both checksums, finds the part, runs the test vectors',
    takes: [...DEVICE, 'vectors', 'all', 'ascii', 'html', 'sarif', 'replace'],
    example: {
      call: 'check tide-gauge-16v8.jed',
      output: [
        'tide-gauge-16v8.jed: pass (nothing speaks against it): both checksums are',
        '  right, 10 of 10 test vectors hold.',
      ],
    },
    exits: { 0: 'every file is a pass or a caution', 1: 'a file is a fail' },
  },
  show: {
    files: 'FILE',
    about: 'pins, equations and configuration of the part that the file makes',
    takes: [...DEVICE, 'verilog', 'hazards', 'all', 'ascii'],
    example: { call: 'show example.jed --device 14L4', output: ['p16 = ¬(p2 ∧ p1 ∧ p3 ∧ p4 ∧ ¬p5)'] },
    exits: DONE,
  },
  compare: {
    files: 'INTENDED READBACK',
    about: 'differing fuses by role, and every output proved equal or told apart',
    takes: [
      ...DEVICE,
      'other-device',
      'pins',
      'dont-care',
      'power-up',
      'other-power-up',
      'all',
      'ascii',
      'html',
      'sarif',
      'vectors',
      'replace',
    ],
    own: { vectors: { value: 'OUT', about: 'writes test vectors that pass on INTENDED and fail on READBACK' } },
    example: {
      call: 'compare intended.jed readback.jed',
      output: ['intended.jed against readback.jed: identical: the same fuses.'],
    },
    exits: RELATION,
  },
  table: {
    files: 'FILE [OUT]',
    about: 'the truth table, as text, comma-separated, or as the image of a memory',
    takes: [...DEVICE, 'inputs', 'outputs', 'held', 'all', 'ascii', 'csv', 'binary', 'off', 'replace'],
    example: {
      call: 'table gate.jed out.csv --outputs 18 --csv',
      output: ['out.csv: written, 2 rows.'],
    },
    exits: { 0: 'done', 1: 'no table is possible' },
  },
  run: {
    files: 'FILE',
    about: 'levels and states of the part under steps of your own',
    takes: [...DEVICE, 'steps', 'vcd', 'html', 'all', 'ascii', 'replace'],
    needs: ['steps'],
    example: { call: 'run gate.jed --steps steps.json --vcd waves.vcd', output: ['waves.vcd: written.'] },
    exits: { 0: 'done', 1: 'an expected level was contradicted, or the logic is not known' },
  },
  rewrite: {
    files: 'FILE',
    about: 'the same fuses in a file that a strict programmer takes',
    takes: ['out', 'line-ends', 'security', 'all', 'ascii', 'replace'],
    needs: ['out'],
    example: {
      call: 'rewrite old.jed --out new.jed',
      output: ['new.jed: written: its 448 fuses are those of old.jed, read back, 0 differ.'],
    },
    exits: { 0: 'written', 1: 'refused: its fuses cannot be trusted' },
  },
  readings: {
    files: 'FILE FILE…',
    about: 'several reads of one chip: which fuses do not hold still',
    takes: ['device', 'all', 'ascii'],
    example: { call: 'readings first.jed second.jed', output: ['2 reads: the same: all 448 fuses.'] },
    exits: { 0: 'all reads are equal', 1: 'they are not' },
  },
  retarget: {
    files: 'FILE',
    about: 'the same logic as a map for another part, with the proof',
    takes: ['device', 'to', 'out', 'power-up', 'all', 'ascii', 'replace'],
    needs: ['to', 'out'],
    example: {
      call: 'retarget old.jed --device 14L4 --to 16V8 --out new.jed',
      output: ['new.jed: written, a map for a 16V8, simple mode: proved to do what old.jed'],
    },
    exits: { 0: 'written', 1: 'refused: the logic does not fit' },
  },
  grade: {
    files: 'FILE',
    about: 'which single-fuse faults its test vectors would show in a chip',
    takes: [...DEVICE, 'vectors', 'start', 'most', 'all', 'ascii'],
    example: {
      call: 'grade example.jed --device 14L4',
      output: ['example.jed: 8 vectors show 66 of 162 fuse faults (40.7 %); 96 missed.'],
    },
    exits: DONE,
  },
  exercise: {
    files: 'FILE',
    about: 'the same fuses with test vectors that show every fuse fault that can be shown',
    takes: [...DEVICE, 'out', 'start', 'all', 'ascii', 'replace'],
    needs: ['out'],
    example: { call: 'exercise gate.jed --out gate-tests.jed', output: ['gate-tests.jed: written.'] },
    exits: { 0: 'written', 1: 'its logic is not known' },
  },
  distinguish: {
    files: 'FILE FILE…',
    about: 'test vectors by which a chip tells which of several maps of one part it holds',
    takes: [...DEVICE, 'out', 'start', 'all', 'ascii', 'replace'],
    needs: ['out'],
    example: {
      call: 'distinguish old.jed new.jed --device 14L4 --out which.jed',
      output: ['which.jed: written.', '1 and 2       apart first in vector 1 at pin 16'],
    },
    exits: { 0: 'all maps are told apart', 1: 'some are not' },
  },
  adapter: {
    files: 'BOARD.json',
    about: 'a board of parts, diodes and resistors: levels, wiring, faults, budget',
    takes: ['against', 'wiring', ...DEVICE, 'off', 'table', 'all', 'ascii', 'html', 'replace'],
    example: { call: 'adapter board.json', output: ['board.json: pass (nothing speaks against it).'] },
    exits: RELATION_OR_ERROR,
  },
  capture: {
    files: 'IMAGE…',
    about: 'a chip read out like a memory, and whether it is what a file says',
    takes: [
      'wiring',
      'find-wiring',
      'against',
      'down',
      'pull-up',
      'pull-down',
      ...DEVICE,
      'all',
      'ascii',
      'html',
      'replace',
    ],
    example: {
      call: 'capture table.bin --wiring wiring.json --against other.jed --device 14L4',
      output: ['table.bin against other.jed: equal in every row judged: 32 rows.'],
    },
    exits: RELATION_OR_ERROR,
  },
  devices: {
    files: '[PART]',
    about: 'the parts that are known; one part’s pins, fuses and sources',
    takes: ['fuse-order', 'all', 'ascii'],
    example: { call: 'devices GAL16V8', output: ['16V8: Eight output cells, configurable, 20 pins'] },
    exits: { 0: 'done' },
  },
}
