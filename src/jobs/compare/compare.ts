/** Whether a chip is what was meant: two fuse files compared by fuses, and proved equal or different by logic. */
import { COMPARE_FINDINGS } from '../../findings/compare-findings'
import {
  collectFindings,
  mergeFindings,
  verdictOf,
  type FindingCollector,
  type FindingList,
} from '../../findings/finding'
import type { FuseMap } from '../../fuses/fuse-map'
import { isComplete } from '../../jesd3/complete-map'
import { placesOfFuses } from '../../jesd3/fuse-places'
import { lineIndex } from '../../jesd3/text'
import type { FuseFile, ReadOptions } from '../../jesd3/fuse-file'
import { writeFuseFile } from '../../jesd3/write-fuse-file'
import { findDevice } from '../../devices/catalogue'
import { decode, type Decoded } from '../../devices/decode'
import { takesMap, type Device } from '../../devices/device'
import { fuseOrders } from '../../devices/fuse-orders'
import { compareFileContents } from './compare-files'
import { compareParts, isSamePart, type PairResult, type PartOptions } from './compare-parts'
import { commonDifferences, type FuseDifferences } from './fuse-differences'
import { chosenDevice } from '../../inspect/chosen-device'
import { checkedPatterns, checkedPinPairs, type PinPairs } from './pin-pairs'
import { unreadable, type Unreadable } from './read-back'
import type { ComparedOutput, Pattern, PowerUp } from './compare-logic'
import type { Comparison, LocatedDifference, Relation, SecuritySection } from './comparison'
import { inspect, type Inspection } from '../check/verify'

/** What to compare as, and the limits. */
export interface CompareOptions extends ReadOptions {
  /** Part of the intended file, and of the read-back where `otherDevice` is left out and the size fits. */
  readonly device?: string | Device
  readonly otherDevice?: string | Device
  /** Name of an order of `fuseOrders`, for parts of which none is established. */
  readonly fuseOrder?: string
  /** Level that enabled registered pins show after power-up; published data count where left out. */
  readonly powerUp?: 'high' | 'low' | 'unknown'
  readonly otherPowerUp?: 'high' | 'low' | 'unknown'
  /** Pin of the read-back's part for each pin of the intended one, where numbers do not say it. */
  readonly pins?: PinPairs
  /** Input patterns that do not matter, by pins of the intended part. */
  readonly dontCare?: readonly Pattern[]
  /** Most nodes of a set of decision diagrams (default 1,000,000); past it the answer is `undecided`. */
  readonly maxNodes?: number
  /** Most pairs of states to visit when two state machines are followed from their start (default 20,000). */
  readonly maxStates?: number
  /** Most differing fuses to list one by one (default 1,000). */
  readonly maxDifferences?: number
  /** Names of the files, for the comparison. */
  readonly name?: string
  readonly otherName?: string
}

/**
 * Compares an intended fuse file with a read-back (or with any other file or map).
 *
 * @param intended bytes or text of a file, a file as read, or a fuse map
 * @param readback the same
 * @returns relation, differing fuses by role, every output with proof or counterexample, findings; content never throws
 * @throws TypeError for another kind of input, RangeError for an unknown part or an option out of range
 * @example compare(bytes, chipBytes, { device: '16V8' }).relation // 'identical', 'equivalent', 'different', …
 */
