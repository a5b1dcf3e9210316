/** Differences of two files apart from their fuses. */
import type { FuseFile } from '../../jesd3/fuse-file'

/** A difference between two files apart from their fuses. */
export interface FileDifference {
  /** What differs. */
  readonly what:
    | 'design specification'
    | 'notes'
    | 'security'
    | 'test vectors'
    | 'fuse checksum'
    | 'transmission checksum'
    | 'size'
    | 'pin count'
  /** As the intended file has it; null where it says nothing. */
  readonly intended: string | null
  /** As the read-back has it; null where it says nothing. */
  readonly readback: string | null
}

/** What two files say differently: header, notes, sums, security, vectors, sizes. */
export function compareFileContents(a: FuseFile, b: FuseFile): readonly FileDifference[] {
  const vectors = ({ vectors: list }: FuseFile): string =>
    list.map(({ number, conditions }) => `${number} ${conditions}`).join('\n')
  const counted = ({ vectors: list }: FuseFile): string =>
    `${list.length} ${list.length === 1 ? 'vector' : 'vectors'}`
  const text = (value: string | number | null): string | null => (value === null ? null : String(value))
  const rows: [FileDifference['what'], string | null, string | null][] = [
    ['design specification', a.designSpecification.trim(), b.designSpecification.trim()],
    ['notes', a.notes.join('\n'), b.notes.join('\n')],
    ['size', text(a.fuseCount), text(b.fuseCount)],
    ['pin count', text(a.pinCount), text(b.pinCount)],
    ['security', a.securityField, b.securityField],
    ['fuse checksum', a.checksums.fuse.stated, b.checksums.fuse.stated],
    ['transmission checksum', a.checksums.transmission.stated, b.checksums.transmission.stated],
  ]
  const differing = rows
    .filter(([, first, second]) => first !== second)
    .map(([what, intended, readback]): FileDifference => ({ what, intended, readback }))
  const sameVectors =
    vectors(a) === vectors(b) &&
    String(a.pinOrder) === String(b.pinOrder) &&
    a.defaultCondition === b.defaultCondition
  return sameVectors
    ? differing
    : [...differing, { what: 'test vectors', intended: counted(a), readback: counted(b) }]
}
