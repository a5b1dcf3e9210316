/** A map moved to another part, with the proof that it does the same. */
import { refusedFor, type Refused } from '../../findings/refused'
import type { SavedBytes } from '../../fuses/saved-bytes'
import { oneOf, optionsOf, stringOf, type OptionNames } from '../../arguments/arguments'
import type { Verdict } from '../../findings/finding'
import type { FuseFile } from '../../jesd3/fuse-file'
import { writeFuseFile } from '../../jesd3/write-fuse-file'
import { fitMap } from '../../devices/fit'
import { misfit, type Misfit } from '../../devices/fit-task'
import type { Device } from '../../devices/device'
import { chosenDevice } from '../../inspect/chosen-device'
import type { InspectInput } from '../../inspect/inspect'
import { compareChecked } from '../compare/compare'
import type { Comparison } from '../compare/comparison'
import { check } from '../check/verify'
import { carrySignature, carryVectors, type CarriedVectors, type NotCarried } from './carried'

/** What to move, and how to prove it. */
export interface RetargetOptions {
  /** Part of the file; may be left out where its size leaves one. */
  readonly device?: string | Device
  /** Part to move to. */
  readonly to: string | Device
  /** Level that registered pins of the source show after power-up. */
  readonly powerUp?: 'high' | 'low' | 'unknown'
  /** Name of the file, for the new one's design specification. */
  readonly name?: string
}

/** A new file with its proof. */
export interface Retargeted {
  /** The new fuse file. */
  readonly bytes: SavedBytes
  /** The part that the map was fitted to. */
  readonly part: string
  /** The mode that the new map sets; null for a part with one. */
  readonly mode: string | null
  /** Old against new. */
  readonly proof: Comparison
  /** What the new file lacks that the old one has. */
  readonly notCarried: readonly NotCarried[]
  /** Verdict on the old file; its findings are those of `verify`. */
  readonly verdict: Verdict
}

/**
 * Why a map was not moved: its file fails, its part is not certain, it is blank, it does not fit, or the new map was
 * not proved to do the same.
 */
export interface NotRetargeted
  extends Refused<'file-fails' | 'part-not-certain' | 'blank' | 'does-not-fit' | 'not-proved'> {
  /** Nothing was written. */
  readonly bytes: null
  /** The part that it was to be fitted to. */
  readonly part: string
  /** Old against new; null where nothing could be fitted. */
  readonly proof: Comparison | null
  /** Each thing that stands in the way. */
  readonly misfits: readonly Misfit[]
  /** Verdict on the old file; its findings are those of `verify`. */
  readonly verdict: Verdict
}

const RETARGET_OPTIONS: OptionNames<RetargetOptions> = { device: true, to: true, powerUp: true, name: true }

/**
 * Makes the map for another part that the data sheets' own tables prescribe, and proves that it does the same. Refused
 * where it cannot be done, and where the proof fails.
 *
 * @param input bytes or text of a fuse file, or what `inspect` gave
 * @param options the part of the file, the part to move to, and what is known of power-up
 * @returns the new file with the proof, or why there is none
 * @throws TypeError for another kind of input, RangeError for an unknown part or level
 * @example retarget(palBytes, { device: '14L4', to: '16V8' }).proof?.relation // 'equivalent'
 */
export function retarget(input: InspectInput, options: RetargetOptions): Retargeted | NotRetargeted {
  optionsOf(options, RETARGET_OPTIONS)
  if (options.powerUp !== undefined) oneOf(options.powerUp, 'options.powerUp', ['high', 'low', 'unknown'])
  if (options.name !== undefined) stringOf(options.name, 'options.name')
  const target = chosenDevice(options.to, 'options.to')
  if (!target) throw new TypeError('options.to must be the name of a part or its data')
  const chosen = options.device === undefined ? {} : { device: options.device }
  const checked = check(input, chosen)
  const { report, decoded, inspection } = checked
  const refused = (
    reason: NotRetargeted['reason'],
    misfits: readonly Misfit[],
    proof: Comparison | null = null,
  ): NotRetargeted => {
    const { verdict } = report
    return { ...refusedFor(reason), bytes: null, part: target.part, proof, misfits, verdict }
  }
  if (report.verdict === 'fail')
    return refused('file-fails', [misfit(null, 'not-decoded', 'the file itself does not pass')])
  // Vectors are evidence, and a new file would not show that the part rests on them.
  if (!decoded || report.device?.basis === 'vectors') {
    const message = `which part it is for is not certain (${report.candidates.join(', ') || 'none fits'})`
    return refused('part-not-certain', [misfit(null, 'not-decoded', message)])
  }
  // A blank, protected or unread chip gives a map of one state, or an array of one: there is nothing in it to move.
  const { map, array } = inspection.blank
  if (map !== null || array !== null)
    return refused('blank', [
      {
        pin: null,
        reason: 'blank',
        message: `all ${map === null ? 'fuses of its AND array' : 'its fuses'} are alike, as a blank, protected or unread chip gives them`,
      },
    ])
  const fit = fitMap(decoded, target, { startOpen: options.powerUp === undefined || options.powerUp === 'unknown' })
  if ('misfits' in fit) return refused('does-not-fit', fit.misfits)
  const carried = carryVectors(inspection.file, decoded.device)
  const notCarried = [...carried.notCarried, ...carrySignature(decoded, target, fit.fuses)]
  const bytes = writeFuseFile({
    ...content(inspection.file, carried, { name: options.name, from: decoded.device.part, to: target.part }),
    pinCount: target.pinCount,
    fuses: fit.fuses,
  })
  const proof = compareChecked(
    { intended: checked, readback: check(bytes, { device: target }) },
    options.powerUp ? { powerUp: options.powerUp } : {},
  )
  if (proof.relation !== 'equivalent' && proof.relation !== 'identical') {
    const startOnly =
      proof.relation === 'different' &&
      proof.outputs.every(
        ({ relation, differsIn }) => relation !== 'different' || differsIn.every((aspect) => aspect === 'power-up'),
      )
    const obstacle: Misfit = startOnly
      ? { pin: null, reason: 'reset', message: 'its registers would start at other levels after power-up' }
      : { pin: null, reason: 'not-proved', message: 'the new map was not proved to do the same' }
    return refused('not-proved', [obstacle], proof)
  }
  return { bytes, part: target.part, mode: fit.mode.name, proof, notCarried, verdict: report.verdict }
}

/** What the new file says besides its fuses: where it comes from, and the vectors. */
function content(
  file: FuseFile,
  { vectors, pinOrder }: CarriedVectors,
  { name, from, to }: { readonly name: string | undefined; readonly from: string; readonly to: string },
): Pick<FuseFile, 'designSpecification' | 'vectors' | 'pinOrder' | 'defaultCondition' | 'security'> {
  const origin = `${name ? `${name.replace(/[^ -)+-~]/g, '?')} ` : ''}moved from ${from} to ${to}`
  return { designSpecification: origin, vectors, pinOrder, defaultCondition: file.defaultCondition, security: 0 }
}
