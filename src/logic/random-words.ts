/** Words that look random and are the same for the same seed: 32 bits by a linear congruence (Knuth, TAOCP 2, 3.3.4). */
export function randomWords(seed: number): () => number {
  let word = seed >>> 0
  return () => {
    word = (Math.imul(word, 1664525) + 1013904223) >>> 0
    return word
  }
}
