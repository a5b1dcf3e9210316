/** A run of steps as a value change dump (IEEE Std 1364-2001, clause 18), which wave viewers open. */
import { optionsOf, stringOf } from '../arguments/arguments'
import { checkedRun, type SequenceMoment, type SequenceRun } from '../jobs/steps/sequence-run'
import { isVerilogName } from './verilog-names'

/** How a dump names what it shows. */
export interface DumpOptions {
  /** Name of the scope, an identifier of Verilog (default: `part_` and the part, such as `part_16v8`). */
  readonly module?: string
}

/**
 * A value change dump of all watched pins, and of the state of each register as `q` and its pin number. A step begins
 * every `run.timeStep` nanoseconds; a preload lies a quarter into it, a pulse goes out at half and comes back at three
 * quarters. Without a date, so that the same run gives the same text.
 *
 * @param run what `runSteps` gave
 * @param options name of the module
 * @returns the text of the wave file
 * @throws TypeError for anything but what runSteps returned; RangeError when `options.module` is no identifier
 * @example valueChangeDump(run).startsWith('$version') // true
 */
export function valueChangeDump(run: SequenceRun, options: DumpOptions = {}): string {
  checkedRun(run, 'run')
  optionsOf(options, { module: true })
  const { module: scope = `part_${run.part.toLowerCase().replace(/[^a-z0-9]/g, '_')}` } = options
  if (!isVerilogName(stringOf(scope, 'options.module')))
    throw new RangeError('options.module must be an identifier of Verilog (IEEE 1364) and no keyword')
  const codes = Array.from({ length: run.pins.length + run.registers.length }, (_, i) => identifierCode(i))
  return [
    '$version fuse-assay $end',
    '$timescale 1 ns $end',
    `$scope module ${scope} $end`,
    ...namesOf(run).map((name, i) => `$var ${i < run.pins.length ? 'wire' : 'reg'} 1 ${codes[i]} ${name} $end`),
    '$upscope $end',
    '$enddefinitions $end',
    ...changeLines(run, codes),
    '',
  ].join('\n')
}

/** Place of a moment in its step, in quarters. */
const QUARTERS: Readonly<Record<SequenceMoment['moment'], number>> = { set: 0, load: 1, pulse: 2, return: 3 }

/** All values at the first moment, then only what changes. */
function changeLines({ steps, timeStep }: SequenceRun, codes: readonly string[]): string[] {
  const lines: string[] = []
  let before: string | null = null
  steps.forEach((step, i) => {
    for (const moment of [...step.onTheWay, step]) {
      const values = (moment.levels + moment.states).toLowerCase()
      const changes = codes.flatMap((code, at) =>
        before !== null && before[at] === values[at] ? [] : [`${values[at]}${code}`],
      )
      const time = i * timeStep + Math.floor((QUARTERS[moment.moment] * timeStep) / 4)
      if (before === null) lines.push(`#${time}`, '$dumpvars', ...changes, '$end')
      else if (changes.length > 0) lines.push(`#${time}`, ...changes)
      before = values
    }
  })
  // Without a last time the last step would have no width.
  return [...lines, `#${steps.length * timeStep}`]
}

/** Printable characters of ASCII that an identifier code may consist of: 33 to 126 (18.2). */
const CODES = { first: 33, count: 94 } as const

/** Code number `index`: all of one character, then all of two, and so on. */
function identifierCode(index: number): string {
  let code = ''
  for (let left = index; left >= 0; left = Math.floor(left / CODES.count) - 1)
    code += String.fromCharCode(CODES.first + (left % CODES.count))
  return code
}

/** Names of all variables: simple identifiers, each once. */
function namesOf({ pins, registers }: SequenceRun): string[] {
  const states = registers.map((pin) => `q${pin}`)
  const taken = new Set([...states, ...pins.flatMap(({ pin, name }) => (name === null ? [`p${pin}`] : []))])
  const levels = pins.map(({ pin, name }) => {
    if (name === null) return `p${pin}`
    const plain = name.replace(/[^A-Za-z0-9_$]/g, '_').replace(/^(?=[\d$])/, '_')
    let free = taken.has(plain) || !isVerilogName(plain) ? `${plain}_p${pin}` : plain
    while (taken.has(free)) free += '_'
    taken.add(free)
    return free
  })
  return [...levels, ...states]
}
