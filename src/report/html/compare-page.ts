/** The page of a comparison: the relation with its cause, each output, the differing fuses in the map. */
import { madeBy, optionsOf } from '../../arguments/arguments'
import type { Checked } from '../../jobs/check/verify'
import type { ComparedOutput } from '../../jobs/compare/compare-logic'
import type { Comparison } from '../../jobs/compare/comparison'
import type { Role } from '../../devices/fuse-role'
import {
  causesOf,
  COMPARISON,
  fuseWords,
  groupWords,
  leadOf,
  levelOf,
  levelWords,
  logicWords,
  partWords,
  placeWords,
  RELATIONS,
  ROLE_WORDS,
} from '../comparison-text'
import { lookOf } from '../screen'
import type { Content } from './element'
import { mapPicture } from './map-picture'
import { legend, markPath } from './marks'
import {
  answerOf,
  facts,
  findingSection,
  heading,
  hintOf,
  pageOf,
  scopeSection,
  section,
  table,
  type Fact,
} from './page'

const CHECKED = { keys: ['inspection', 'decoded'], maker: 'what check returned' }

/** What a page shows besides the comparison. */
export interface ComparePageOptions {
  /** What `check` returned for the intended file: its fuse map is drawn, with the differing fuses marked. */
  readonly intended?: Pick<Checked, 'inspection' | 'decoded'>
}

/**
 * One self-contained page of HTML on a comparison: the relation with its cause, what to do, every output with the case
 * in which it differs, the differing fuses as a table and in the map, every finding, and what was not looked at.
 *
 * @param comparison what `compare` returned
 * @param options `intended`: what `check` returned for the intended file, whose map is then drawn
 * @returns the page, in UTF-8 when it is written
 * @throws TypeError naming `comparison` or an option
 * @example comparePage(compare(palBytes, chipBytes)).includes('intended against read-back') // true
 */
export function comparePage(comparison: Comparison, options: ComparePageOptions = {}): string {
  madeBy(comparison, 'comparison', COMPARISON)
  const { intended } = optionsOf(options, { intended: true })
  if (intended !== undefined) madeBy(intended, 'options.intended', CHECKED)
  const title = `${comparison.intended ?? 'intended'} against ${comparison.readback ?? 'read-back'}`
  const lead = leadOf(comparison)
  return pageOf(
    { kind: 'comparison', title },
    heading(1, title),
    answerOf(comparison.verdict, RELATIONS[comparison.relation], causesOf(comparison, lead).join('; ')),
    section(
      2,
      'What to do',
      facts([...(lead ? [['what to do', hintOf(lead)] as const] : []), ...adviceOf(comparison)]),
    ),
    section(2, 'Facts', facts(factsOf(comparison))),
    section(2, 'Outputs', outputTable(comparison), sequenceTable(comparison)),
    section(2, 'Differing fuses', ...fuseContent(comparison, intended)),
    section(2, 'Besides the fuses', besideTable(comparison)),
    findingSection(comparison.findings, 2),
    scopeSection(comparison.scope, 2),
  )
}

function adviceOf({ security: { chip, advice } }: Comparison): readonly Fact[] {
  const blank = chip === 'blank-or-protected' ? ['The chip reads as blank or protected.'] : []
  return [['protection', [...blank, ...advice].join(' ')]]
}

function factsOf(comparison: Comparison): readonly Fact[] {
  return [
    ['parts', partWords(comparison)],
    ['fuses', fuseWords(comparison)],
    ...(comparison.basis === 'logic' ? [['logic', logicWords(comparison)] as const] : []),
  ]
}

/** Outputs that are not equal first. */
function outputTable({ outputs }: Comparison): Content {
  const isEqual = ({ relation }: ComparedOutput): boolean => relation === 'equivalent'
  const sorted = [...outputs.filter((output) => !isEqual(output)), ...outputs.filter(isEqual)]
  return table(
    'Every output',
    ['Output', 'Relation', 'Where', 'For example'],
    sorted.map((output) => [
      output.cell ?? `pin ${output.pin}`,
      relationWords(output),
      output.differsWhere?.text ?? '',
      exampleWords(output),
    ]),
  )
}

function relationWords({ relation, opposite, differsIn, differingInputs, ofInputs, reason }: ComparedOutput): string {
  if (relation === 'equivalent') return 'proved equal'
  if (relation === 'undecided') return `undecided${reason ? `: ${reason.replaceAll('-', ' ')}` : ''}`
  if (opposite) return 'always shows the opposite level'
  const isCounted = ofInputs !== null && differingInputs !== '0'
  const counted = isCounted ? `, for ${differingInputs} of ${ofInputs} combinations` : ''
  return `differs in ${differsIn.join(', ').replaceAll('-', ' ')}${counted}`
}

function exampleWords({ counterexample }: ComparedOutput): string {
  if (!counterexample) return ''
  const { inputs, state, intended, readback, sequence } = counterexample
  const states = Object.entries(state).map(([at, level]) => `q${at}=${level}`)
  const levels = sequence ? sequence.map(levelWords).join(' → ') : [levelWords(inputs), ...states].join(' ')
  return `${levels}: intended ${levelOf(intended)}, read-back ${levelOf(readback)}`
}

function sequenceTable({ machines }: Comparison): Content {
  return table(
    `Levels that show the difference at pin ${machines?.pin}, from the start`,
    ['Step', 'Levels'],
    (machines?.sequence ?? []).map((levels, i) => [i + 1, levelWords(levels)]),
  )
}

/** Most groups that the page lists: more are a scatter, of which the picture says more than a table. */
const MAX_GROUPS = 64

function fuseContent(comparison: Comparison, intended: ComparePageOptions['intended']): Content[] {
  const { groups, fuses, byRole } = comparison.fuseDifferences
  const look = lookOf({ all: true })
  const left = groups.length - MAX_GROUPS
  const decoded = intended?.decoded ?? null
  const map = intended?.inspection.file.fuses ?? null
  return [
    table(
      `Fuses that belong together${left > 0 ? `, the first ${MAX_GROUPS} of ${groups.length} groups` : ''}`,
      ['Output', 'Fuses'],
      groups.slice(0, MAX_GROUPS).map((group) => [placeWords(group), groupWords(group, fuses, look)]),
    ),
    groups.length > 0 && decoded && map
      ? [mapPicture({ decoded, fuses: map, differences: fuses }, 'map'), roleLegend(byRole)]
      : [],
  ]
}

/** Roles in words, with the shapes that mark them. */
function roleLegend(byRole: Comparison['fuseDifferences']['byRole']): Content {
  return legend(
    Object.entries(byRole).map(([role, count]) => ({
      kind: 'differs',
      path: markPath(role as Role, [8, 8], 5),
      words: `differs: ${count} ${ROLE_WORDS[role as Role][count === 1 ? 0 : 1]}`,
    })),
  )
}

function besideTable({ fileDifferences }: Comparison): Content {
  return table(
    'What else the files say differently',
    ['What', 'Intended', 'Read-back'],
    fileDifferences.map(({ what, intended, readback }) => [what, intended ?? 'none', readback ?? 'none']),
  )
}
