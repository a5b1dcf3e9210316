/** Reports as text for a person: one screen for a typical file, worst first. */
import { describeReading } from '../checks/check-vectors'
import type { Finding } from '../findings/finding'
import type { Device } from '../devices/device'
import type { Description } from './describe'
import type { Report } from './report'

const WIDTH = 100

/** Breaks text at blanks; every line after the first is indented. */
function wrap(text: string, indent: number): string {
  const lines: string[] = []
  let line = ''
  for (const word of text.split(' ')) {
    if (line && indent + line.length + 1 + word.length > WIDTH) {
      lines.push(line)
      line = word
    } else line = line ? `${line} ${word}` : word
  }
  return [...lines, line].join(`\n${' '.repeat(indent)}`)
}

function row(label: string, text: string): string {
  return `  ${label.padEnd(13)} ${wrap(text, 16)}`
}

const VERDICTS = {
  pass: 'pass (nothing speaks against it)',
  caution: 'caution (look before you burn)',
  fail: 'fail (do not burn it)',
} as const

/** The report on one file. */
export function renderReport(report: Report): string {
  const rows = [
    row('part', partWords(report)),
    row('fuses', fuseWords(report)),
    row('transmission', transmissionWords(report)),
    row('protection', report.security === null ? 'not stated' : report.security ? 'asked for (G1)' : 'not asked for (G0)'),
    row('test vectors', vectorWords(report)),
    ...(report.signature ? [row('signature', report.signature.text === null ? report.signature.bytes : `“${report.signature.text}” (${report.signature.bytes})`)] : []),
  ]
  return [
    `${report.file ?? 'file'}: ${VERDICTS[report.verdict]}`,
    ...(report.fuseCount === null ? [] : rows),
    ...findingLines(report.findings),
    '',
    row('compared', report.scope.compared.join('; ') || 'nothing'),
    row('not looked at', report.scope.notExamined.join('; ')),
    ...(report.verdict === 'fail' ? [] : [row('before burning', CAUTION)]),
    '',
  ].join('\n')
}

const CAUTION =
  'keep the untouched download; choose the exact maker, type and suffix; leave protection off until the machine runs; verify in a separate run.'

/** Most errors and warnings, and most notes, that a person is shown; a machine gets all that are listed. */
const MOST_SHOWN = { grave: 12, notes: 8 } as const

function findingLines(findings: readonly Finding[]): string[] {
  const grave = findings.filter(({ severity }) => severity !== 'note')
  const notes = findings.filter(({ severity }) => severity === 'note')
  const shown = [...grave.slice(0, MOST_SHOWN.grave), ...notes.slice(0, MOST_SHOWN.notes)]
  const more = findings.length - shown.length
  return findings.length === 0 ? [] : ['', ...shown.map(renderFinding), ...(more ? [`  and ${more} more; --json lists them`] : [])]
}

function partWords({ device, candidates, fuseCount }: Report): string {
  if (!device) return candidates.length > 1 ? `one of ${candidates.join(', ')}` : candidates.length ? `by its size a ${candidates[0]}` : 'not known'
  const basis = { size: `the only known part of ${fuseCount} fuses`, choice: 'as chosen', vectors: 'by its test vectors alone' }[device.basis]
  return `${device.part}${device.mode ? `, ${device.mode} mode` : ''} (${basis})`
}

function fuseWords({ fuseCount, checksums: { fuse }, findings }: Report): string {
  if (fuse.computed === null) return 'none read'
  if (findings.some(({ code }) => code === 'file/uncovered-fuses' || code === 'file/cut-short')) return `${fuseCount}, not all of them known`
  if (fuse.status === 'absent') return `${fuseCount}; no checksum stated, they sum to ${fuse.computed}`
  return `${fuseCount}; checksum stated ${fuse.stated}, ${fuse.status === 'match' ? 'and they sum to that' : `but they sum to ${fuse.computed}`}`
}

