/** 32-bit words that look random, the same for the same seed: a linear congruence (TAOCP 2, 3.3.4, from memory). */
export function randomWords(seed: number): () => number {
  let word = seed >>> 0
  return () => {
    word = (Math.imul(word, 1664525) + 1013904223) >>> 0
    return word
  }
}
