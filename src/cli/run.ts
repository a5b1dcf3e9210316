/** The program: arguments in, text or JSON out, an exit code back. It knows only the public entry. */
import { parseArgs } from 'node:util'
import {
  describe,
  findDevice,
  inspect,
  listDevices,
  readFuseFile,
  renderDescription,
  renderDevice,
  renderDevices,
  renderFinding,
  renderReport,
  rewrite,
  verify,
  type Report,
} from '../index'
import type { Host } from './host'

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

/** Wrong usage: one line for standard error, exit 2. */
class Usage extends Error {}

interface Call {
  readonly files: readonly string[]
  readonly options: Readonly<Record<string, string | boolean | undefined>>
  readonly host: Host
}

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

function text(call: Call, name: string): string | undefined {
  return call.options[name] as string | undefined
}

/** A choice among fixed words; undefined when the option is not given. */
function choice<T extends string>(call: Call, name: string, allowed: readonly T[]): T | undefined {
  const value = text(call, name)
  if (value !== undefined && !(allowed as readonly string[]).includes(value)) throw new Usage(`--${name} is ${allowed.join(' or ')}, not ${value}`)
  return value as T | undefined
}

function deviceOption(call: Call): { readonly device?: string } {
  const device = text(call, 'device')
  if (device === undefined) return {}
  if (!findDevice(device)) throw new Usage(`--device ${device}: no such part; fuse-assay devices lists them`)
  return { device }
}

function readOrStop(host: Host, path: string): Uint8Array {
  try {
    return host.read(path)
  } catch (error) {
    throw new Usage(cannotRead(path, error))
  }
}

function cannotRead(path: string, error: unknown): string {
  const code = (error as { readonly code?: string }).code
  const reason = code === 'ENOENT' ? 'there is no such file' : code === 'EISDIR' ? 'it is a folder' : code === 'EACCES' ? 'it may not be read' : (code ?? 'it cannot be read')
  return `${path}: ${reason}; check the name`
}

function onlyFile(call: Call, command: string): string {
  const [file, ...more] = call.files
  if (file === undefined || more.length > 0) throw new Usage(`${command} takes one FILE; try fuse-assay --help`)
  return file
}

function printJson(host: Host, value: unknown): void {
  host.out(`${JSON.stringify(value, null, 2)}\n`)
}

function check(call: Call): number {
  const { files, host } = call
  if (files.length === 0) throw new Usage('check needs a FILE; try fuse-assay --help')
  if ([...files, text(call, 'vectors')].filter((name) => name === '-').length > 1) throw new Usage('standard input can be read only once; name files for the others')
  const device = deviceOption(call)
  const vectorFile = text(call, 'vectors')
  const vectors = vectorFile === undefined ? {} : { vectors: readOrStop(host, vectorFile), vectorsName: vectorFile }
  const reports: Report[] = []
  for (const name of files) {
    let bytes: Uint8Array
    try {
      bytes = host.read(name)
    } catch (error) {
      host.err(`fuse-assay: ${cannotRead(name, error)}\n`)
      continue
    }
    reports.push(verify(bytes, { ...device, ...vectors, name }))
  }
  const unread = files.length - reports.length
  if (!call.options['json']) host.out(reports.map(renderReport).join('\n'))
  else if (files.length > 1 || unread === 0) printJson(host, files.length > 1 ? reports : reports[0])
  if (unread > 0) return 2
  const failing = call.options['strict'] ? ['fail', 'caution'] : ['fail']
  return reports.some(({ verdict }) => failing.includes(verdict)) ? 1 : 0
}

function show(call: Call): number {
  const { host } = call
  const name = onlyFile(call, 'show')
  const device = deviceOption(call)
  const bytes = readOrStop(host, name)
  const { report, decoded } = inspect(bytes, { ...device, name })
  const unknownFuses = report.findings.some(({ code }) => code === 'file/uncovered-fuses')
  const description = decoded && !unknownFuses ? describe(decoded) : null
  if (call.options['json']) printJson(host, { ...(description ?? { part: null }), file: name, candidates: report.candidates, signature: report.signature, findings: report.findings })
  else if (description) host.out(renderDescription(description, report))
  else host.out(`${name}: its logic cannot be shown.\n${report.findings.filter(({ severity }) => severity !== 'note').map(renderFinding).join('\n')}\n`)
  if (!description) return 1
  return call.options['strict'] && report.verdict !== 'pass' ? 1 : 0
}

function rewriteFile(call: Call): number {
  const { host } = call
  const name = onlyFile(call, 'rewrite')
  const out = text(call, 'out')
  if (!out || out === '-') throw new Usage('rewrite needs --out NEW, the name of a file')
  if (host.same(name, out)) throw new Usage(`${out} is the file itself; keep the untouched download and give another name`)
  const lineEnds = choice(call, 'line-ends', ['crlf', 'lf'])
  const security = choice(call, 'security', ['0', '1'])
  const file = readFuseFile(readOrStop(host, name))
  const result = rewrite(file, { ...(lineEnds ? { lineEnds } : {}), ...(security ? { security: security === '1' ? 1 : 0 } : {}) })
  if (result.bytes) {
    try {
      host.write(out, result.bytes)
    } catch {
      throw new Usage(`${out} cannot be written; choose another place`)
    }
  }
  const { changedFuses, leftOut, refusedFor, confirmed } = result
  if (call.options['json']) printJson(host, { file: name, out: result.bytes ? out : null, fuseCount: file.fuseCount, changedFuses, confirmed, leftOut, refusedFor })
  else if (!result.bytes) host.out(`${name}: not rewritten, because its fuses cannot be trusted.\n${refusedFor.map(renderFinding).join('\n')}\n`)
  else {
    const lines = [
      `${out}: written. Its ${file.fuseCount ?? 0} fuses are those of ${name}: read back, ${changedFuses} differ.`,
      ...(confirmed ? [] : ['  The old file had no fuse checksum that confirmed its fuses; the new one only repeats them.']),
      ...leftOut.map((line) => `  not carried over as it was: ${line}`),
    ]
    host.out(`${lines.join('\n')}\n`)
  }
  return result.bytes ? 0 : 1
}

function devices(call: Call): number {
  const { files, host } = call
  if (files.length > 1) throw new Usage('devices takes at most one PART')
  const [name] = files
  const device = name === undefined ? null : findDevice(name)
  if (name !== undefined && !device) throw new Usage(`no part ${name}; fuse-assay devices lists them`)
  if (call.options['json']) printJson(host, device ?? listDevices())
  else host.out(device ? renderDevice(device) : renderDevices(listDevices()))
  return 0
}
