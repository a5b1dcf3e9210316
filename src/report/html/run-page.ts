/** The page of a run of steps: what became of the expectations, levels as a picture and as a table, what is unknown. */
import { madeBy, optionsOf, stringOf } from '../../arguments/arguments'
import type { Verdict } from '../../findings/finding'
import { describeCauses } from '../../jobs/vectors/vector-words'
import type { Report } from '../../jobs/check/report'
import { checkedRun, type SequenceRun } from '../../jobs/steps/sequence-run'
import { REPORT } from '../report-text'
import { outcomeWords, pinWords, reasonsOf } from '../run-words'
import { element, type Content } from './element'
import { levelPicture, MAX_DRAWN } from './level-picture'
import { answerOf, facts, findingSection, heading, pageOf, section, scopeSection, table } from './page'

/** What a page says besides the run. */
export interface RunPageOptions {
  /** Name of what the steps were run on. */
  readonly name?: string
  /** The report on the file. */
  readonly report?: Report
}

/** Most rows of a table; a machine gets all. */
const MAX_ROWS = 500

/**
 * One self-contained page of HTML on a run: what became of the expectations, the levels over time as a picture and as a
 * table, why what is unknown is, applied levels that are overridden.
 *
 * @param run what `runSteps` returned
 * @param options name of what was run, and the report on its file
 * @returns the page, in UTF-8 when it is written
 * @throws TypeError naming `run` or an option
 * @example runPage(run, { name: 'a.jed' }).includes('<h1>a.jed</h1>') // true
 */
export function runPage(run: SequenceRun, options: RunPageOptions = {}): string {
  checkedRun(run, 'run')
  const { name, report } = optionsOf(options, { name: true, report: true })
  if (name !== undefined) stringOf(name, 'options.name')
  if (report !== undefined) madeBy(report, 'options.report', REPORT)
  const title = name ?? `the ${run.part}`
  return pageOf(
    { kind: 'run of steps', title },
    heading(1, title),
    answerOf(verdictOf(run), outcomeWords(run), ''),
    section(2, 'Expectations that do not hold', checkTable(run)),
    section(2, 'Levels over time', ...levelContent(run)),
    section(2, 'Unknown levels', unknownTable(run)),
    section(2, 'Overridden levels', overriddenTable(run)),
    report && report.verdict !== 'pass' ? findingSection(report.findings, 2) : null,
    section(2, 'What was run', facts([['part', `${run.part}${run.mode ? `, ${run.mode} mode` : ''}`], startFact(run)])),
    scopeSection({ compared: ['the logic of the part under these steps'], notExamined: NOT_EXAMINED }, 2),
  )
}

const NOT_EXAMINED = ['other steps', 'timing and glitches', 'the board']

function startFact({ start }: SequenceRun): readonly [string, string] {
  return ['start', start === 'unknown' ? 'every register unknown' : 'every register as after power-up']
}

function verdictOf({ expectations: { contradicted, open } }: SequenceRun): Verdict {
  if (contradicted > 0) return 'fail'
  return open > 0 ? 'caution' : 'pass'
}

/** How many of a list are there where it is cut. */
function bounded(what: string, count: number): string {
  return count > MAX_ROWS ? `${what}, the first ${MAX_ROWS} of ${count}` : what
}

function checkTable(run: SequenceRun): Content {
  const wrong = run.steps.flatMap(({ number, checks }) =>
    checks.filter(({ result }) => result !== 'held').map((check) => ({ number, ...check })),
  )
  return table(
    bounded('Contradicted and open expectations', wrong.length),
    ['Step', 'Pin', 'Result', 'Depends on'],
    wrong
      .slice(0, MAX_ROWS)
      .map(({ number, pin, result, expected, found, causes }) => [
        number,
        pinWords(run, pin),
        `${result}: ${expected} expected, ${found} found`,
        causes.length > 0 ? describeCauses(causes) : '',
      ]),
  )
}

function levelContent(run: SequenceRun): Content[] {
  const { steps, pins, registers } = run
  const heads = [...pins.map(({ pin, name }) => name ?? `p${pin}`), ...registers.map((place) => `q${place}`)]
  const rows = steps
    .slice(0, MAX_ROWS)
    .map(({ number, note, levels, states }) => [number, ...levels, ...states, note ?? ''])
  const drawn = steps.length > MAX_DRAWN ? element('p', {}, `The first ${MAX_DRAWN} steps are drawn.`) : null
  const levels = table(bounded('Levels after each step', steps.length), ['Step', ...heads, 'Note'], rows)
  return [levelPicture(run, 'levels'), drawn, levels]
}

function unknownTable(run: SequenceRun): Content {
  return table(
    'Why a pin is unknown, and from which step on',
    ['Pin', 'Depends on', 'First step', 'Steps'],
    reasonsOf(run).slice(0, MAX_ROWS).map(({ pin, causes, first, count }) => [pin, causes, first, count]),
  )
}

function overriddenTable(run: SequenceRun): Content {
  const rows = run.steps.flatMap(({ number, overridden }) => overridden.map((pin) => [number, pinWords(run, pin)]))
  return table(
    bounded('An enabled output overrides the applied level: on a board, two drivers against each other', rows.length),
    ['Step', 'Pin'],
    rows.slice(0, MAX_ROWS),
  )
}