export function compare(intended: CompareInput, readback: CompareInput, options: CompareOptions = {}): Comparison {
  if (typeof options !== 'object' || options === null || Array.isArray(options))
    throw new TypeError('options must be an object')
  const given = checkedOptions(options)
  const a = inspectSide(intended, 'intended', { options, device: options.device, name: options.name })
  const b = inspectSide(readback, 'readback', {
    options,
    device: options.otherDevice ?? fallbackDevice(options, readback),
    name: options.otherName,
  })
  const findings = collectFindings(COMPARE_FINDINGS, { limit: options.maxFindings ?? 100 })
  const found = relate(a, b, { given, findings })
  const lists: FindingList[] = [findings.list(), sideFindings(a, 'intended'), sideFindings(b, 'readback')]
  const merged = mergeFindings(lists, options.maxFindings ?? 100)
  return {
    intended: options.name ?? null,
    readback: options.otherName ?? null,
    relation: found.relation,
    verdict: verdictOf(merged.counts),
    basis: found.basis,
    devices: { intended: a.report.device, readback: b.report.device },
    fuseDifferences: locate(found.differences, { a: a.file, b: b.file, limit: options.maxDifferences ?? 1000 }),
    pattern: found.pair?.pattern ?? null,
    outputs: found.pair?.logic?.outputs ?? [],
    machines: found.pair?.machines ?? null,
    fileDifferences: compareFileContents(a.file, b.file),
    security: securitySection(a.file, b.file, found.blank),
    findings: merged.findings,
    scope: scopeOf(found),
  }
}

/** What one file has to say by itself. */
function sideFindings({ report, counts }: Side, side: 'intended' | 'readback'): FindingList {
  return { findings: report.findings.map((finding) => ({ ...finding, side })), counts }
}

/** What can be compared. */
export type CompareInput = Uint8Array | string | FuseFile | FuseMap

interface Given {
  readonly part: PartOptions
  readonly pins: PinPairs | null
}

function checkedOptions(options: CompareOptions): Given {
  for (const name of ['maxNodes', 'maxStates', 'maxDifferences'] as const) {
    const value = options[name]
    if (value !== undefined && !(Number.isSafeInteger(value) && value >= 2))
      throw new RangeError(`options.${name} must be a whole number from 2`)
  }
  for (const name of ['powerUp', 'otherPowerUp'] as const)
    if (options[name] !== undefined && !['high', 'low', 'unknown'].includes(options[name]))
      throw new RangeError(`options.${name} must be "high", "low" or "unknown"`)
  chosenDevice(options.otherDevice, 'options.otherDevice')
  const powerUp = (level: CompareOptions['powerUp']): PowerUp => level ?? 'published'
  return {
    pins: options.pins === undefined ? null : checkedPinPairs(options.pins, 'options.pins'),
    part: {
      powerUp: powerUp(options.powerUp),
      otherPowerUp: powerUp(options.otherPowerUp),
      dontCare: options.dontCare === undefined ? [] : checkedPatterns(options.dontCare, 'options.dontCare'),
      maxNodes: options.maxNodes ?? 1_000_000,
      maxStates: options.maxStates ?? 20_000,
    },
  }
}

/** A part named for the intended file counts for the read-back too, where its size fits. */
function fallbackDevice(options: CompareOptions, readback: CompareInput): string | Device | undefined {
  const { device, fuseOrder } = options
  const chosen = chosenDevice(device, 'options.device', fuseOrder)
  if (!chosen) return undefined
  const { fuses } = inspectSide(readback, 'readback', { options, device, name: undefined }).file
  return fuses && takesMap(chosen, fuses.length) ? device : undefined
}

type Side = Inspection

function inspectSide(
  input: CompareInput,
  name: string,
  given: {
    readonly options: CompareOptions
    readonly device: string | Device | undefined
    readonly name: string | undefined
  },
): Side {
  const { maxFuses, maxVectors, maxFindings } = given.options
  // An order that is stated for the other side says nothing about a part of which the order is established.
  const own =
    name === 'readback' && given.options.otherDevice !== undefined
      ? chosenDevice(given.options.otherDevice, 'options.otherDevice')
      : undefined
  const fuseOrder = own && fuseOrders(own.part).length === 0 ? undefined : given.options.fuseOrder
  return inspect(bytesOf(input, name), {
    ...(maxFuses === undefined ? {} : { maxFuses }),
    ...(maxVectors === undefined ? {} : { maxVectors }),
    ...(maxFindings === undefined ? {} : { maxFindings }),
    ...(fuseOrder === undefined ? {} : { fuseOrder }),
    ...(given.device === undefined ? {} : { device: given.device }),
    ...(given.name === undefined ? {} : { name: given.name }),
  })
}

