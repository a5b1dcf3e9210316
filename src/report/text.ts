/** Descriptions and parts as text for a person. */
import { fuseOf, type Device, type FuseBlock } from '../devices/device'
import { fuseOrders } from '../devices/fuse-orders'
import type { Description } from './describe'
import { MOST_SHOWN, renderFinding, reportRow, wrapText } from './layout'
import { partWords, VERDICT_WORDS } from './report-text'
import type { Report } from '../jobs/check/report'

/** What `show` prints: pins, equations, configuration. */
export function renderDescription(description: Description, report: Report): string {
  const grave = report.findings.filter(({ severity }) => severity !== 'note').slice(0, MOST_SHOWN.grave)
  return [
    `${report.file ?? 'file'}: ${partWords(report)}`,
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

/** The orders in which the fuses of a part may be numbered. */
function orderRows(part: string): string[] {
  const orders = fuseOrders(part).map(({ name, description }) => reportRow('', `${name}: ${description}`))
  return orders.length === 0 ? [] : [reportRow('fuse orders', 'none is confirmed; choose one of these'), ...orders]
}

function runWords(block: FuseBlock): string {
  const { first, count, run = 1, step = run } = block
  return `${first} to ${fuseOf(block, count - 1)}, ${run} together every ${step}`
}

/** One part: pins, fuse ranges, modes, sources. */
export function renderDevice(device: Device): string {
  const range = (first: number, count: number, step = 1): string =>
    `${first} to ${first + (count - 1) * step}${step > 1 ? `, every ${step === 2 ? 'second' : `${step}th`}` : ''}`
  return [
    `${device.part}: ${device.title}`,
    reportRow('also named', device.aliases.join(', ') || 'no other name'),
    reportRow('pins', `${device.pinCount}; ground ${device.groundPin}, supply ${device.powerPin}`),
    ...(device.carriers ?? []).map(({ name, dipPins }) =>
      reportRow(name, `contacts 1 to ${dipPins.length} are pins ${dipPins.map((pin) => pin || 'none').join(', ')}`),
    ),
    reportRow(
      'fuses',
      `${[...(device.shorterCounts ?? []), device.fuseCount].join(' or ')}; 0 is a connected fuse, 1 an open one`,
    ),
    ...(device.modes.length
      ? [
          reportRow(
            'array',
            `${device.array.rows} rows of ${device.array.columns} columns; ${device.array.complementFirst ? 'odd' : 'even'} columns are true signals, ${device.array.complementFirst ? 'even' : 'odd'} ones their complements`,
          ),
        ]
      : []),
    ...(device.modes.length ? [] : orderRows(device.part)),
    ...device.blocks.map((block) =>
      reportRow(
        '',
        `${block.name}: fuses ${block.run === undefined ? range(block.first, block.count, block.step) : runWords(block)}`,
      ),
    ),
    ...device.cells.map((cell) =>
      reportRow(
        '',
        `output cell of pin ${cell.pin}: ${cell.rowCount > 1 ? `rows ${range(cell.firstRow, cell.rowCount)}` : cell.rowCount ? `row ${cell.firstRow}` : 'no row of its own'}`,
      ),
    ),
    ...device.modes.map((mode) =>
      reportRow('columns', `${mode.name ? `${mode.name} mode, pins` : 'pins'} ${mode.columns.join(', ')}`),
    ),
    ...device.remarks.map((remark) => reportRow('remark', remark)),
    reportRow('basis', BASIS_WORDS[device.basis]),
    ...device.sources.map((source) => reportRow('source', source)),
    '',
  ].join('\n')
}
