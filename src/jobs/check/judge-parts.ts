/** The vectors of a file on each part that it can be for: what they say of the part, and of the file. */
import type { FindingList, Locate } from '../../findings/finding'
import type { Decoded } from '../../devices/decode'
import type { Inspection, PartBasis } from '../../inspect/inspection'
import { checkVectors, NO_VECTORS, type VectorCheck } from '../vectors/check-vectors'
import type { VectorSet } from '../vectors/run-vectors'

/** `size`: the only part that fits. `choice`: the caller's. `vectors`: the only one whose test vectors hold. */
export type ReportedBasis = PartBasis | 'vectors'

/** The vectors as one part runs them. */
export interface PartRun {
  readonly decoded: Decoded
  readonly vectors: VectorCheck
}

/** What is taken for the part, with its vectors, and every run that was made. */
export interface JudgedParts {
  /** The decoded part; null while it is unknown or ambiguous. */
  readonly decoded: Decoded | null
  readonly basis: ReportedBasis | null
  readonly vectors: VectorCheck
  /** One for each part that the map can be. */
  readonly runs: readonly PartRun[]
}

const NO_FINDINGS: FindingList = { findings: [], counts: { error: 0, warning: 0, note: 0 } }

const NOT_RUN: VectorCheck = { summary: NO_VECTORS, findings: NO_FINDINGS }

/** What to run. */
export interface Running {
  readonly vectors: VectorSet
  readonly limit: number
  readonly locate?: Locate
}

/** Runs the vectors once on each part that the map can be, and takes the one that they leave. */
export function judgeParts(inspection: Inspection, running: Running): JudgedParts {
  const { decoded, basis } = inspection
  const runs = inspection.alternatives().map((each) => ({ decoded: each, vectors: runOn(each, running) }))
  const [first] = runs
  if (decoded && first) return { decoded, basis, vectors: first.vectors, runs }
  const only = onlyHolding(runs)
  if (only) return { decoded: only.decoded, basis: 'vectors', vectors: only.vectors, runs }
  return { decoded: null, basis: null, vectors: NOT_RUN, runs }
}

function runOn({ device, logic }: Decoded, { vectors, limit, locate }: Running): VectorCheck {
  return logic ? checkVectors(logic, vectors, { device, limit, ...(locate ? { locate } : {}) }) : NOT_RUN
}

/** The one part on which no vector fails, where every other part runs them and fails. */
function onlyHolding(runs: readonly PartRun[]): PartRun | null {
  const ran = runs.every(({ vectors }) => vectors.summary.count > 0)
  const holding = runs.filter(({ vectors }) => vectors.summary.failed === 0)
  return ran && holding.length === 1 ? holding[0]! : null
}
