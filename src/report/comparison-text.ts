/** A comparison as text for a person: the relation with its cause, what to do, the facts. */
import { madeBy } from '../arguments/arguments'
import type { FindingCode } from '../findings/catalogue'
import type { Finding } from '../findings/finding'
import type { Role } from '../devices/fuse-role'
import type { ComparedOutput } from '../jobs/compare/compare-logic'
import type { DifferenceGroup } from '../jobs/compare/fuse-differences'
import type { Comparison, LocatedDifference } from '../jobs/compare/comparison'
import { answerLines, bounded, firstOf, inSigns, remarkRows, shortened, todoRows } from './answer'
import { checkLook, clauseOf, lookOf, row, type Look, type TextOptions } from './screen'

/** Relations in words for a person. */
export const RELATIONS = {
  identical: 'identical: the same fuses',
  equivalent: 'equivalent: fuses differ, and the logic is proved equal',
  different: 'different',
  undecided: 'undecided',
  'not-comparable': 'not comparable',
} as const

/** Most outputs, groups of fuses, errors and warnings, and notes that a screen has room for. */
const MOST_SHOWN = { outputs: 2, groups: 3, grave: 2, notes: 2 } as const

/** Most groups, and fuses of a group, that the long form lists. */
const MOST_GROUPS = 16
const MOST_FUSES = 8

/** What makes an object a comparison. */
export const COMPARISON = {
  keys: ['relation', 'devices', 'outputs', 'scope', 'security'],
  maker: 'what compare returned',
}

/** What a comparison hangs on: the first of these that was found stands in the sentence of the relation. */
const LEADING: readonly FindingCode[] = [
  'compare/no-fuses',
  'readback/all-alike',
  'readback/array-alike',
  'readback/shifted',
  'readback/repeated-halves',
  'readback/stuck-column',
  'readback/stuck-row',
  'readback/alike-from-row',
  'readback/tail-only',
  'readback/signature-only',
  'readback/idle-rows-only',
  'compare/packages-differ',
  'compare/sizes-differ',
  'compare/candidates-disagree',
  'compare/different',
  'compare/fuses-differ',
  'compare/power-down-differs',
  'compare/undecided',
  'compare/from-start-only',
]

/** Findings that the sentence of the relation, or a row below it, says in its own words. */
const SAID: readonly FindingCode[] = ['compare/different', 'compare/fuses-differ', 'compare/opposite-level']

/**
 * What was found between two files.
 *
 * @param comparison what `compare` gave
 * @param options width, how much is shown, and the signs of logic
 * @returns a screen, the relation with its cause first
 * @throws TypeError for what is no comparison, RangeError for an option out of range
 * @example renderComparison(compare(palBytes, chipBytes, { device: '14L4' })).includes('different') // true
 */
export function renderComparison(comparison: Comparison, options: TextOptions = {}): string {
  madeBy(comparison, 'comparison', COMPARISON)
  checkLook(options)
  return inSigns(comparison, options, renderSigned)
}

function renderSigned(comparison: Comparison, options: TextOptions): string {
  const look = lookOf(options)
  const lead = leadOf(comparison)
  const { intended, readback, relation } = comparison
  const causes = causesOf(comparison, lead)
  const subject = `${intended ?? 'intended'} against ${readback ?? 'read-back'}`
  return [
    answerLines({ subject, answer: RELATIONS[relation], causes }, look),
    ...todoRows(lead, look),
    '',
    row('parts', partWords(comparison), look),
    ...(causes.join('; ').includes(fuseWords(comparison)) ? [] : [row('fuses', fuseWords(comparison), look)]),
    ...(comparison.basis === 'logic' ? [row('logic', logicWords(comparison), look)] : []),
    ...outputRows(comparison, look),
    ...machineRows(comparison, look),
    ...groupRows(comparison, look),
    ...besideRows(comparison, look),
    ...remarks(comparison, lead, look),
    '',
    ...scopeRows(comparison, look),
    '',
  ].join('\n')
}

/** The finding that the relation hangs on; null where nothing was found that it does. */
export function leadOf({ findings }: Comparison): Finding | null {
  return firstOf(
    findings.filter(({ side }) => side === undefined),
    LEADING,
  )
}

