/** A bare fuse map in the shape of a file, so that both are inspected in one way. */
import type { FuseMap } from '../fuses/fuse-map'
import { fuseChecksum } from '../fuses/fuse-map'
import { EMPTY_CONTENT, type FuseFile } from '../jesd3/fuse-file'
import { hex4 } from '../jesd3/sums'

/** A map as a file that says nothing but its fuses: no bytes, no sums stated, nothing to find fault with. */
export function fileOfMap(map: FuseMap): FuseFile {
  const fuses = map.length > 0 ? map : null
  return {
    ...SILENT,
    bytes: new Uint8Array(0),
    fuses,
    fuseCount: fuses && map.length,
    statedFuseCount: fuses && map.length,
    listed: { bounds: fuses ? [0, map.length] : [] },
    checksums: {
      fuse: { stated: null, computed: fuses && hex4(fuseChecksum(map)), status: 'absent', explanation: null },
      transmission: { stated: null, computed: null, status: 'absent' },
    },
  }
}

/** What a file of nothing but fuses leaves out. */
const SILENT = {
  ...EMPTY_CONTENT,
  parity: null,
  options: {},
  frame: { start: null, end: null },
  fields: { count: 0, starts: [], hasDesignSpecification: false },
  uncovered: { count: 0, first: null },
  tooManyFuses: false,
  cut: false,
  securityField: null,
  findings: [],
  findingCounts: { error: 0, warning: 0, note: 0 },
} as const
