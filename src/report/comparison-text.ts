/** A comparison as text for a person. */
import { madeBy } from '../arguments/arguments'
import type { ComparedOutput } from '../jobs/compare/compare-logic'
import type { DifferenceGroup } from '../jobs/compare/fuse-differences'
import type { Comparison, LocatedDifference } from '../jobs/compare/comparison'
import { findingLines, reportRow } from './layout'

const RELATIONS = {
  identical: 'identical: the same fuses',
  equivalent: 'equivalent: fuses differ, and the logic is proved equal',
  different: 'different',
  undecided: 'undecided: neither equal nor different was shown',
  'not-comparable': 'not comparable: no conclusion',
} as const

/** Most rows of groups, and of fuses, that a person is shown. */
const MOST_GROUPS = 16
const MOST_FUSES = 8

const COMPARISON = { keys: ['relation', 'devices', 'outputs', 'scope', 'security'], maker: 'what compare returned' }

/** What was found between two files. */
export function renderComparison(comparison: Comparison): string {
  const { intended, readback, devices, relation, outputs, fileDifferences, security, scope, machines } = madeBy(
    comparison,
    'comparison',
    COMPARISON,
  )
  const shown = outputs.filter((output) => output.relation !== 'equivalent')
  return [
    `${intended ?? 'intended'} against ${readback ?? 'read-back'}: ${RELATIONS[relation]}`,
    reportRow(
      'parts',
      [devices.intended, devices.readback]
        .map((device) => (device ? `${device.part}${device.mode ? ` (${device.mode})` : ''}` : 'not certain'))
        .join(' against '),
    ),
    reportRow('fuses', fuseWords(comparison)),
    ...(comparison.basis === 'logic' ? [reportRow('logic', logicWords(comparison))] : []),
    ...shown.flatMap(outputLines),
    ...(machines?.sequence
      ? [
          reportRow(
            'sequence',
            `from the start, ${machines.sequence.length} ${machines.sequence.length === 1 ? 'step shows' : 'steps show'} it at pin ${machines.pin} (${machines.intended} against ${machines.readback}): ${machines.sequence.map(levelWords).join(' → ')}`,
          ),
        ]
      : []),
    ...fuseLines(comparison),
    ...(fileDifferences.length
      ? [
          reportRow(
            'besides',
            fileDifferences
              .map(({ what, intended: a, readback: b }) =>
                what === 'notes' || what === 'design specification'
                  ? what
                  : `${what} ${a ?? 'none'} against ${b ?? 'none'}`,
              )
              .join('; '),
          ),
        ]
      : []),
    ...findingLines(comparison.findings.filter(({ side, severity }) => side === undefined || severity !== 'note')),
    '',
    reportRow(
      'protection',
      [security.chip === 'blank-or-protected' ? 'the chip reads as blank or protected.' : '', ...security.advice]
        .filter(Boolean)
        .join(' '),
    ),
    reportRow('compared', scope.compared.join('; ') || 'nothing'),
    reportRow('not looked at', scope.notExamined.join('; ')),
    '',
  ].join('\n')
}

function fuseWords({ fuseDifferences: { count, byRole }, devices, relation }: Comparison): string {
  if (relation === 'not-comparable') return 'not compared'
  if (count === null)
    return devices.intended?.part === devices.readback?.part
      ? 'not compared one by one'
      : 'not compared one by one: fuses of different parts have nothing to do with each other'
  const roles = Object.entries(byRole).map(([role, n]) => `${n} ${role}`)
  return count === 0
    ? 'none differs'
    : `${count} differ${count === 1 ? 's' : ''}${roles.length ? `: ${roles.join(', ')}` : ''}`
}

function logicWords({ outputs }: Comparison): string {
  const count = (relation: ComparedOutput['relation']): number =>
    outputs.filter((output) => output.relation === relation).length
  return `${count('equivalent')} of ${outputs.length} outputs proved equal, ${count('different')} different, ${count('undecided')} undecided`
}

function levelWords(levels: Readonly<Record<string, 0 | 1>>): string {
  return (
    Object.entries(levels)
      .map(([pin, level]) => `${pin}=${level}`)
      .join(' ') || 'any inputs'
  )
}

function outputLines(output: ComparedOutput): string[] {
  const { pin, relation, differsIn, differingInputs, ofInputs, counterexample, differsWhere } = output
  if (relation === 'undecided') return [reportRow(`pin ${pin}`, 'undecided')]
  const lines = [
    reportRow(
      `pin ${pin}`,
      `differs in ${differsIn.join(', ')}${ofInputs === null || differingInputs === '0' ? '' : `, for ${differingInputs} of ${ofInputs} combinations`}`,
    ),
  ]
  if (differsWhere) lines.push(reportRow('', `where ${differsWhere.text}`))
  if (!counterexample) return lines
  const { inputs, state, intended, readback, rows, sequence } = counterexample
  if (sequence)
    return [
      ...lines,
      reportRow('', `${sequence.map(levelWords).join(' → ')}: intended ${intended}, read-back ${readback}`),
    ]
  const states = Object.entries(state).map(([at, level]) => `q${at}=${level}`)
  const at = [levelWords(inputs), ...states].join(' ')
  lines.push(reportRow('', `for example ${at}: intended ${intended}, read-back ${readback}${rowWords(rows)}`))
  return lines
}

function rowWords({ intended, readback }: NonNullable<ComparedOutput['counterexample']>['rows']): string {
  if (intended.length + readback.length === 0) return ''
  return `; array rows that are 1 then: ${intended.join(', ') || 'none'} against ${readback.join(', ') || 'none'}`
}

function fuseLines({ fuseDifferences: { groups, fuses } }: Comparison): string[] {
  if (groups.length === 0) return []
  const more = groups.length - MOST_GROUPS
  return [
    '',
    ...groups.slice(0, MOST_GROUPS).map((group) => reportRow(placeWords(group), groupWords(group, fuses))),
    ...(more > 0 ? [reportRow('', `and ${more} more groups; the JSON document lists them`)] : []),
  ]
}

function placeWords({ pin }: DifferenceGroup): string {
  return pin === null ? 'whole part' : `pin ${pin}`
}

function groupWords(
  { role, block, row, count, pin, fuse }: DifferenceGroup,
  fuses: readonly LocatedDifference[],
): string {
  const own = fuses.filter(
    (each) => each.role === role && each.block === block && each.pin === pin && (row === null || each.row === row),
  )
  const signs = own
    .slice(0, MOST_FUSES)
    .map(
      (each) =>
        `${each.fuse}${each.input ? ` (${each.input.complement ? '¬' : ''}${'pin' in each.input ? `p${each.input.pin}` : `q${each.input.cell}`})` : ''} ${each.intended}→${each.readback}`,
    )
  const place = own[0]?.positions
  const lines =
    place && (place.intended || place.readback)
      ? `; lines ${place.intended?.line ?? 'none'} and ${place.readback?.line ?? 'none'}`
      : ''
  return `${role}${row === null ? ` (${block})` : `, row ${row}`}: ${count === 1 ? '1 fuse' : `${count} fuses`}, ${signs.length ? signs.join(', ') + (count > signs.length ? ', …' : '') : `from ${fuse}`}${lines}`
}
