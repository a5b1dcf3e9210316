/** Whether a fuse file says what every fuse is. */
import type { FuseFile } from './fuse-file'

/**
 * True when a list or the default gives every fuse its state, and the file is not cut: only then do its fuses stand
 * for a chip.
 *
 * @example isComplete(readFuseFile(bytes))
 */
export function isComplete({
  fuses,
  defaultFuse,
  listed: { bounds },
  findings,
  frame,
  checksums,
}: FuseFile): boolean {
  if (fuses === null || findings.some(({ code }) => code === 'file/cut-short')) return false
  // The list of findings is bounded, so that the one on the end may have been dropped.
  if (frame.start !== null && frame.end === null && checksums.fuse.status !== 'match') return false
  return defaultFuse !== null || (bounds.length === 2 && bounds[0] === 0 && bounds[1]! >= fuses.length)
}