/** What is said where nothing was found that the relation hangs on. */
const NO_CAUSE: Readonly<Record<Comparison['relation'], string[]>> = {
  identical: [],
  equivalent: [],
  different: [],
  undecided: ['neither equal nor different was shown'],
  'not-comparable': ['no conclusion'],
}

/** Why the relation is what it is: clauses for one sentence. */
export function causesOf(comparison: Comparison, lead: Finding | null): string[] {
  const { relation, outputs, fuseDifferences } = comparison
  const different = outputs.filter((output) => output.relation === 'different')
  if (relation === 'different') {
    const pattern = lead && !SAID.includes(lead.code) ? [clauseOf(lead.message)] : []
    const fuses = pattern.length === 0 && fuseDifferences.count ? [fuseWords(comparison)] : []
    return [...pattern, ...fuses, ...differenceWords(different)]
  }
  if (!lead) return NO_CAUSE[relation]
  return [lead, ...behindOf(comparison, lead)].map(({ message }) => clauseOf(message))
}

/** Why a side gives no fuses, by what is wrong with it. */
function behindOf({ findings }: Comparison, lead: Finding | null): readonly Finding[] {
  if (lead?.code !== 'compare/no-fuses') return []
  return findings.filter(({ side, severity }) => side !== undefined && severity === 'error').slice(0, 1)
}

/** What differs, by the outputs that show it. */
function differenceWords(different: readonly ComparedOutput[]): string[] {
  const opposite = different.filter((output) => output.opposite)
  const starting = different.filter(
    ({ differsIn }) => differsIn.length > 0 && differsIn.every((it) => it === 'power-up'),
  )
  const others = different.filter((output) => !opposite.includes(output) && !starting.includes(output))
  const say = (list: readonly ComparedOutput[], one: string, many: string): string[] => {
    if (list.length === 0) return []
    const pins = list.map(({ pin, cell }) => cell ?? pin).join(', ')
    return [list.length === 1 ? `pin ${pins} ${one}` : `pins ${pins} ${many}`]
  }
  return [
    ...say(opposite, 'always shows the opposite level', 'always show the opposite level'),
    ...say(starting, 'starts at another level', 'start at another level'),
    ...say(others, 'differs', 'differ'),
  ]
}

/** The parts of both sides. */
export function partWords({ devices: { intended, readback } }: Comparison): string {
  const [a, b] = [intended, readback].map((device) =>
    device ? `${device.part}${device.mode ? ` (${device.mode})` : ''}` : 'not certain',
  )
  return a === b ? `${a} on both sides` : `${a} against ${b}`
}

/** Fuses of each role: one of them, several of them. */
export const ROLE_WORDS: Readonly<Record<Role, readonly [string, string]>> = {
  and: ['fuse of the AND array', 'fuses of the AND array'],
  or: ['fuse of the OR array', 'fuses of the OR array'],
  'output-enable': ['fuse of an output-enable term', 'fuses of output-enable terms'],
  reset: ['fuse of a reset term', 'fuses of reset terms'],
  preset: ['fuse of a preset term', 'fuses of preset terms'],
  clock: ['fuse of a clock term', 'fuses of clock terms'],
  polarity: ['polarity fuse', 'polarity fuses'],
  configuration: ['configuration fuse', 'configuration fuses'],
  'term-disable': ['term-disable fuse', 'term-disable fuses'],
  signature: ['signature fuse', 'signature fuses'],
  'power-down': ['power-down fuse', 'power-down fuses'],
  reserved: ['reserved fuse', 'reserved fuses'],
}

/** How many fuses differ, by role. */
export function fuseWords({ fuseDifferences: { count, byRole }, devices, relation }: Comparison): string {
  if (relation === 'not-comparable') return 'not compared'
  if (count === null)
    return devices.intended?.part === devices.readback?.part
      ? 'not compared one by one'
      : 'not compared one by one: fuses of different parts have nothing to do with each other'
  if (count === 0) return 'none differs'
  const roles = Object.entries(byRole).map(([role, n]) => `${n} ${ROLE_WORDS[role as Role][n === 1 ? 0 : 1]}`)
  const words = roles.length > 1 ? `${roles.slice(0, -1).join(', ')} and ${roles.at(-1)}` : roles[0]
  return `${words ?? `${count} ${count === 1 ? 'fuse' : 'fuses'}`} ${count === 1 ? 'differs' : 'differ'}`
}

