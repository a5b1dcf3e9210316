/** Whether a chip is what was meant: two fuse files compared by fuses, and proved equal or different by logic. */
import { SCHEMA } from '../../findings/schema'
import { oneOf, optionsOf, stringOf, type OptionNames, wholeNumber } from '../../arguments/arguments'
import { runPieces, runWithPauses, type PauseOptions, type Pieces } from '../../arguments/pieces'
import { checkWatch, watchOf, type WatchOptions } from '../../arguments/watch'
import { COMPARE_FINDINGS } from '../../findings/compare-findings'
import { collectFindings, mergeFindings, verdictOf, type FindingList } from '../../findings/finding'
import type { ReadOptions } from '../../jesd3/fuse-file'
import type { Device } from '../../devices/device'
import { chosenDevice } from '../../inspect/chosen-device'
import { INSPECT_OPTIONS, type InspectInput } from '../../inspect/inspect'
import type { Checked } from '../check/verify'
import { USUAL } from './compare-maps'
import { compareFileContents } from './compare-files'
import { locate, scopeOf, securitySection } from './comparison-parts'
import { checkedPatterns, checkedPinPairs, type PinPairs } from './pin-pairs'
import type { RowPattern } from './dont-care'
import type { PowerUp } from './logic-sides'
import type { Comparison } from './comparison'
import { relate, type Relating } from './relate'
import { sidesOf, type Sides } from './sides'

/** What to compare as, and the limits. */
export interface CompareOptions extends ReadOptions, WatchOptions {
  /** Part of the intended file, and of the read-back where `otherDevice` is left out and the size fits. */
  readonly device?: string | Device
  /** Part of the read-back. */
  readonly otherDevice?: string | Device
  /** Name of an order of `fuseOrders`, for parts of which none is established. */
  readonly fuseOrder?: string
  /** Level that enabled registered pins show after power-up; published data count where left out. */
  readonly powerUp?: 'high' | 'low' | 'unknown'
  /** The same level for the read-back's part. */
  readonly otherPowerUp?: 'high' | 'low' | 'unknown'
  /** Pin of the read-back's part for each pin of the intended one, where numbers do not say it. */
  readonly pins?: PinPairs
  /** Input patterns that do not matter, by pins of the intended part. */
  readonly dontCare?: readonly RowPattern[]
  /** Most nodes of a set of decision diagrams (default 1,000,000); past it the answer is `undecided`. */
  readonly maxNodes?: number
  /** Most pairs of states to visit when two state machines are followed from their start (default 20,000). */
  readonly maxStates?: number
  /** Most differing fuses to list one by one (default 1,000). */
  readonly maxDifferences?: number
  /** Names of the files, for the comparison. */
  readonly name?: string
  /** Name of the read-back, for the comparison. */
  readonly otherName?: string
}

const COMPARE_OPTIONS: OptionNames<CompareOptions> = {
  ...INSPECT_OPTIONS,
  otherDevice: true,
  powerUp: true,
  otherPowerUp: true,
  pins: true,
  dontCare: true,
  maxNodes: true,
  maxStates: true,
  maxDifferences: true,
  name: true,
  otherName: true,
  onProgress: true,
  signal: true,
}

/**
 * Compares an intended fuse file with a read-back (or with any other file or map).
 *
 * @param intended bytes or text of the file that was meant, a file as read, a fuse map, or what `inspect` gave
 * @param readback the same of what was read back
 * @param options parts, pairs of pins, patterns that do not matter, limits
 * @returns relation, differing fuses by role, every output with proof or counterexample, findings; content never throws
 * @throws TypeError for another kind of input, RangeError for an unknown part or an option out of range
 * @example compare(palBytes, chipBytes, { device: '14L4' }).relation // 'different'
 */
export function compare(intended: CompareInput, readback: CompareInput, options: CompareOptions = {}): Comparison {
  optionsOf(options, COMPARE_OPTIONS)
  return runPieces(compared([intended, readback], options))
}

