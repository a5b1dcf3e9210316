/** One call of the program: arguments in, text or JSON out, an exit code back. Commands know only public entries. */
import { parseArgs } from 'node:util'
import type { Call } from './call'
import { COMMANDS, COMMON, optionOf, OPTIONS, type CommandEntry } from './commands'
import { commandPage, mainPage } from './help'
import type { Host } from './host'
import { nearestHint } from './nearest'
import { openSession, OutputFailed, Usage, type Session } from './session'
import { VERSION } from './version'

type Parsed = Pick<ReturnType<typeof parseArgs>, 'values' | 'positionals'>

/** What a command does with a call: it returns the exit code. */
export type Command = (call: Call) => number

/** The command of a name, for one call; null where this program has none. */
export type CommandOf = (name: string, call: Call) => Command | null

/**
 * Runs a command on its arguments and returns the exit code; null, and nothing is done, where the program lacks the
 * command. Wrong usage is told in one line.
 */
export function runWith(args: readonly string[], host: Host, commandOf: CommandOf): number | null {
  const session = openSession(host, args)
  try {
    return dispatch(args, session, commandOf)
  } catch (error) {
    if (!(error instanceof Usage || error instanceof OutputFailed)) throw error
    session.err(`fuse-assay: ${error.message}\n`)
    return error instanceof Usage ? 2 : 4
  }
}

/** The command that help is asked for; none where it is help itself. */
function helpTopic(word: string | undefined, rest: readonly string[]): string | undefined {
  return word === 'help' ? rest.find((each) => each !== 'help') : word
}

function dispatch(args: readonly string[], host: Session, commandOf: CommandOf): number | null {
  const { values, positionals } = parse(args)
  const [word, ...rest] = positionals
  if (values['help'] || word === 'help') return help(host, helpTopic(word, rest))
  if (values['version']) {
    host.out(`${VERSION}\n`)
    return 0
  }
  if (word === undefined) throw new Usage('no command given; try fuse-assay --help')
  const isCommand = Object.hasOwn(COMMANDS, word)
  if (!isCommand && host.kind(word) === 'none' && word !== '-') throw unknownCommand(word)
  const [name, files] = isCommand ? [word, rest] : ['check', positionals]
  checkOptions(name, values)
  const inputs = inputsOf(COMMANDS[name]!, files, values)
  if (inputs.filter((input) => input === '-').length > 1)
    throw new Usage('standard input can be read only once; name files for the others')
  const call = { files, options: values, host, inputs }
  return commandOf(name, call)?.(call) ?? null
}

function unknownCommand(word: string): Usage {
  return new Usage(`unknown command ${word}; ${nearestHint(word, Object.keys(COMMANDS), 'try fuse-assay --help')}`)
}

function help(host: Session, name: string | undefined): number {
  if (name !== undefined && !Object.hasOwn(COMMANDS, name) && host.kind(name) === 'none') throw unknownCommand(name)
  host.out(name !== undefined && Object.hasOwn(COMMANDS, name) ? commandPage(name) : mainPage())
  return 0
}

function checkOptions(name: string, values: Parsed['values']): void {
  const takes = [...COMMANDS[name]!.takes, ...COMMON]
  for (const option of Object.keys(values))
    if (!takes.includes(option)) throw new Usage(`${name} takes no --${option}; try fuse-assay ${name} --help`)
}

/** The files that a call names to be read; the second name behind `table --csv` is written. */
function inputsOf(command: CommandEntry, files: readonly string[], values: Parsed['values']): readonly string[] {
  const read = Object.keys(values).filter((option) => optionOf(command, option).reads)
  const named = ['wiring', 'device', 'other-device', 'to'].filter((option) => values[option] !== undefined)
  return [
    ...(values['csv'] ? files.slice(0, 1) : files),
    ...[...read, ...named].map((option) => String(values[option])),
  ]
}

function parse(args: readonly string[]): Parsed {
  const options = Object.fromEntries(
    Object.entries(OPTIONS).map(([name, { value, short }]) => [
      name,
      { type: value === undefined ? ('boolean' as const) : ('string' as const), ...(short ? { short } : {}) },
    ]),
  )
  try {
    const { tokens, ...parsed } = parseArgs({ args, options, allowPositionals: true, strict: true, tokens: true })
    const given = tokens.flatMap(({ kind, name }) => (kind === 'option' ? [name!] : []))
    const twice = given.find((name, i) => given.indexOf(name) < i)
    if (twice !== undefined) throw new Usage(`--${twice} is given twice; give it once`)
    return parsed
  } catch (error) {
    if (error instanceof Usage) throw error
    throw new Usage(optionMistake(error as Error))
  }
}

/** What the reader of arguments complains of, in one line, with the nearest option where one is misspelt. */
function optionMistake({ message }: Error): string {
  const unknown = /^Unknown option '(-[^']*)'/.exec(message)?.[1]
  const known = Object.keys(OPTIONS).map((name) => `--${name}`)
  if (unknown !== undefined)
    return `unknown option ${unknown}; ${nearestHint(unknown, known, 'try fuse-assay --help')}`
  const complaint = message.split(/[.\n]/)[0]!.replace(/^\w/, (letter) => letter.toLowerCase())
  return `${complaint}; try fuse-assay --help`
}
