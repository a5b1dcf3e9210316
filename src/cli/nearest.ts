/** What a refusal of a word adds. */
import { nearestWords } from '../index'

/** `did you mean X?`, or where to look. */
export function nearestHint(word: string, known: readonly string[], otherwise: string): string {
  return meantHint(nearestWords(word, known), otherwise)
}

/** Most words that are offered. */
const MAX_OFFERED = 3

/** The same for words that are known to be near. */
export function meantHint(near: readonly string[], otherwise: string): string {
  return near.length === 0 ? otherwise : `did you mean ${near.slice(0, MAX_OFFERED).join(' or ')}?`
}