/** How many outputs are equal, different, undecided. */
export function logicWords({ outputs }: Comparison): string {
  if (outputs.length === 0) return 'judged for each part that fits'
  const count = (relation: ComparedOutput['relation']): number =>
    outputs.filter((output) => output.relation === relation).length
  const [equal, different, open] = [count('equivalent'), count('different'), count('undecided')]
  return [
    `${equal} of ${outputs.length} ${outputs.length === 1 ? 'output' : 'outputs'} proved equal`,
    ...(different ? [`${different} ${different === 1 ? 'differs' : 'differ'}`] : []),
    ...(open ? [`${open} undecided`] : []),
  ].join(', ')
}

function outputRows({ outputs }: Comparison, look: Look): string[] {
  const shown = outputs.filter(({ relation }) => relation !== 'equivalent')
  const most = look.all ? Infinity : MOST_SHOWN.outputs
  return bounded(
    shown.map((output) => outputLines(output, look).join('\n')),
    most,
    ['output', 'outputs'],
    look,
  )
}

function machineRows({ machines }: Comparison, look: Look): string[] {
  if (!machines?.sequence) return []
  const { sequence, pin, intended, readback } = machines
  const steps = `${sequence.length} ${sequence.length === 1 ? 'step shows' : 'steps show'}`
  const levels = `${levelOf(intended!)} against ${levelOf(readback!)}`
  const path = sequence.map(levelWords).join(' → ')
  return [row('sequence', `from the start, ${steps} it at pin ${pin} (${levels}): ${shortened(path, look)}`, look)]
}

function groupRows({ fuseDifferences: { groups, fuses } }: Comparison, look: Look): string[] {
  if (groups.length === 0) return []
  const rows = groups.map((group) => row(placeWords(group), groupWords(group, fuses, look), look))
  return [
    '',
    ...bounded(rows, look.all ? MOST_GROUPS : MOST_SHOWN.groups, ['group of fuses', 'groups of fuses'], look),
  ]
}

function besideRows({ fileDifferences, fuseDifferences: { count }, relation }: Comparison, look: Look): string[] {
  // Other fuses have other sums.
  const shown = fileDifferences.filter(({ what }) => look.all || !(count && / checksum$/.test(what)))
  if (shown.length === 0 || (relation === 'not-comparable' && !look.all)) return []
  const words = shown.map(({ what, intended: a, readback: b }) =>
    what === 'notes' || what === 'design specification' || a === b
      ? what
      : `${what} ${a ?? 'none'} against ${b ?? 'none'}`,
  )
  return [row('besides', shortened(words.join('; '), look), look)]
}

function remarks(comparison: Comparison, lead: Finding | null, look: Look): string[] {
  const { findings } = comparison
  if (look.all) return remarkRows(findings, { said: [], most: MOST_SHOWN }, look)
  const shown = findings.filter(({ side, severity }) => side === undefined || severity !== 'note')
  const behind = behindOf(comparison, lead)
  const said = shown.filter((each) => each === lead || behind.includes(each) || (lead && SAID.includes(each.code)))
  return remarkRows(shown, { said, most: MOST_SHOWN }, look)
}

function scopeRows({ security, scope, outputs, basis, relation }: Comparison, look: Look): string[] {
  if (look.all) {
    const chip = security.chip === 'blank-or-protected' ? ['the chip reads as blank or protected.'] : []
    return [
      row('protection', [...chip, ...security.advice].join(' '), look),
      row('compared', scope.compared.join('; ') || 'nothing', look),
      row('not looked at', scope.notExamined.join('; '), look),
    ]
  }
  const logic = basis === 'logic'
  const seen = [
    ...(relation === 'not-comparable' ? [] : ['fuses']),
    ...(logic
      ? [outputs.length ? `logic of ${outputs.length} ${outputs.length === 1 ? 'output' : 'outputs'}` : 'logic']
      : []),
  ]
  const unseen = [...(logic ? [] : ['the logic']), 'timing', 'drive', 'the board']
  return [row('looked at', `${seen.join(', ') || 'nothing'}; not: ${unseen.join(', ')}`, look)]
}