/**
 * As `compare`, in pieces with a pause after each, so that a page stays alive meanwhile. A piece is one output's proof,
 * or a few states of two machines: milliseconds, for the largest diagrams more.
 *
 * @param intended as for `compare`
 * @param readback as for `compare`
 * @param options those of `compare` and `pause`; an aborted `signal` ends the work after the piece at hand
 * @returns a promise of what `compare` gives
 * @throws nothing at once: what `compare` throws, and the reason of the signal, reject the promise
 * @example compareInPieces(palBytes, chipBytes, { pause: async () => {} }) instanceof Promise // true
 */
export async function compareInPieces(
  intended: CompareInput,
  readback: CompareInput,
  options: CompareOptions & PauseOptions,
): Promise<Comparison> {
  return runWithPauses(options, COMPARE_OPTIONS, (others: CompareOptions) => compared([intended, readback], others))
}

function compared(
  [intended, readback]: readonly [CompareInput, CompareInput],
  options: CompareOptions,
): Pieces<Comparison> {
  const given = checkedOptions(options)
  return compareSides(sidesOf(intended, readback, options), given, options)
}

/** `compare` of two sides that were checked before, for jobs that have them. */
export function compareChecked(sides: Sides, options: CompareOptions = {}): Comparison {
  return runPieces(compareSides(sides, checkedOptions(options), options))
}

function* compareSides(sides: Sides, given: Given, options: CompareOptions): Pieces<Comparison> {
  const findings = collectFindings(COMPARE_FINDINGS, { limit: options.maxFindings ?? 100 })
  const found = yield* relate(sides, { ...given, findings })
  const { intended: a, readback: b } = sides
  const lists = [findings.list(), sideFindings(a, 'intended'), sideFindings(b, 'readback')]
  const merged = mergeFindings(lists, options.maxFindings ?? 100)
  const files = { intended: a.inspection.file, readback: b.inspection.file }
  return {
    schema: SCHEMA,
    intended: options.name ?? null,
    readback: options.otherName ?? null,
    relation: found.relation,
    verdict: verdictOf(merged.counts),
    basis: found.basis,
    devices: { intended: a.report.device, readback: b.report.device },
    fuseDifferences: locate(found.differences, files, options.maxDifferences ?? 1000),
    pattern: found.pair?.pattern ?? null,
    outputs: found.outputs,
    machines: found.pair?.machines ?? null,
    fileDifferences: compareFileContents(files.intended, files.readback),
    security: securitySection(files, found.blank),
    findings: merged.findings,
    scope: scopeOf(found),
  }
}

/** What one file has to say by itself. */
function sideFindings({ report, counts }: Checked, side: keyof Sides): FindingList {
  return { findings: report.findings.map((finding) => ({ ...finding, side })), counts }
}

/** What can be compared. */
export type CompareInput = InspectInput

type Given = Omit<Relating, 'findings'>

function checkedOptions(options: CompareOptions): Given {
  for (const name of ['maxNodes', 'maxStates', 'maxDifferences'] as const) {
    if (options[name] !== undefined) wholeNumber(options[name], `options.${name}`, [2])
  }
  for (const name of ['powerUp', 'otherPowerUp'] as const)
    if (options[name] !== undefined) oneOf(options[name], `options.${name}`, ['high', 'low', 'unknown'])
  for (const name of ['name', 'otherName'] as const)
    if (options[name] !== undefined) stringOf(options[name], `options.${name}`)
  chosenDevice(options.otherDevice, 'options.otherDevice')
  checkWatch(options, 'options')
  const powerUp = (level: CompareOptions['powerUp']): PowerUp => level ?? 'published'
  return {
    pins: options.pins === undefined ? null : checkedPinPairs(options.pins, 'options.pins'),
    part: {
      powerUp: powerUp(options.powerUp),
      otherPowerUp: powerUp(options.otherPowerUp),
      dontCare: options.dontCare === undefined ? [] : checkedPatterns(options.dontCare, 'options.dontCare'),
      maxNodes: options.maxNodes ?? USUAL.maxNodes,
      maxStates: options.maxStates ?? USUAL.maxStates,
      watch: watchOf(options),
    },
  }
}
