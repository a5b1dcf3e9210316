/** Single causes under which a wrong transmission sum would have been right. */
import type { SumCause } from '../findings/explanation-findings'
import type { Span, TransmissionCause } from './fuse-file'
import { CR, LF, lineIndex } from './text'

interface LineEnds {
  readonly crlf: number
  readonly lf: number
  readonly cr: number
  /** Offsets of the first few LF that stand alone. */
  readonly lfAt: readonly number[]
}

/** Most places that are named one by one. */
const NAMED_PLACES = 8

function countLineEnds(bytes: Uint8Array, { start, end }: Span): LineEnds {
  let crlf = 0
  let lf = 0
  let cr = 0
  const lfAt: number[] = []
  for (let i = start; i < end; i++) {
    const c = bytes[i]! & 0x7f
    if (c === LF) {
      if (lf++ < NAMED_PLACES) lfAt.push(i)
    } else if (c === CR) {
      if (i + 1 < end && (bytes[i + 1]! & 0x7f) === LF) {
        crlf++
        i++
      } else cr++
    }
  }
  return { crlf, lf, cr, lfAt }
}

/** Lines of the given offsets; nothing for no offsets. */
function linesOf(bytes: Uint8Array, offsets: readonly number[]): LostWhere {
  const locate = lineIndex(bytes)
  return offsets.length > 0
    ? { where: 'named', lines: offsets.map((offset) => locate(offset).line) }
    : { where: 'unnamed' }
}

type LostWhere = { readonly where: 'named'; readonly lines: readonly number[] } | { readonly where: 'unnamed' }

/** A cause that fits a wrong sum exactly; one without a code has no stable one. */
export interface FittingCause {
  readonly code: TransmissionCause | null
  readonly cause: SumCause
}

/** Most carriage returns that may have been lost one by one; beyond a few, chance would fit too often. */
const LOST_RETURNS = 4

/**
 * Every single cause under which `stated` would be the sum of the bytes from STX through ETX. The arithmetic: a line
 * end changes the sum by 13 for a CR and by 10 for an LF; STX is 2 and ETX is 3.
 */
export function causesOf(
  bytes: Uint8Array,
  span: Span,
  sums: { readonly stated: number; readonly digits: number; readonly computed: number },
): readonly FittingCause[] {
  const { crlf, lf, cr, lfAt } = countLineEnds(bytes, span)
  const missing = (sums.stated - sums.computed) & 0xffff
  const causes: FittingCause[] = []
  const fits = (change: number, code: TransmissionCause, cause: SumCause): void => {
    if ((change & 0xffff) === missing) causes.push({ code, cause })
  }
  if (lf > 0) {
    const few = crlf > 0 && lf <= LOST_RETURNS
    if (!few) fits(lf * CR, 'line-ends-lf-to-crlf', { cause: 'lf-to-crlf', count: lf })
    if (!few && cr > 0)
      fits(lf * CR + cr * LF, 'line-ends-lf-to-crlf', { cause: 'lf-or-cr-to-crlf', count: lf + cr })
    for (let k = 1; k <= Math.min(LOST_RETURNS, few ? lf : lf - 1); k++)
      fits(k * CR, 'carriage-returns-lost', {
        cause: 'returns-lost',
        lost: k,
        count: lf,
        ...linesOf(bytes, lf > NAMED_PLACES ? [] : lfAt),
      })
  }
  if (crlf > 0 && cr > 0)
    fits(-crlf * CR, 'line-ends-crlf-to-lf', { cause: 'crlf-to-lf', count: crlf })
  if (crlf > 0)
    fits(-crlf * CR - cr * (CR - LF), 'line-ends-crlf-to-lf', { cause: 'crlf-to-lf', count: crlf })
  if (crlf + lf > 0)
    fits(-crlf * LF + lf * (CR - LF), 'line-ends-cr', { cause: 'to-cr', count: crlf + lf })
  if (cr > 0 && lf === 0) fits(cr * LF, 'line-ends-cr', { cause: 'cr-to-crlf', count: cr })
  fits(-2, 'start-mark-left-out', { cause: 'start-mark-left-out' })
  fits(-3, 'end-mark-left-out', { cause: 'end-mark-left-out' })
  if (sums.digits !== 4) fits(0, 'wrong-digit-count', { cause: 'digit-count', digits: sums.digits })
  return causes
}
