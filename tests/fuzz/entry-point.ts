/** What an entry point under test is, and documents as its contents. */
import type { Random } from '../jesd3/reference'
import { damagedDocument, type Json } from './documents'

/** Contents as files hold them, and the seed of everything else that is chosen. */
export interface Input {
  readonly contents: readonly Uint8Array[]
  readonly choice: number
}

export interface EntryPoint {
  readonly make: (random: Random) => readonly Uint8Array[]
  /** What does not hold, or null. `answered` takes everything that came back, for its size. */
  readonly check: (input: Input, answered: (value: unknown) => void) => string | null
}

export const encoded = (value: Json): Uint8Array => new TextEncoder().encode(JSON.stringify(value))

/** A document sound, or with up to three changes. */
export function roughened(value: Json, random: Random): Json {
  let document = value
  for (let times = random.below(4); times > 0; times--) document = damagedDocument(document, random)
  return document
}
