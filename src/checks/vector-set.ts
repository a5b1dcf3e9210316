/** Vectors that a caller hands in: read where they are a file, checked where they are a set. */
import { readFuseFile } from '../jesd3/read-fuse-file'
import type { FuseFile, ReadOptions, TestVector } from '../jesd3/fuse-file'
import type { VectorSet } from './run-vectors'

/**
 * A set of vectors in numerical order, each number once (the last one counts). Throws TypeError naming the argument
 * when it is neither a file nor a set of numbered vectors of the standard's test conditions.
 */
export function checkedVectorSet(vectors: VectorSet | Uint8Array | string, name: string, limits: ReadOptions = {}): VectorSet | FuseFile {
  if (typeof vectors === 'string' || vectors instanceof Uint8Array) return readFuseFile(vectors, limits)
  if (typeof vectors !== 'object' || vectors === null || !Array.isArray(vectors.vectors)) throw new TypeError(`${name} must be a list of vectors, a vector set or a fuse file`)
  const byNumber = new Map<number, TestVector>()
  for (const vector of vectors.vectors) {
    if (!Number.isSafeInteger(vector?.number) || vector.number < 1) throw new TypeError(`${name}: a vector has no number from 1`)
    if (vector.conditions !== null && !(typeof vector.conditions === 'string' && /^B?[02-9CDFHKLNPUXZ1]*$/.test(vector.conditions)))
      throw new TypeError(`${name}: “${vector.conditions}” holds what is no test condition`)
    byNumber.set(vector.number, vector)
  }
  const widths = new Set([...byNumber.values()].flatMap(({ conditions }) => (conditions === null ? [] : [conditions.length])))
  if (widths.size > 1) throw new TypeError(`${name}: its vectors have different numbers of conditions`)
  return { ...vectors, vectors: [...byNumber.values()].sort((a, b) => a.number - b.number) }
}
