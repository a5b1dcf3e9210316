/** The pages of help, made from the table of commands. */
import { COMMANDS, COMMON, optionOf, OPTIONS, type CommandEntry, type OptionEntry } from './commands'

/** Columns of a page: the narrowest terminal in use. */
const WIDTH = 80

/** Exits that mean the same with every command. */
const EXITS: Readonly<Record<string, string>> = {
  2: 'wrong usage, or a file that cannot be opened',
  4: 'the output could not be written whole: a full device, a closed pipe',
}

/** Words in lines that fit a page, the first after a lead, the others under its end. */
function lines(lead: string, words: readonly string[]): string[] {
  const made: string[] = []
  let line = lead.trimEnd()
  for (const word of words) {
    const gap = line.length < lead.length ? lead.length - line.length : line === '' ? 0 : 1
    if (line.length + gap + word.length > WIDTH && line.trim() !== '') {
      made.push(line)
      line = `${' '.repeat(lead.length)}${word}`
    } else line = `${line}${' '.repeat(gap)}${word}`
  }
  return [...made, line]
}

const row = (label: string, about: string, width: number): string[] =>
  lines(`  ${label.padEnd(width)}  `, about.split(' '))

function optionWords(name: string, { value, short }: OptionEntry): string {
  return `--${name}${value === undefined ? '' : ` ${value}`}${short === undefined ? '' : `, -${short}`}`
}

function exitRows(exits: Readonly<Record<string, string>>): string[] {
  return Object.entries(exits).flatMap(([code, about]) => row(code, about, 1))
}

function usageLines(name: string, command: CommandEntry): string[] {
  const { files, takes, needs = [] } = command
  const words = takes.map((option) => {
    const word = optionWords(option, optionOf(command, option))
    return needs.includes(option) ? word : `[${word}]`
  })
  return lines(`usage: fuse-assay ${name} `, [files, ...words])
}

/** The page of one command: usage, options, an example, exit codes. */
export function commandPage(name: string): string {
  const command = COMMANDS[name]!
  const { call, output } = command.example
  const options = [...command.takes, ...COMMON].map((option) => {
    const entry = optionOf(command, option)
    return { words: optionWords(option, entry), about: entry.about }
  })
  const width = Math.min(28, Math.max(...options.map(({ words }) => words.length)))
  return [
    ...usageLines(name, command),
    '',
    ...lines('', command.about.split(' ')),
    '',
    'options:',
    ...options.flatMap(({ words, about }) => row(words, about, width)),
    '  An option is given once; a list is one value with commas. A FILE named - is',
    '  standard input.',
    '',
    'example:',
    ...lines('    ', `fuse-assay ${call}`.split(' ')),
    ...output.map((line) => `      ${line}`),
    '',
    'exit codes:',
    ...exitRows({ ...command.exits, ...EXITS }),
    '',
  ].join('\n')
}

/** The first page: all commands in a line or two each. */
export function mainPage(): string {
  const width = Math.max(...Object.keys(COMMANDS).map((name) => name.length))
  return [
    'fuse-assay: verifies JEDEC fuse files before they are burned',
    '',
    'usage: fuse-assay COMMAND …      fuse-assay FILE…  (check)',
    '',
    'commands:',
    ...Object.entries(COMMANDS).flatMap(([name, { about }]) => row(name, about, width)),
    '',
    'options of every command:',
    ...[...COMMON, 'version'].flatMap((name) => row(optionWords(name, OPTIONS[name]!), OPTIONS[name]!.about, 10)),
    '',
    'help COMMAND, or COMMAND --help, gives the page of one command.',
    '',
    'exit codes:',
    ...exitRows({
      0: 'done',
      1: 'the file failed, was refused or is different',
      3: '(compare, adapter, capture) undecided or not comparable',
      ...EXITS,
    }),
    '',
  ].join('\n')
}
