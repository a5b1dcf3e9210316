/** Whether a fuse file says what every fuse is. */
import { checkedFile } from './checked-file'
import type { FuseFile } from './fuse-file'
import { sevenBitDifferences } from './seven-bit'

/**
 * True when a list or the default gives every fuse its state, the file is not cut, and a receiver of seven bits reads
 * the same fuses: only then do they stand for a chip.
 *
 * @param file what `readFuseFile` gave
 * @returns false also for a file without fuses
 * @throws TypeError for anything else
 * @example isComplete(file) // true
 */
export function isComplete(file: FuseFile): boolean {
  const { fuses, uncovered, cut } = checkedFile(file, 'file')
  return fuses !== null && uncovered.count === 0 && !cut && !sevenBitDifferences(file).includes('fuses')
}
