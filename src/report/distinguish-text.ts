/** What tells maps apart, as text for a person. */
import { madeBy } from '../arguments/arguments'
import type { Distinguished, NotDistinguished, ToldPair } from '../jobs/distinguish/distinguish'
import { answerLines, counted, inSigns, remarkRows, scopeRows } from './answer'
import { NOT_GRADED_REASONS, refusalLines, USE } from './grade-text'
import { rangeWords } from './layout'
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
  madeBy(result, 'result', RESULT)
  return inSigns(result, options, (each, signs) => {
    const look = lookOf(signs)
    return 'refused' in each ? refused(each, look) : pairsText(each, look)
  })
}

function pairsText(result: Distinguished, look: Look): string {
  const { pairs, vectors, files, failing, part, start, findings } = result
  const apart = pairs.filter((pair) => pair.apart).length
  const nameOf = (number: number): string => files[number - 1] ?? `map ${number}`
  const shown = look.all ? pairs : pairs.slice(0, MAX_PAIRS)
  const left = pairs.length - shown.length
  const answer = headline(vectors, apart, pairs.length)
  return [
    answerLines({ subject: counted(files.length, 'map'), answer, causes: [] }, look),
    '',
    row('part', `${part}; registers ${start === 'unknown' ? 'unknown' : 'as after power-up'} at the start`, look),
    ...files.map((_, i) => row(`map ${i + 1}`, mapWords(nameOf(i + 1), failing[i]!, vectors), look)),
    ...shown.map((pair) => row(`${pair.a} and ${pair.b}`, pairWords(pair), look)),
    ...(left > 0 ? [row('', `and ${counted(left, 'other pair')}${look.more ? `; ${look.more}` : ''}`, look)] : []),
    ...(vectors > 0 ? [row('use', `${USE} of ${nameOf(1)}`, look)] : []),
    ...remarkRows(findings, { said: [], most: { grave: 3, notes: 2 } }, look),
    '',
    ...scopeRows(
      { seen: [counted(pairs.length, 'pair')], unseen: ['the chip', 'timing', 'maps that were not given'] },
      {
        compared: [`${counted(pairs.length, 'pair')} of maps`],
        notExamined: ['the chip itself', 'timing, levels and supply', 'maps that were not given'],
      },
      look,
    ),
    '',
  ].join('\n')
}

function mapWords(name: string, failing: readonly number[], vectors: number): string {
  if (vectors === 0) return name
  if (failing.length === 0) return `${name}: a chip with it passes`
  return `${name}: a chip with it fails ${failing.length === 1 ? 'vector' : 'vectors'} ${rangeWords(failing)}`
}

function headline(vectors: number, apart: number, pairs: number): string {
  if (vectors === 0) return 'no vectors tell them apart'
  const tell = vectors === 1 ? 'tells' : 'tell'
  return `${counted(vectors, 'vector')} ${tell} ${apart} of ${counted(pairs, 'pair')} apart`
}

function pairWords(pair: ToldPair): string {
  if (pair.apart) return `apart first in vector ${pair.vector} at pin ${pair.pin}`
  return pair.why === 'equal' ? 'not apart: proved to do the same' : 'not apart: no vector was found'
}

function refused({ reason, number, file, findings }: NotDistinguished, look: Look): string {
  const why = reason === 'parts-differ' ? 'it is for another part than the first' : NOT_GRADED_REASONS[reason]
  return refusalLines({ subject: file ?? `map ${number}`, answer: 'no vectors', why, findings }, look)
}
