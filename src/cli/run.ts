/** The program: arguments in, text or JSON out, an exit code back. Commands know only the public entry. */
import { parseArgs } from 'node:util'
import { adapterBoard } from './adapter-command'
import { Usage, type Call } from './call'
import { captureImages } from './capture-command'
import { check } from './check-command'
import { compareFiles } from './compare-command'
import { devices } from './devices-command'
import type { Host } from './host'
import { readingsOf } from './readings-command'
import { retargetFile } from './retarget-command'
import { rewriteFile } from './rewrite-command'
import { runFile } from './run-command'
import { show } from './show-command'
import { tableFile } from './table-command'

declare const __VERSION__: string

const USAGE = `fuse-assay: verifies JEDEC fuse files before they are burned

  fuse-assay check FILE… [--device PART] [--vectors OTHER]
      reads, checks both checksums, finds the part, runs the test vectors
  fuse-assay show FILE [--device PART] [--verilog | --hazards]
      pins, equations and configuration of the part that the file makes, or its logic as a module in Verilog
  fuse-assay compare INTENDED READBACK [--device PART] [--other-device PART] [--pins PAIRS.json] [--dont-care D.json]
             [--power-up high|low|unknown] [--other-power-up high|low|unknown]
      differing fuses by role, and every output proved equal or told apart by an example
  fuse-assay table FILE [--device PART] [--inputs PINS] [--outputs PINS] [--csv [OUT] | --binary OUT [--off 0|1]]
      the truth table, as text, comma-separated, or as the image of a memory
  fuse-assay run FILE --steps STEPS.json [--device PART] [--vcd OUT]
      levels and states of the part under steps of your own, as a table or a wave file
  fuse-assay rewrite FILE --out NEW [--line-ends crlf|lf] [--security 0|1]
      the same fuses in a file that a strict programmer takes
  fuse-assay readings FILE FILE… [--device PART]
      several reads of one chip: which fuses do not hold still
  fuse-assay retarget FILE --device PART --to PART --out NEW [--power-up high|low|unknown]
      the same logic as a map for another part, with the proof
  fuse-assay adapter BOARD.json [--against FILE|OTHER.json] [--against IMAGE --wiring W.json] [--device PART] [--off 0|1]
      a board of parts, diodes and resistors: levels, wiring, single faults, budget, and every row against the original
  fuse-assay capture IMAGE… --wiring W.json|plain-28 [--down IMAGE] [--against FILE] [--device PART]
  fuse-assay capture IMAGE… --find-wiring --against FILE [--device PART] [--wiring KNOWN.json]
      a chip read out like a memory: what the table is worth, and whether it is that of a fuse file or of another image
  fuse-assay devices [PART]
      the parts that are known; one part's pins, fuses and sources

  PART is a name of the catalogue or a JSON document that describes a part of your own.
  --fuse-order NAME   with --device and devices: the order of the fuses of a logic array, for which none is published

  --json     one JSON document on standard output and nothing else
  --strict   a caution counts as a failure
  -          as FILE: standard input
  --help, --version

Exit: 0 done, 1 the file failed, was refused or is different, 2 wrong usage or a file that cannot be opened,
3 (compare, adapter, capture) undecided or not comparable.
`

const OPTIONS = {
  device: { type: 'string' },
  'fuse-order': { type: 'string' },
  'other-device': { type: 'string' },
  to: { type: 'string' },
  wiring: { type: 'string' },
  against: { type: 'string' },
  'power-up': { type: 'string' },
  'other-power-up': { type: 'string' },
  pins: { type: 'string' },
  'dont-care': { type: 'string' },
  inputs: { type: 'string' },
  outputs: { type: 'string' },
  csv: { type: 'boolean' },
  binary: { type: 'string' },
  off: { type: 'string' },
  vectors: { type: 'string' },
  out: { type: 'string' },
  steps: { type: 'string' },
  verilog: { type: 'boolean' },
  hazards: { type: 'boolean' },
  vcd: { type: 'string' },
  'line-ends': { type: 'string' },
  'find-wiring': { type: 'boolean' },
  down: { type: 'string' },
  security: { type: 'string' },
  json: { type: 'boolean' },
  strict: { type: 'boolean' },
  help: { type: 'boolean' },
  version: { type: 'boolean' },
} as const

/** Each command with the options that it takes besides --json and --strict. */
const COMMANDS: Readonly<
  Record<string, { readonly takes: readonly string[]; readonly run: (call: Call) => number }>
> = {
  check: { takes: ['device', 'fuse-order', 'vectors'], run: check },
  show: { takes: ['device', 'fuse-order', 'verilog', 'hazards'], run: show },
  compare: {
    takes: ['device', 'fuse-order', 'other-device', 'pins', 'dont-care', 'power-up', 'other-power-up'],
    run: compareFiles,
  },
  table: { takes: ['device', 'fuse-order', 'inputs', 'outputs', 'csv', 'binary', 'off'], run: tableFile },
  run: { takes: ['device', 'fuse-order', 'steps', 'vcd'], run: runFile },
  readings: { takes: ['device'], run: readingsOf },
  retarget: { takes: ['device', 'to', 'out', 'power-up'], run: retargetFile },
  rewrite: { takes: ['out', 'line-ends', 'security'], run: rewriteFile },
  adapter: { takes: ['against', 'wiring', 'device', 'fuse-order', 'off'], run: adapterBoard },
  capture: { takes: ['wiring', 'find-wiring', 'against', 'down', 'device', 'fuse-order'], run: captureImages },
  devices: { takes: ['fuse-order'], run: devices },
}

/** Runs the program on its arguments and returns the exit code. Wrong usage is told in one line. */
export function run(args: readonly string[], host: Host): number {
  try {
    return dispatch(args, host)
  } catch (error) {
    if (!(error instanceof Usage)) throw error
    host.err(`fuse-assay: ${error.message}\n`)
    return 2
  }
}

function dispatch(args: readonly string[], host: Host): number {
  const { values, positionals } = parse(args)
  if (values['help']) {
    host.out(USAGE)
    return 0
  }
  if (values['version']) {
    host.out(`${__VERSION__}\n`)
    return 0
  }
  const [name, ...files] = positionals
  if (name === undefined) throw new Usage('no command given; try fuse-assay --help')
  const command = Object.hasOwn(COMMANDS, name) ? COMMANDS[name]! : null
  if (!command) throw new Usage(`unknown command ${name}; try fuse-assay --help`)
  for (const option of Object.keys(values))
    if (option !== 'json' && option !== 'strict' && !command.takes.includes(option))
      throw new Usage(`${name} takes no --${option}; try fuse-assay --help`)
  return command.run({ files, options: values, host })
}

function parse(args: readonly string[]): ReturnType<typeof parseArgs> {
  try {
    return parseArgs({ args, options: OPTIONS, allowPositionals: true, strict: true })
  } catch (error) {
    throw new Usage(
      `${(error as Error).message.split(/[.\n]/)[0]!.replace(/^\w/, (letter) => letter.toLowerCase())}; try fuse-assay --help`,
    )
  }
}