function bytesOf(input: CompareInput, name: string): Uint8Array | string {
  if (typeof input === 'string' || input instanceof Uint8Array) return input
  if (typeof input === 'object' && input !== null && 'bytes' in input && input.bytes instanceof Uint8Array)
    return writeFuseFile(input)
  if (typeof input === 'object' && input !== null && 'bits' in input && input.bits instanceof Uint8Array)
    return writeFuseFile({ fuses: input })
  throw new TypeError(`${name} must be a fuse file (bytes, text, or as read) or a fuse map`)
}

interface Found {
  readonly relation: Relation
  readonly basis: Comparison['basis']
  readonly differences: FuseDifferences | null
  readonly pair: PairResult | null
  readonly blank: Unreadable | null
}

const NOTHING: Found = { relation: 'not-comparable', basis: null, differences: null, pair: null, blank: null }

interface Relating {
  readonly given: Given
  readonly findings: FindingCollector<keyof typeof COMPARE_FINDINGS>
}

/** The relation of two sides, in the order of precedence: unreadable, blank, identical, by logic, by fuses. */
function relate(a: Side, b: Side, { given, findings }: Relating): Found {
  for (const [{ file }, words] of [
    [a, 'intended file'],
    [b, 'read-back'],
  ] as const)
    if (!isComplete(file)) findings.add('compare/no-fuses', {}, { side: words })
  if (!isComplete(a.file) || !isComplete(b.file)) return NOTHING
  const maps = { intended: a.file.fuses!, readback: b.file.fuses! }
  const deviceOf = (side: Side): Device | null => side.decoded?.device ?? candidateDevice(side)
  const blank = unreadable({ device: deviceOf(b), map: maps.readback }, { device: deviceOf(a), map: maps.intended })
  if (blank) {
    reportBlank(blank, b, findings)
    return { ...NOTHING, blank }
  }
  const fuses = maps.intended.length === maps.readback.length ? commonDifferences(maps.intended, maps.readback) : null
  const samePart = a.decoded && b.decoded ? isSamePart(a.decoded, b.decoded) : a.decoded === b.decoded
  if (fuses?.length === 0 && samePart && !a.decoded?.logic && (a.decoded || a.report.candidates.length === 0))
    remarkUnexamined(a, b, findings)
  if (fuses?.length === 0 && samePart)
    return {
      ...NOTHING,
      relation: 'identical',
      basis: 'fuses',
      differences: { count: 0, byRole: {}, groups: [], fuses: [] },
      pair: a.decoded?.logic ? samePair(a.decoded, b.decoded!, { maps, given }) : null,
    }
  if (fuses !== null && fuses.length > 0 && a.file.checksums.fuse.computed === b.file.checksums.fuse.computed)
    findings.add('compare/equal-sums', {}, { sum: a.file.checksums.fuse.computed! })
  if (fuses === null && commonDifferences(maps.intended, maps.readback).length === 0)
    findings.add('compare/same-array', {}, { count: Math.min(maps.intended.length, maps.readback.length) })
  const pairs = decodedPairs(a, b)
  if (pairs.every((pair) => [pair.a, pair.b].some(({ device }) => device.modes.length === 0)))
    return byFuses(a, b, { fuses, findings })
  return byLogic(pairs, { maps, given, findings })
}

/** The outputs of one map on both sides: nothing has to be proved where the fuses are the same. */
function samePair(
  a: Decoded,
  b: Decoded,
  {
    maps,
    given,
  }: Omit<Relating, 'findings'> & { readonly maps: { readonly intended: FuseMap; readonly readback: FuseMap } },
): PairResult {
  const pair = compareParts(
    { intended: a, readback: b },
    { maps, pins: null, options: { ...given.part, dontCare: [] } },
  )
  const outputs = pair.logic!.outputs.map((output): ComparedOutput => ({
    ...output,
    relation: 'equivalent',
    differsIn: [],
    counterexample: null,
    reason: null,
  }))
  return { ...pair, machines: null, logic: { ...pair.logic!, outputs } }
}