function transmissionWords({ checksums: { transmission: sum } }: Report): string {
  if (sum.status === 'absent') return sum.computed ? `no checksum stated; the bytes sum to ${sum.computed}` : 'no checksum'
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

function vectorWords({ testVectors: { count, passed, failed, undetermined, readings }, vectorsFrom }: Report): string {
  if (count === 0) return 'none run'
  const holding = failed === 0 && readings.find((reading) => reading.failed === 0 && reading.undetermined === 0)
  const open = holding ? `${undetermined} open as they stand; all hold with ${describeReading(holding)}` : `${undetermined} open`
  return `${count} run${vectorsFrom === null ? '' : ` from ${vectorsFrom}`}: ${passed} hold, ${failed} contradicted, ${open}`
}

/** One finding: severity, place, what it is, what to do. */
export function renderFinding(finding: Finding): string {
  const { position, fuse, pin, vector } = finding
  const place = [
    ...(position ? [`line ${position.line}, column ${position.column} (byte ${position.offset})`] : []),
    ...(fuse === undefined ? [] : [`fuse ${fuse}`]),
    ...(vector === undefined ? [] : [`vector ${vector}`]),
    ...(pin === undefined ? [] : [`pin ${pin}`]),
  ].join(', ')
  const head = wrap(`${finding.message} [${finding.code}]`, 11)
  return `  ${finding.severity.padEnd(8)} ${head}\n           ${wrap(`${place ? `At ${place}. ` : ''}${finding.hint}`, 11)}`
}

/** What `show` prints: pins, equations, configuration. */
export function renderDescription(description: Description, report: Report): string {
  const grave = report.findings.filter(({ severity }) => severity !== 'note').slice(0, MOST_SHOWN.grave)
  return [
    `${report.file ?? 'file'}: ${partWords(report)}`,
    ...(report.verdict === 'pass' ? [] : [`checked: ${VERDICTS[report.verdict]}`, ...grave.map(renderFinding)]),
    '',
    'Pins',
    ...description.pins.map(({ pin, role }) => `  ${String(pin).padStart(3)}  ${wrap(role, 7)}`),
    '',
    'Equations (p: level at a pin; q: state of the register behind it; q⁺: its next state)',
    ...description.equations.flatMap(equationLines),
    '',
    'Configuration',
    ...(description.configuration.length ? description.configuration.map((line) => `  ${line}`) : ['  none: this part has one mode']),
    ...(report.signature ? [`  signature ${report.signature.bytes}${report.signature.text === null ? '' : `, as text “${report.signature.text}”`}`] : []),
    '',
  ].join('\n')
}

function equationLines(equations: Description['equations'][number]): string[] {
  const { pin, value, enable, next, clock, reset, preset, clockedPreset, load, bypass } = equations
  if (value === null) return [`  p${pin} is not defined by the data sheet`]
  const lines = [`p${pin} = ${value}${enable === '1' ? '' : `   while ${enable}`}`]
  if (next !== null) lines.push(`q${pin}⁺ = ${next}   at each rise of ${clock}`)
  if (clockedPreset !== null) lines.push(`q${pin}⁺ = 1   at each rise of ${clock} while ${clockedPreset}`)
  if (reset !== null) lines.push(`q${pin} = 0   while ${reset}`)
  if (preset !== null) lines.push(`q${pin} = 1   while ${preset}`)
  if (bypass && reset !== null && preset !== null) lines.push(`p${pin} follows the data, past the register, while both hold`)
  if (load !== null) lines.push(`q${pin} takes the level at its pin   while ${load} and the output is off`)
  return lines.map((line) => `  ${wrap(line, 6)}`)
}

/** The catalogue, a line a part. */
export function renderDevices(devices: readonly Device[]): string {
  const lines = devices.map(({ part, fuseCount, pinCount, title, basis, modes }) => {
    const mark = modes.length === 0 ? ' (not decoded)' : basis === 'published' ? '' : ` (${basis})`
    return `  ${part.padEnd(8)} ${String(fuseCount).padStart(6)} fuses  ${pinCount} pins  ${title}${mark}`
  })
  return ['Parts of the catalogue', ...lines, ''].join('\n')
}

const BASIS_WORDS = {
  published: 'published',
  inferred: 'inferred, see the sources',
  unconfirmed: 'derived and not confirmed, check before use',
  memory: 'from memory, check before use',
} as const

/** One part: pins, fuse ranges, modes, sources. */
export function renderDevice(device: Device): string {
  const range = (first: number, count: number, step = 1): string => `${first} to ${first + (count - 1) * step}${step > 1 ? `, every ${step === 2 ? 'second' : `${step}th`}` : ''}`
  return [
    `${device.part}: ${device.title}`,
    row('also named', device.aliases.join(', ') || 'no other name'),
    row('pins', `${device.pinCount}; ground ${device.groundPin}, supply ${device.powerPin}`),
    ...(device.carriers ?? []).map(({ name, dipPins }) => row(name, `contacts 1 to ${dipPins.length} are pins ${dipPins.map((pin) => pin || 'none').join(', ')}`)),
    row('fuses', `${[...(device.shorterCounts ?? []), device.fuseCount].join(' or ')}; 0 is a connected fuse, 1 an open one`),
    ...(device.modes.length ? [row('array', `${device.array.rows} rows of ${device.array.columns} columns; even columns are true signals, odd ones their complements`)] : []),
    ...device.blocks.map((block) => row('', `${block.name}: fuses ${range(block.first, block.count, block.step)}`)),
    ...device.cells.map((cell) => row('', `output cell of pin ${cell.pin}: rows ${range(cell.firstRow, cell.rowCount)}`)),
    ...device.modes.map((mode) => row('columns', `${mode.name ? `${mode.name} mode, pins` : 'pins'} ${mode.columns.join(', ')}`)),
    ...device.remarks.map((remark) => row('remark', remark)),
    row('basis', BASIS_WORDS[device.basis]),
    ...device.sources.map((source) => row('source', source)),
    '',
  ].join('\n')
}
