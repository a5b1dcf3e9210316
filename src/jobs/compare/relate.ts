/** The relation of two sides, in the order of precedence: unreadable, blank, identical, by logic, by fuses. */
import type { Pieces } from '../../arguments/pieces'
import { addedHazards } from '../../analyses/hazards'
import { expressionsOf, isContradiction, type Cube, type Logic } from '../../logic/logic'
import type { COMPARE_FINDINGS, TakenAs } from '../../findings/compare-findings'
import type { DataOfEach, FindingCollector } from '../../findings/finding'
import type { FuseMap } from '../../fuses/fuse-map'
import type { Checked } from '../check/verify'
import { comparePair } from './compare-maps'
import { isSamePart, type PairResult, type PartOptions, type Remark } from './compare-parts'
import type { ComparedOutput } from './compare-logic'
import type { Comparison, Relation } from './comparison'
import { commonDifferences, type FuseDifferences } from './fuse-differences'
import { outputsOfOne } from './identical'
import type { PinPairs } from './pin-pairs'
import { decodedPairs, mayBeSamePart, partInWords, type DecodedPair, type Sides } from './sides'

/** What was found between two sides. */
export interface Found {
  readonly relation: Relation
  readonly basis: Comparison['basis']
  readonly differences: FuseDifferences | null
  /** The one pair of parts that was compared; null where none was, or several. */
  readonly pair: PairResult | null
  readonly outputs: readonly ComparedOutput[]
  /** True where the read-back is that of a blank, protected or unread chip. */
  readonly blank: boolean
}

const NOTHING: Found = {
  relation: 'not-comparable',
  basis: null,
  differences: null,
  pair: null,
  outputs: [],
  blank: false,
}

const NO_DIFFERENCES: FuseDifferences = { count: 0, byRole: {}, groups: [], fuses: [] }

/** How to relate, checked, and where to say what was found. */
export interface Relating {
  readonly part: PartOptions
  readonly pins: PinPairs | null
  readonly findings: FindingCollector<typeof COMPARE_FINDINGS>
}

interface Maps {
  readonly intended: FuseMap
  readonly readback: FuseMap
}

const SIDES = ['intended', 'readback'] as const

/** Relates two sides. */
export function* relate(sides: Sides, relating: Relating): Pieces<Found> {
  const { intended: a, readback: b } = sides
  const { findings } = relating
  for (const side of SIDES)
    if (!isWhole(sides[side])) findings.add('compare/no-fuses', {}, { side })
  if (!isWhole(a) || !isWhole(b)) return NOTHING
  if (remarkBlank(b, 'readback', findings)) return { ...NOTHING, blank: true }
  const maps: Maps = { intended: a.inspection.file.fuses!, readback: b.inspection.file.fuses! }
  const sameSize = maps.intended.length === maps.readback.length
  const fuses = commonDifferences(maps.intended, maps.readback)
  if (sameSize && fuses.length === 0 && mayBeSamePart(sides)) return identical(sides, findings)
  const sum = a.inspection.file.checksums.fuse.computed
  if (sameSize && fuses.length > 0 && sum === b.inspection.file.checksums.fuse.computed)
    findings.add('compare/equal-sums', {}, { sum: sum! })
  if (!sameSize && fuses.length === 0)
    findings.add('compare/same-array', {}, { count: Math.min(maps.intended.length, maps.readback.length) })
  const pairs = decodedPairs(sides)
  const found = pairs.every((pair) => [pair.a, pair.b].some(({ device }) => device.modes.length === 0))
    ? byFuses(sides, sameSize ? fuses : null, findings)
    : yield* byLogic(pairs, maps, relating)
  // A blank map does nothing on purpose: that a chip does the same says nothing, that it does something else does.
  if (found.relation === 'equivalent' && remarkBlank(a, 'intended', findings)) return NOTHING
  return found
}

function isWhole({ inspection: { complete } }: Checked): boolean {
  return complete
}

/** Says that a side is that of a blank, protected or unread chip; false where it is not. */
function remarkBlank(
  { inspection: { blank }, report }: Checked,
  side: (typeof SIDES)[number],
  findings: Relating['findings'],
): boolean {
  if (blank.map !== null)
    findings.add('readback/all-alike', {}, { side, state: blank.map })
  else if (blank.array !== null) {
    const text = report.signature?.text
    findings.add(
      'readback/array-alike',
      {},
      {
        side,
        state: blank.array,
        ...(text ? { signature: 'read', text } : { signature: 'none' }),
      },
    )
  }
  return blank.map !== null || blank.array !== null
}

/** The same fuses of what may be the same part: nothing is left to prove. */
function identical(sides: Sides, findings: Relating['findings']): Found {
  const decoded = sides.intended.decoded ?? sides.readback.decoded
  if (!decoded?.logic && (decoded || sides.intended.inspection.candidates.length === 0))
    remarkUnexamined(sides, findings)
  return {
    ...NOTHING,
    relation: 'identical',
    basis: 'fuses',
    differences: NO_DIFFERENCES,
    outputs: outputsOfOne(decoded),
  }
}

