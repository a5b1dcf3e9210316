/** Both checksums, stated against computed. */
import { fuseChecksum, type FuseMap } from '../fuses/fuse-map'
import type { ReadingCollector, StatedTransmissionSum } from './frame'
import type { Frame, FuseFileContent, FuseSum, TransmissionSum } from './fuse-file'
import type { ReadingState } from './reading'
import { sumBytes } from './transmission-sum'

/** Four upper-case hexadecimal digits. */
export function hex4(sum: number): string {
  return sum.toString(16).toUpperCase().padStart(4, '0')
}

/**
 * The last C field against the final fuses (3-A: only the last C is significant). Where it fits only the fuses as
 * they stood when it was met, that is said. `mapAt(offset)` gives the fuses as of an offset.
 */
export function checkFuseSum(
  reading: ReadingState,
  { fuses, mapAt }: { readonly fuses: FuseMap | null; readonly mapAt: (offset: number) => FuseMap },
): FuseSum {
  const { findings } = reading
  const last = reading.sums.at(-1)
  const judged = (
    status: FuseSum['status'],
    sum: number | null,
    explanation: FuseSum['explanation'] = null,
  ): FuseSum => ({
    stated: last?.text ?? null,
    computed: sum === null ? null : hex4(sum),
    status,
    explanation,
  })
  if (fuses === null) return judged('absent', null)
  if (!last) return judged('absent', fuseChecksum(fuses))
  const { text, offset } = last
  const stated = parseInt(text, 16)
  const sumOf = (map: FuseMap): number => sumWithElectricalData(reading, { fuses: map, stated, at: offset })
  const computed = sumOf(fuses)
  if (stated === computed) return judged('match', computed)
  const patched = reading.lastListAt > offset && sumOf(mapAt(offset)) === stated
  findings.add(
    patched ? 'checksum/lists-after-sum' : 'checksum/fuse-mismatch',
    { offset },
    { stated: text, computed: hex4(computed) },
  )
  return judged('mismatch', computed, patched ? 'lists-after-sum' : null)
}

/**
 * The fuse sum, with the bits of an E field that precedes the C (manuals: they are in the sum). How they are packed
 * after a partial word is not published: on from the last fuse, or in a word of their own; the one that fits is taken.
 */
function sumWithElectricalData(
  reading: ReadingState,
  given: { readonly fuses: FuseMap; readonly stated: number; readonly at: number },
): number {
  const { fuses, stated, at } = given
  const bits = reading.electricalData
  if (bits === null || reading.electricalAt > at) return fuseChecksum(fuses)
  const continued = sumWith(fuses, bits, 'continued')
  const apart = sumWith(fuses, bits, 'apart')
  reading.electricalPacking = apart === stated && continued !== stated ? 'apart' : 'continued'
  const sum = reading.electricalPacking === 'apart' ? apart : continued
  if (sum === stated && continued !== apart)
    reading.findings.add(
      'checksum/electrical-packing',
      { offset: reading.electricalAt },
      { packing: reading.electricalPacking },
    )
  return sum
}

/** Fuse checksum of a map with E bits packed in one of the ways. */
export function sumWith(
  fuses: FuseMap,
  electricalData: string,
  packing: FuseFileContent['electricalPacking'],
): number {
  let sum = fuseChecksum(fuses)
  const first = packing === 'continued' ? fuses.length : 0
  if (packing !== 'outside')
    for (let i = 0; i < electricalData.length; i++) if (electricalData[i] === '1') sum += 1 << ((first + i) & 7)
  return sum & 0xffff
}

/** The four digits after ETX against the bytes from STX through ETX. */
export function checkTransmissionSum(
  reading: ReadingState,
  { frame, sum: written }: { readonly frame: Frame; readonly sum: StatedTransmissionSum | null },
): TransmissionSum {
  const { bytes, findings } = reading
  if (frame.end === null || !written) return { stated: null, computed: null, status: 'absent' }
  const place = { offset: written.offset }
  const sum = sumBytes(bytes, { start: frame.start ?? 0, end: frame.end + 1 })
  const computed = frame.start === null ? null : hex4(sum)
  const stated = significantDigits(written, computed, findings)
  const status =
    stated === null
      ? 'absent'
      : stated === '0000'
        ? 'not-computed'
        : stated.toUpperCase() === computed
          ? 'match'
          : 'mismatch'
  if (stated === null) findings.add('checksum/transmission-absent', place)
  else if (status === 'mismatch')
    findings.add('checksum/transmission-mismatch', place, {
      stated,
      computed: computed ?? hex4(sum),
      frame: computed === null ? 'unframed' : 'framed',
    })
  return { stated, computed, status }
}

/**
 * The digits that are the sum. Four digits are the sum, and hexadecimal letters right behind them can be the text that
 * may follow.
 */
function significantDigits(
  written: StatedTransmissionSum,
  computed: string | null,
  findings: ReadingCollector,
): string | null {
  const first = written.text?.slice(0, 4)
  const stated = first === '0000' || first?.toUpperCase() === computed ? first! : written.text
  if (stated !== null && /[a-f]/.test(stated))
    findings.add('file/lower-case-hex', { offset: written.offset }, { text: stated })
  return stated
}