/** A level of an output in the alphabet of the inputs that it stands beside. */
export function levelOf(level: string): string {
  return level === 'H' ? '1' : level === 'L' ? '0' : level
}

/** Levels of pins and states, as they are applied. */
export function levelWords(levels: Readonly<Record<string, 0 | 1>>): string {
  return (
    Object.entries(levels)
      .map(([pin, level]) => `${/^\d/.test(pin) ? 'p' : ''}${pin}=${level}`)
      .join(' ') || 'any inputs'
  )
}

function outputLines(output: ComparedOutput, look: Look): string[] {
  const { pin, cell, relation, differsIn, differingInputs, ofInputs, counterexample, differsWhere } = output
  const label = cell ?? `pin ${pin}`
  if (relation === 'undecided') return [row(label, 'undecided', look)]
  const always = differingInputs === ofInputs
  const some = always ? ', always' : `, for ${differingInputs} of ${ofInputs} combinations`
  const counted = ofInputs === null || differingInputs === '0' ? '' : some
  const where =
    differsWhere && counted && !always ? [row('', `where ${shortened(differsWhere.text, look)}`, look)] : []
  const aspects = differsIn.join(', ').replaceAll('-', ' ')
  const how = output.opposite ? 'always shows the opposite level' : `differs in ${aspects}${counted}`
  const lines = [row(label, how, look), ...where]
  if (!counterexample) return lines
  const { inputs, state, intended, readback, rows, sequence } = counterexample
  const levels = `intended ${levelOf(intended)}, read-back ${levelOf(readback)}`
  if (sequence)
    return [...lines, row('', `${shortened(sequence.map(levelWords).join(' → '), look)}: ${levels}`, look)]
  const states = Object.entries(state).map(([at, level]) => `q${at}=${level}`)
  const at = [levelWords(inputs), ...states].join(' ')
  return [...lines, row('', `for example ${at}: ${levels}${look.all ? rowWords(rows) : ''}`, look)]
}

function rowWords({ intended, readback }: NonNullable<ComparedOutput['counterexample']>['rows']): string {
  if (intended.length + readback.length === 0) return ''
  return `; array rows that are 1 then: ${intended.join(', ') || 'none'} against ${readback.join(', ') || 'none'}`
}

export function placeWords({ pin }: DifferenceGroup): string {
  return pin === null ? 'whole part' : `pin ${pin}`
}

/** Differing fuses that belong together, the first of them one by one. */
export function groupWords(
  { role, block, row, count, pin, fuse }: DifferenceGroup,
  fuses: readonly LocatedDifference[],
  look: Look,
): string {
  const own = fuses.filter(
    (each) => each.role === role && each.block === block && each.pin === pin && (row === null || each.row === row),
  )
  const signs = own
    .slice(0, look.all ? MOST_FUSES : MOST_FUSES >> 1)
    .map(
      (each) =>
        `${each.fuse}${each.input ? ` (${each.input.complement ? '¬' : ''}${'pin' in each.input ? `p${each.input.pin}` : `q${each.input.cell}`})` : ''} ${each.intended}→${each.readback}`,
    )
  const listed = signs.length ? signs.join(', ') + (count > signs.length ? ', …' : '') : `from ${fuse}`
  const array = role === 'and' ? 'AND array' : role === 'or' ? 'OR array' : role
  const where = row === null ? `${array} (${block})` : `${array}, row ${row}`
  return `${where}: ${count === 1 ? '1 fuse' : `${count} fuses`}, ${listed}${lineWords(own[0]?.positions)}`
}

/** Lines of both files in which the first of the fuses is written; none where it is left to the default. */
function lineWords(place: LocatedDifference['positions'] | undefined): string {
  const [a, b] = [place?.intended?.line, place?.readback?.line]
  if (a !== undefined && b !== undefined) return a === b ? `; line ${a} of both files` : `; lines ${a} and ${b}`
  if (a !== undefined) return `; line ${a} of the intended file`
  return b === undefined ? '' : `; line ${b} of the read-back`
}