/** Where a side's part is not certain, any of its candidates tells what belongs to the array. */
function candidateDevice({ report, file }: Side): Device | null {
  const [part] = report.candidates
  const device = part === undefined ? null : findDevice(part)
  return device && file.fuses && takesMap(device, file.fuses.length) ? device : null
}

function reportBlank({ what, state }: Unreadable, { report }: Side, findings: Relating['findings']): void {
  const words = state ? 'open (1)' : 'connected (0)'
  if (what === 'map') findings.add('readback/all-alike', {}, { side: 'read-back', state: words })
  else
    findings.add(
      'readback/array-alike',
      {},
      {
        state: words,
        signature: report.signature?.text ? `, while its signature reads “${report.signature.text}”` : '',
      },
    )
}

interface DecodedPair {
  readonly a: Decoded
  readonly b: Decoded
}

/** Both sides as each part that they can be; where both are open in the same way, as the same part. */
function decodedPairs(a: Side, b: Side): DecodedPair[] {
  const options = ({ decoded, report, file }: Side): Decoded[] =>
    decoded
      ? [decoded]
      : report.findings.some(({ code }) => code === 'device/size-mismatch')
        ? []
        : report.candidates.map((part) => decode(findDevice(part)!, file.fuses!))
  const [first, second] = [options(a), options(b)]
  const together =
    first.length > 1 && first.length === second.length && first.every((each, i) => isSamePart(each, second[i]!))
  return together
    ? first.map((each, i) => ({ a: each, b: second[i]! }))
    : first.flatMap((each) => second.map((other) => ({ a: each, b: other })))
}

function remarkUnexamined(a: Side, b: Side, findings: Relating['findings']): void {
  const undecoded = [a, b].flatMap(({ decoded, report }) =>
    decoded ? (decoded.device.modes.length === 0 ? [decoded.device.part] : []) : report.candidates,
  )
  const noMode = a.decoded !== null && a.decoded.device.modes.length > 0
  findings.add(
    'compare/logic-not-examined',
    {},
    {
      reason:
        undecoded.length > 0
          ? `what the fuses of a ${undecoded[0]!} mean is not known here`
          : noMode
            ? 'the configuration fuses name no mode'
            : 'no part fits',
    },
  )
}

function byFuses(
  a: Side,
  b: Side,
  { fuses, findings }: { readonly fuses: readonly number[] | null; readonly findings: Relating['findings'] },
): Found {
  if (fuses === null) {
    findings.add(
      'compare/sizes-differ',
      {},
      { intended: a.file.fuseCount!, readback: b.file.fuseCount!, reason: 'what their fuses mean is not known' },
    )
    return NOTHING
  }
  remarkUnexamined(a, b, findings)
  if (fuses.length > 0) findings.add('compare/fuses-differ', { fuse: fuses[0]! }, { count: fuses.length })
  return {
    ...NOTHING,
    relation: fuses.length === 0 ? 'identical' : 'different',
    basis: 'fuses',
    differences: { count: fuses.length, byRole: {}, groups: [], fuses: [] },
  }
}

