/** Descriptions as text for a person. */
import { madeBy } from '../arguments/arguments'
import type { Description } from './describe'
import { answerLines, findingCause, gravestOf, inSigns, remarkRows, scopeRows, todoRows } from './answer'
import { wrapText, rangeWords } from './layout'
import { partWords, REPORT, VERDICT_WORDS } from './report-text'
import { checkLook, lookOf, row, type Look, type TextOptions } from './screen'
import type { Report } from '../jobs/check/report'

const DESCRIPTION = { keys: ['part', 'pins', 'equations', 'configuration'], maker: 'what describe returned' }

/** Most errors and warnings, and notes that stand below a description. */
const MOST_SHOWN = { grave: 1, notes: 0 } as const

/**
 * What `show` prints: the part and the verdict on its file, equations, pins, configuration.
 *
 * @param description what `describe` gave
 * @param report what `verify` gave for the same file
 * @param options width, all, ascii, more
 * @returns equations, pins and configuration as lines
 * @throws TypeError or RangeError that names the argument
 * @example const all = describe(decoded); 'refused' in all || renderDescription(all, report).includes('p19') // true
 */
export function renderDescription(description: Description, report: Report, options: TextOptions = {}): string {
  madeBy(description, 'description', DESCRIPTION)
  madeBy(report, 'report', REPORT)
  checkLook(options)
  return inSigns({ description, report }, options, renderSigned)
}

interface Shown {
  readonly description: Description
  readonly report: Report
}

function renderSigned({ description, report }: Shown, options: TextOptions): string {
  const look = lookOf(options)
  const lead = gravestOf(report.findings, [])
  const notes = look.all ? report.findings : report.findings.filter(({ severity }) => severity !== 'note')
  const said = notes.filter(({ code }) => code === lead?.code)
  const remarks = remarkRows(notes, { said, most: MOST_SHOWN }, look)
  return [
    answerLines(
      {
        subject: report.file ?? 'file',
        answer: partWords(report),
        causes: [lead ? `${VERDICT_WORDS[report.verdict]}: ${findingCause(lead)}` : 'its file passes'],
      },
      look,
    ),
    ...todoRows(lead, look),
    '',
    wrapText('Equations (p: level at a pin; q: state of its register; q⁺: the next state)', 2, look.width),
    ...description.equations.flatMap((each) => equationLines(each, look)),
    '',
    ...(look.all ? longLines(description, report, look) : shortRows(description, report, look)),
    ...remarks,
    '',
    ...scopeRows(SHORT_SCOPE, SCOPE, look),
    '',
  ].join('\n')
}

const SHORT_SCOPE = { seen: ['the logic of these fuses'], unseen: ['timing', 'drive', 'the chip'] }
const SCOPE = {
  compared: ['the logic of these fuses, by the data sheet of the part'],
  notExamined: ['timing', 'drive', 'what a chip really holds'],
}

/** Pins, configuration and what was computed, a line each. */
function longLines(description: Description, report: Report, look: Look): string[] {
  return [
    'Pins',
    ...description.pins.map((pin) => `  ${String(pin.pin).padStart(3)}  ${wrapText(useOf(pin), 7, look.width)}`),
    '',
    'Configuration',
    ...configurationWords(description, report).map((line) => `  ${wrapText(line, 4, look.width)}`),
    '',
    'Computed from the logic',
    ...analysisLines(description, look),
  ]
}

/** The same by use, and nothing of what is as usual. */
function shortRows(description: Description, report: Report, look: Look): string[] {
  const byUse = new Map<string, number[]>()
  for (const pin of description.pins) byUse.set(useOf(pin), [...(byUse.get(useOf(pin)) ?? []), pin.pin])
  const uses = [...byUse].map(([use, pins]) => `${use}: ${rangeWords(pins)}`)
  return [
    row('pins', uses.join('; '), look),
    row('configuration', configurationWords(description, report).join('; '), look),
    ...analysisWords(description).map((words, i) => row(i === 0 ? 'computed' : '', words, look)),
  ]
}

function useOf({ role, mustNotFloat }: Description['pins'][number]): string {
  return mustNotFloat ? `${role}, must not float` : role
}

function configurationWords({ configuration }: Description, { signature }: Report): string[] {
  const signed = signature?.text == null ? '' : `, as text “${signature.text}”`
  return [
    ...(configuration.length > 0 ? configuration : ['none, this part has one mode']),
    ...(signature ? [`signature ${signature.bytes}${signed}`] : []),
  ]
}

function analysisLines(description: Description, look: Look): string[] {
  const lines = analysisWords(description)
  return lines.length > 0
    ? lines.map((line) => `  ${wrapText(line, 4, look.width)}`)
    : ['  nothing unusual: no constant output, no idle input, no loop, no surplus term']
}

function analysisWords({ analysis, equations }: Description): string[] {
  if (!analysis) return ['not computed: the functions grew past the limit']
  const { outputs, idleInputs, loops, surplusTerms } = analysis
  const registered = new Set(equations.flatMap(({ pin, next }) => (next === null ? [] : [pin])))
  const constantWords = ({ pin, constant, enabled }: (typeof outputs)[number]): string =>
    registered.has(pin)
      ? `pin ${pin} goes ${constant ? 'high' : 'low'} at every clock, whatever the inputs are`
      : `pin ${pin} is always ${constant ? 'high' : 'low'}${enabled === 'sometimes' ? ' while on' : ''}`
  return [
    ...outputs.filter(({ enabled }) => enabled === 'never').map(({ pin }) => `pin ${pin} is never on`),
    ...outputs.filter(({ constant }) => constant !== null).map(constantWords),
    ...(idleInputs.length
      ? [`terms name ${idleInputs.map((pin) => `p${pin}`).join(', ')}, and the level there decides nothing`]
      : []),
    ...loops.map(
      ({ pins, kind }) => `feedback through ${pins.map((pin) => `p${pin}`).join(', ')}: ${LOOP_WORDS[kind]}`,
    ),
    ...surplusTerms.map(
      ({ pin, row, sameAs }) =>
        `row ${row} of pin ${pin} ${sameAs === null ? 'is covered by the other terms of that pin' : `repeats row ${sameAs}`}`,
    ),
    ...(surplusTerms.some(({ sameAs }) => sameAs === null)
      ? ['a covered term may be there against glitches; leave it in']
      : []),
  ]
}

const LOOP_WORDS = {
  none: 'no loop after all, every input breaks it or gives it one level',
  latch: 'a latch, it remembers',
  oscillator: 'some inputs let it keep changing, it may oscillate',
} as const

function equationLines(equations: Description['equations'][number], look: Look): string[] {
  const { pin, value, enable, next, clock, reset, preset, clockedPreset, load, bypass } = equations
  if (value === null) return [`  p${pin} is not defined by the data sheet`]
  const lines = [`p${pin} = ${value}${enable === '1' ? '' : `   while ${enable}`}`]
  if (next !== null) lines.push(`q${pin}⁺ = ${next}   at each rise of ${clock}`)
  if (clockedPreset !== null) lines.push(`q${pin}⁺ = 1   at each rise of ${clock} while ${clockedPreset}`)
  if (reset !== null) lines.push(`q${pin} = 0   while ${reset}`)
  if (preset !== null) lines.push(`q${pin} = 1   while ${preset}`)
  if (bypass && reset !== null && preset !== null)
    lines.push(`p${pin} follows the data, past the register, while both hold`)
  if (load !== null) lines.push(`q${pin} takes the level at its pin   while ${load} and the output is off`)
  return lines.map((line) => `  ${wrapText(line, 6, look.width)}`)
}
