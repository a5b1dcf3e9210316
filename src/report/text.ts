/** Reports as text for a person: one screen for a typical file, worst first. */
import { madeBy } from '../arguments/arguments'
import { describeReading } from '../jobs/vectors/check-vectors'
import type { Description } from './describe'
import { findingLines, MOST_SHOWN, renderFinding, reportRow, wrapText } from './layout'
import type { Report } from '../jobs/check/report'

/** A verdict in words for a person. */
export const VERDICT_WORDS = {
  pass: 'pass (nothing speaks against it)',
  caution: 'caution (look before you burn)',
  fail: 'fail (do not burn it)',
} as const

const REPORT = { keys: ['verdict', 'checksums', 'testVectors', 'findings', 'scope'], maker: 'what verify returned' }
const DESCRIPTION = { keys: ['part', 'pins', 'equations', 'configuration'], maker: 'what describe returned' }

/** The report on one file. */
export function renderReport(report: Report): string {
  madeBy(report, 'report', REPORT)
  const rows = [
    reportRow('part', partWords(report)),
    reportRow('fuses', fuseWords(report)),
    reportRow('transmission', transmissionWords(report)),
    reportRow(
      'protection',
      report.security === null ? 'not stated' : report.security ? 'asked for (G1)' : 'not asked for (G0)',
    ),
    reportRow('test vectors', vectorWords(report)),
    ...(report.signature
      ? [
          reportRow(
            'signature',
            report.signature.text === null
              ? report.signature.bytes
              : `“${report.signature.text}” (${report.signature.bytes})`,
          ),
        ]
      : []),
  ]
  return [
    `${report.file ?? 'file'}: ${VERDICT_WORDS[report.verdict]}`,
    ...(report.fuseCount === null ? [] : rows),
    ...findingLines(report.findings),
    '',
    reportRow('compared', report.scope.compared.join('; ') || 'nothing'),
    reportRow('not looked at', report.scope.notExamined.join('; ')),
    ...(report.verdict === 'fail' ? [] : [reportRow('before burning', CAUTION)]),
    '',
  ].join('\n')
}

const CAUTION =
  'keep the untouched download; choose the exact maker, type and suffix; leave protection off until the machine runs; verify in a separate run.'

function partWords({ device, candidates, fuseCount }: Report): string {
  if (!device)
    return candidates.length > 1
      ? `one of ${candidates.join(', ')}`
      : candidates.length
        ? `by its size a ${candidates[0]}`
        : 'not known'
  const basis = {
    size: `the only known part of ${fuseCount} fuses`,
    choice: 'as chosen',
    vectors: 'by its test vectors alone',
  }[device.basis]
  return `${device.part}${device.mode ? `, ${device.mode} mode` : ''} (${basis})`
}

function fuseWords({ fuseCount, complete, checksums: { fuse } }: Report): string {
  if (fuse.computed === null) return 'none read'
  if (!complete) return `${fuseCount}, not all of them known`
  if (fuse.status === 'absent') return `${fuseCount}; no checksum stated, they sum to ${fuse.computed}`
  return `${fuseCount}; checksum stated ${fuse.stated}, ${fuse.status === 'match' ? 'and they sum to that' : `but they sum to ${fuse.computed}`}`
}

function transmissionWords({ checksums: { transmission: sum } }: Report): string {
  if (sum.status === 'absent')
    return sum.computed ? `no checksum stated; the bytes sum to ${sum.computed}` : 'no checksum'
  if (sum.status === 'not-computed') return 'checksum declared as not computed (0000)'
  if (sum.status === 'match') return `checksum stated ${sum.stated}, and the bytes sum to that`
  const cause = sum.explanation ? `: ${CAUSE_WORDS[sum.explanation]}` : ''
  return `checksum stated ${sum.stated}, but the bytes sum to ${sum.computed ?? 'something else'}${cause}`
}

/** The one cause that fits, in a few words. */
const CAUSE_WORDS = {
  'line-ends-lf-to-crlf': 'right once LF is made CR LF',
  'line-ends-crlf-to-lf': 'right once CR LF is made LF',
  'line-ends-cr': 'right with other line ends',
  'carriage-returns-lost': 'right once a few lost CR are put back',
  'start-mark-left-out': 'right without the start mark',
  'end-mark-left-out': 'right without the end mark',
  'wrong-digit-count': 'right by its value',
} as const

function vectorWords({
  testVectors: { count, passed, failed, undetermined, readings },
  vectorsFrom,
}: Report): string {
  if (count === 0) return 'none run'
  const holding = failed === 0 && readings.find((reading) => reading.failed === 0 && reading.undetermined === 0)
  const open = holding
    ? `${undetermined} open as they stand; all hold with ${describeReading(holding)}`
    : `${undetermined} open`
  return `${count} run${vectorsFrom === null ? '' : ` from ${vectorsFrom}`}: ${passed} hold, ${failed} contradicted, ${open}`
}

/** What `show` prints: pins, equations, configuration. */
export function renderDescription(description: Description, report: Report): string {
  madeBy(description, 'description', DESCRIPTION)
  madeBy(report, 'report', REPORT)
  const grave = report.findings.filter(({ severity }) => severity !== 'note').slice(0, MOST_SHOWN.grave)
  return [
    `${report.file ?? 'file'}: ${partWords(report)}`,
    ...(report.verdict === 'pass' ? [] : [`checked: ${VERDICT_WORDS[report.verdict]}`, ...grave.map(renderFinding)]),
    '',
    'Pins',
    ...description.pins.map(
      ({ pin, role, mustNotFloat }) =>
        `  ${String(pin).padStart(3)}  ${wrapText(mustNotFloat ? `${role}; must not float` : role, 7)}`,
    ),
    '',
    'Equations (p: level at a pin; q: state of the register behind it; q⁺: its next state)',
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