/** Each pair of parts compared; one relation where all agree. */
function byLogic(
  pairs: readonly DecodedPair[],
  { maps, given, findings }: Relating & { readonly maps: { readonly intended: FuseMap; readonly readback: FuseMap } },
): Found {
  const results = pairs.map((pair) =>
    compareParts({ intended: pair.a, readback: pair.b }, { maps, pins: given.pins, options: given.part }),
  )
  const [first] = results as [PairResult, ...PairResult[]]
  const differences = first.differences
  if (pairs.length === 1) {
    for (const { code, place, parameters } of first.remarks) findings.add(code, place, parameters)
    return {
      ...NOTHING,
      relation: first.relation,
      basis: first.relation === 'not-comparable' ? null : 'logic',
      differences,
      pair: first,
    }
  }
  const names = pairs.map(({ a, b }) => (isSamePart(a, b) ? a.device.part : `${a.device.part} and ${b.device.part}`))
  const agreed = results.every(({ relation }) => relation === first.relation)
  if (agreed && first.relation === 'not-comparable') {
    for (const { code, place, parameters } of first.remarks) findings.add(code, place, parameters)
    return NOTHING
  }
  if (agreed) findings.add('compare/candidates', {}, { candidates: names.join(', ') })
  else
    findings.add(
      'compare/candidates-disagree',
      {},
      { results: results.map(({ relation }, i) => `as ${names[i]!} ${relation}`).join('; ') },
    )
  if (agreed && first.relation === 'different')
    findings.add(
      'compare/different',
      {},
      {
        count: first.logic!.outputs.filter(({ relation }) => relation === 'different').length,
        pins: `as ${names[0]!}`,
      },
    )
  return {
    ...NOTHING,
    relation: agreed ? first.relation : 'undecided',
    basis: 'logic',
    differences:
      pairs.every(({ a, b }) => isSamePart(a, b)) && differences
        ? { ...differences, byRole: {}, groups: [], fuses: [] }
        : null,
    pair: null,
  }
}

/** Differences with their places in both files. */
function locate(
  differences: FuseDifferences | null,
  { a, b, limit }: { readonly a: FuseFile; readonly b: FuseFile; readonly limit: number },
): Comparison['fuseDifferences'] {
  if (!differences) return { count: null, byRole: {}, groups: [], fuses: [] }
  const listed = differences.fuses.slice(0, limit)
  const numbers = listed.map(({ fuse }) => fuse)
  const positionsIn = (file: FuseFile): LocatedDifference['positions']['intended'][] => {
    const locateOffset = lineIndex(file.bytes)
    return placesOfFuses(file, numbers).map((offset) => (offset === null ? null : locateOffset(offset)))
  }
  const [intended, readback] = listed.length ? [positionsIn(a), positionsIn(b)] : [[], []]
  return {
    ...differences,
    fuses: listed.map((difference, i) => ({
      ...difference,
      positions: { intended: intended[i]!, readback: readback[i]! },
    })),
  }
}

function securitySection(a: FuseFile, b: FuseFile, blank: Unreadable | null): SecuritySection {
  const asked = a.security === 1 || b.security === 1
  return {
    intended: a.security,
    readback: b.security,
    chip: blank ? 'blank-or-protected' : b.fuses ? 'readable' : 'not-known',
    advice: [
      ...(asked ? ['A file asks for protection (G1): after it the fuses cannot be read and compared any more.'] : []),
      ...(blank
        ? [
            'If the chip is protected, it can still be compared by what it does: test vectors, or a table of its outputs.',
          ]
        : []),
      'Trade practice: leave protection off until the machine runs, and protect last, if at all.',
    ],
  }
}

function scopeOf({ relation, basis, pair }: Found): Comparison['scope'] {
  const fuses = relation === 'not-comparable' ? [] : ['the fuses of both maps']
  const logic =
    basis === 'logic'
      ? [
          pair?.logic
            ? `the logic of ${pair.logic.outputs.length} ${pair.logic.outputs.length === 1 ? 'output' : 'outputs'} over all inputs and all states of the registers`
            : 'the logic under every part that fits',
        ]
      : []
  return {
    compared: [...fuses, ...logic],
    notExamined: [
      'timing, glitches and speed grade',
      'drive, pull-ups and supply',
      'the socket and the board',
      ...(basis === 'logic' ? [] : ['the logic']),
    ],
  }
}
