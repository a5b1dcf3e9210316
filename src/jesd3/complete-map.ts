/** Whether a fuse file says what every fuse is. */
import type { FuseFile } from './fuse-file'

/**
 * True when a list or the default gives every fuse its state, and the file is not cut: only then do its fuses stand
 * for a chip.
 *
 * @example isComplete(readFuseFile(bytes))
 */
export function isComplete({ fuses, uncovered, cut }: FuseFile): boolean {
  return fuses !== null && uncovered.count === 0 && !cut
}
