/** Descriptions as text for a person. */
import { madeBy } from '../arguments/arguments'
import type { Description } from './describe'
import { MOST_SHOWN, renderFinding, wrapText } from './layout'
import { partWords, REPORT, VERDICT_WORDS } from './report-text'
import type { Report } from '../jobs/check/report'

const DESCRIPTION = { keys: ['part', 'pins', 'equations', 'configuration'], maker: 'what describe returned' }

/**
 * What `show` prints: pins, equations, configuration.
 *
 * @param description what `describe` gave
 * @param report what `verify` gave for the same file
 * @returns pins, equations and configuration as lines
 * @throws TypeError for anything else
 * @example renderDescription(describe(decoded)!, report).includes('Equations') // true
 */
export function renderDescription(description: Description, report: Report): string {
  madeBy(description, 'description', DESCRIPTION)
  madeBy(report, 'report', REPORT)
  const grave = report.findings.filter(({ severity }) => severity !== 'note').slice(0, MOST_SHOWN.grave)
  return [
    wrapText(`${report.file ?? 'file'}: ${partWords(report)}`, 2),
    ...(report.verdict === 'pass'
      ? []
      : [`checked: ${VERDICT_WORDS[report.verdict]}`, ...grave.map((finding) => renderFinding(finding))]),
    '',
    'Pins',
    ...description.pins.map(
      ({ pin, role, mustNotFloat }) =>
        `  ${String(pin).padStart(3)}  ${wrapText(mustNotFloat ? `${role}; must not float` : role, 7)}`,
    ),
    '',
    'Equations (p: level at a pin; q: state of its register; q⁺: the next state)',
    ...description.equations.flatMap(equationLines),
    '',
    'Configuration',
    ...(description.configuration.length
      ? description.configuration.map((line) => `  ${line}`)
      : ['  none: this part has one mode']),
    ...(report.signature
      ? [
          `  signature ${report.signature.bytes}${report.signature.text === null ? '' : `, as text “${report.signature.text}”`}`,
        ]
      : []),
    '',
    'Computed from the logic',
    ...analysisLines(description),
    '',
  ].join('\n')
}

function analysisLines({ analysis, equations }: Description): string[] {
  if (!analysis) return ['  not computed: the functions grew past the limit']
  const { outputs, idleInputs, loops, surplusTerms } = analysis
  const registered = new Set(equations.flatMap(({ pin, next }) => (next === null ? [] : [pin])))
  const constantWords = ({ pin, constant, enabled }: (typeof outputs)[number]): string =>
    registered.has(pin)
      ? `pin ${pin} goes ${constant ? 'high' : 'low'} at every clock, whatever the inputs are`
      : `pin ${pin} is always ${constant ? 'high' : 'low'}${enabled === 'sometimes' ? ' while on' : ''}`
  const lines = [
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
  return lines.length
    ? lines.map((line) => `  ${wrapText(line, 4)}`)
    : ['  nothing unusual: no constant output, no idle input, no loop, no surplus term']
}

const LOOP_WORDS = {
  none: 'no loop after all, every input breaks it or gives it one level',
  latch: 'a latch, it remembers',
  oscillator: 'some inputs let it keep changing, it may oscillate',
} as const

function equationLines(equations: Description['equations'][number]): string[] {
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
  return lines.map((line) => `  ${wrapText(line, 6)}`)
}