function remarkUnexamined(sides: Sides, findings: Relating['findings']): void {
  const both = [sides.intended, sides.readback]
  const part = both
    .filter(({ decoded }) => !decoded || decoded.device.modes.length === 0)
    .map((side) => partInWords(side)?.part)
    .find((name) => name !== undefined)
  const noMode = both.some(({ decoded }) => decoded && decoded.device.modes.length > 0)
  findings.add(
    'compare/logic-not-examined',
    {},
    part === undefined ? { reason: noMode ? 'no-mode' : 'unknown-part' } : { reason: 'undecoded', part },
  )
}

function byFuses(sides: Sides, fuses: readonly number[] | null, findings: Relating['findings']): Found {
  if (fuses === null) {
    const count = ({ inspection }: Checked): number => inspection.file.fuseCount!
    findings.add(
      'compare/sizes-differ',
      {},
      {
        intended: count(sides.intended),
        readback: count(sides.readback),
      },
    )
    return NOTHING
  }
  remarkUnexamined(sides, findings)
  const [fuse] = fuses
  // The same fuses of what may be two parts do not have to do the same.
  if (fuse === undefined) return { ...NOTHING, relation: 'undecided', basis: 'fuses' }
  findings.add('compare/fuses-differ', { fuse }, { count: fuses.length })
  return {
    ...NOTHING,
    relation: 'different',
    basis: 'fuses',
    differences: { ...NO_DIFFERENCES, count: fuses.length },
  }
}

/** Each pair of parts compared; one relation where all agree. */
function* byLogic(pairs: readonly DecodedPair[], maps: Maps, relating: Relating): Pieces<Found> {
  const { pins, part, findings } = relating
  const results: PairResult[] = []
  for (const pair of pairs) {
    results.push(yield* comparePair(pair, { maps, pins, options: part }))
  }
  const [first] = results as [PairResult, ...PairResult[]]
  const agreed = results.every(({ relation }) => relation === first.relation)
  if (pairs.length === 1 || (agreed && first.relation === 'not-comparable'))
    for (const each of first.remarks) addRemark(findings, each)
  if (pairs.length === 1 && pins === null && first.relation === 'equivalent') remarkHazards(pairs[0]!, findings)
  if (agreed && first.relation === 'not-comparable')
    return pairs.length === 1 ? { ...NOTHING, differences: first.differences, pair: first } : NOTHING
  if (pairs.length === 1)
    return {
      ...NOTHING,
      relation: first.relation,
      basis: 'logic',
      differences: first.differences,
      pair: first,
      outputs: first.logic?.outputs ?? [],
    }
  remarkCandidates(pairs, results, { agreed, findings })
  const samePart = pairs.every(({ a, b }) => isSamePart(a, b))
  return {
    ...NOTHING,
    relation: agreed ? first.relation : 'undecided',
    basis: 'logic',
    differences: samePart && first.differences ? { ...NO_DIFFERENCES, count: first.differences.count } : null,
  }
}

/** Equal maps may differ on the way from one level to another: a term that looks surplus may cover a change. */
function remarkHazards({ a, b }: DecodedPair, findings: Relating['findings']): void {
  if (!a.logic || !b.logic || a.logic.pinCount !== b.logic.pinCount || sameTerms(a.logic, b.logic)) return
  const added = addedHazards(a.logic, b.logic)
  if ('refused' in added) return
  const [first] = added
  if (!first) return
  const signals = new Set(added.map(({ pin, cell, part }) => `${pin} ${cell ?? ''} ${part}`))
  const { pin, input } = first
  findings.add(
    'compare/added-hazards',
    { pin },
    {
      count: signals.size,
      pin,
      ...(/^\d/.test(input) ? { input: 'pin', inputPin: Number(input) } : { input: 'register', register: input }),
    },
  )
}

/** True where every cell has the same terms, in whatever order: then their hazards are the same too. */
function sameTerms(a: Logic, b: Logic): boolean {
  const termsOf = (logic: Logic): string =>
    JSON.stringify(
      logic.cells.map((cell) =>
        expressionsOf(cell).map(({ sums, inverted }) => [
          inverted,
          sums.map((sum) => sum.filter((cube) => !isContradiction(cube)).map(wordsOf).sort()),
        ]),
      ),
    )
  const wordsOf = ({ literals }: Cube): string => [...literals].sort((one, other) => one - other).join(' ')
  return termsOf(a) === termsOf(b)
}

function addRemark<K extends Remark['code']>(findings: Relating['findings'], { code, place, data }: Remark<K>): void {
  findings.add(code, place, data as DataOfEach<typeof COMPARE_FINDINGS, K>)
}

function takenAs({ a, b }: DecodedPair): TakenAs {
  const { part } = a.device
  return isSamePart(a, b) ? { taken: 'part', part } : { taken: 'parts', part, otherPart: b.device.part }
}

function remarkCandidates(
  pairs: readonly DecodedPair[],
  results: readonly PairResult[],
  { agreed, findings }: { readonly agreed: boolean; readonly findings: Relating['findings'] },
): void {
  const candidates = pairs.map(takenAs)
  if (agreed) findings.add('compare/candidates', {}, { candidates })
  else
    findings.add(
      'compare/candidates-disagree',
      {},
      { results: results.map(({ relation }, i) => ({ ...candidates[i]!, relation })) },
    )
  const [first] = results
  if (!agreed || first!.relation !== 'different') return
  const count = first!.logic!.outputs.filter(({ relation }) => relation === 'different').length
  findings.add('compare/different', {}, { count, outputs: 'of-candidate', ...candidates[0]! })
}
