/** The program: arguments in, text or JSON out, an exit code back. Commands know only the public entry. */
import { parseArgs } from 'node:util'
import { Usage, type Call } from './call'
import { check } from './check-command'
import { devices } from './devices-command'
import type { Host } from './host'
import { rewriteFile } from './rewrite-command'
import { show } from './show-command'

declare const __VERSION__: string

const USAGE = `fuse-assay: verifies JEDEC fuse files before they are burned

  fuse-assay check FILE… [--device PART] [--vectors OTHER]
      reads, checks both checksums, finds the part, runs the test vectors
  fuse-assay show FILE [--device PART]
      pins, equations and configuration of the part that the file makes
  fuse-assay rewrite FILE --out NEW [--line-ends crlf|lf] [--security 0|1]
      the same fuses in a file that a strict programmer takes
  fuse-assay devices [PART]
      the parts that are known; one part's pins, fuses and sources

  --json     one JSON document on standard output and nothing else
  --strict   a caution counts as a failure
  -          as FILE: standard input
  --help, --version

Exit: 0 done, 1 the file failed or was refused, 2 wrong usage or a file that cannot be opened.
`

const OPTIONS = {
  device: { type: 'string' },
  vectors: { type: 'string' },
  out: { type: 'string' },
  'line-ends': { type: 'string' },
  security: { type: 'string' },
  json: { type: 'boolean' },
  strict: { type: 'boolean' },
  help: { type: 'boolean' },
  version: { type: 'boolean' },
} as const

/** Each command with the options that it takes besides --json and --strict. */
const COMMANDS: Readonly<Record<string, { readonly takes: readonly string[]; readonly run: (call: Call) => number }>> = {
  check: { takes: ['device', 'vectors'], run: check },
  show: { takes: ['device'], run: show },
  rewrite: { takes: ['out', 'line-ends', 'security'], run: rewriteFile },
  devices: { takes: [], run: devices },
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
    if (option !== 'json' && option !== 'strict' && !command.takes.includes(option)) throw new Usage(`${name} takes no --${option}; try fuse-assay --help`)
  return command.run({ files, options: values, host })
}

function parse(args: readonly string[]): ReturnType<typeof parseArgs> {
  try {
    return parseArgs({ args, options: OPTIONS, allowPositionals: true, strict: true })
  } catch (error) {
    throw new Usage(`${(error as Error).message.split(/[.\n]/)[0]!.replace(/^\w/, (letter) => letter.toLowerCase())}; try fuse-assay --help`)
  }
}
