// Mutants that change no answer, only how much work it takes, or that no input can tell from the original: they are not
// run, and not counted. By file, a piece of the line and the change, with the reason.
export const SAME_ANSWERS = [
  ['src/jesd3/reading.ts', 'new Uint8Array(0)', '0 → 1', 'the store that is empty has a capacity of 0 all the same'],
]
