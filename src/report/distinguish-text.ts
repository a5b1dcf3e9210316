/** What tells maps apart, as text for a person. */
import { madeBy } from '../arguments/arguments'
import type { Distinguished, NotDistinguished, ToldPair } from '../jobs/distinguish/distinguish'
import { counted, NOT_GRADED_REASONS, ranges } from './grade-text'
import { renderFinding } from './layout'
import { checkLook, lookOf, row, type Look, type TextOptions } from './screen'

const RESULT = { keys: ['findings'], maker: 'what distinguish returned' }

/** Rows of pairs on a screen. */
const MAX_PAIRS = 8

/**
 * Which maps are told apart, and by what.
 *
 * @param result what `distinguish` gave
 * @param options width, everything or a screenful
 * @returns lines for a terminal
 * @throws TypeError for what `distinguish` did not return
 * @example renderDistinguished(distinguish([palBytes, chipBytes], { device: '14L4' })).includes('pin 16') // true
 */
export function renderDistinguished(result: Distinguished | NotDistinguished, options: TextOptions = {}): string {
  checkLook(options)
  const look = lookOf(options)
  madeBy(result, 'result', RESULT)
  if ('reason' in result) return refused(result, look)
  const { pairs, vectors, files, failing, part, start, findings } = result
  const apart = pairs.filter((pair) => pair.apart).length
  const nameOf = (number: number): string => files[number - 1] ?? `map ${number}`
  const shown = look.all ? pairs : pairs.slice(0, MAX_PAIRS)
  const left = pairs.length - shown.length
  return [
    headline(vectors, apart, pairs.length),
    row('part', `${part}; registers ${start === 'unknown' ? 'unknown' : 'as after power-up'} at the start`, look),
    row('passes', `a chip with ${nameOf(1)} passes all of them`, look),
    ...failing.flatMap((numbers, i) => {
      const which = `${numbers.length === 1 ? 'vector' : 'vectors'} ${ranges(numbers)}`
      return numbers.length === 0 ? [] : [row(`map ${i + 1}`, `a chip with ${nameOf(i + 1)} fails ${which}`, look)]
    }),
    ...shown.map((pair) => row(`${pair.a} and ${pair.b}`, pairWords(pair), look)),
    ...(left > 0 ? [row('', `and ${counted(left, 'other pair')}${look.more ? `; ${look.more}` : ''}`, look)] : []),
    ...findings.map((finding) => renderFinding(finding, look.width)),
    row('not looked at', 'the chip itself; timing, levels and supply; maps that were not given', look),
    '',
  ].join('\n')
}

function headline(vectors: number, apart: number, pairs: number): string {
  const tell = vectors === 1 ? 'tells' : 'tell'
  return `${counted(vectors, 'vector')} ${tell} ${apart} of ${counted(pairs, 'pair')} of maps apart.`
}

function pairWords(pair: ToldPair): string {
  if (pair.apart) return `apart first in vector ${pair.vector} at pin ${pair.pin}`
  return pair.why === 'equal' ? 'not apart: proved to do the same' : 'not apart: no vector was found'
}

function refused({ reason, number, file, findings }: NotDistinguished, look: Look): string {
  const why = reason === 'parts-differ' ? 'it is for another part than the first' : NOT_GRADED_REASONS[reason]
  const grave = findings.filter(({ severity }) => severity !== 'note')
  return [
    `${file ?? `map ${number}`}: no vectors: ${why}.`,
    ...grave.map((finding) => renderFinding(finding, look.width)),
    '',
  ].join('\n')
}
