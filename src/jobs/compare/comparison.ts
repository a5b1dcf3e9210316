/** The shape of a comparison: plain data, the same as its JSON. */
import type { Finding, Position, Verdict } from '../../findings/finding'
import type { Bit } from '../../fuses/fuse-map'
import type { FileDifference } from './compare-files'
import type { ComparedOutput } from './compare-logic'
import type { DifferenceGroup, FuseDifference } from './fuse-differences'
import type { MachineResult } from './state-machines'
import type { FusePattern } from './read-back'
import type { Role } from '../../devices/fuse-role'
import type { ReportedDevice } from '../check/report'

/**
 * `identical`: the same fuses of the same part. `equivalent`: fuses differ, logic proved equal. `different`: told apart
 * by the counterexamples. `undecided`: neither was shown. `not-comparable`: one side says nothing, or nothing fits
 * together.
 */
export type Relation = 'identical' | 'equivalent' | 'different' | 'undecided' | 'not-comparable'

/** A differing fuse with the places at which both files write its state; null where a file leaves it to the default. */
export interface LocatedDifference extends FuseDifference {
  /** Where either file writes the state of the fuse; null where a default gives it. */
  readonly positions: { readonly intended: Position | null; readonly readback: Position | null }
}

/** What is known about protection. */
export interface SecuritySection {
  /** The G fields. */
  readonly intended: Bit | null
  /** The G field of the read-back; null without one. */
  readonly readback: Bit | null
  /** What the fuses of the read-back say about the chip. */
  readonly chip: 'readable' | 'blank-or-protected' | 'not-known'
  /** What to do about protection, in words. */
  readonly advice: readonly string[]
}

/** What was found between an intended file and a read-back. */
export interface Comparison {
  /** Version of this document: 1. */
  readonly schema: 1
  /** Names of the files, where given. */
  readonly intended: string | null
  /** Name of the read-back, where given. */
  readonly readback: string | null
  /** What one map is to the other. */
  readonly relation: Relation
  /** What the relation makes of it, or a file's own findings where those are worse. */
  readonly verdict: Verdict
  /** What the relation rests on; null where nothing could be compared. */
  readonly basis: 'fuses' | 'logic' | null
  /** The part of either side, and how it is known; null where it is not certain. */
  readonly devices: { readonly intended: ReportedDevice | null; readonly readback: ReportedDevice | null }
  /**
   * Fuses of equal role on both sides; `count` null between different parts. `fuses` may be cut short, `groups` never
   * is.
   */
  readonly fuseDifferences: {
    readonly count: number | null
    readonly byRole: Readonly<Partial<Record<Role, number>>>
    readonly groups: readonly DifferenceGroup[]
    readonly fuses: readonly LocatedDifference[]
  }
  /** What the differing fuses look like as a whole. */
  readonly pattern: FusePattern | null
  /** One entry an output of either side; empty where logic was not compared. */
  readonly outputs: readonly ComparedOutput[]
  /** Two registered parts followed from their start; null where that decided nothing. */
  readonly machines: MachineResult | null
  /** Differences in sums, notes, vectors, security and header. */
  readonly fileDifferences: readonly FileDifference[]
  /** What is known about protection. */
  readonly security: SecuritySection
  /** Everything that was found, worst first and bounded. */
  readonly findings: readonly Finding[]
  /** What was compared, and what was not looked at. */
  readonly scope: { readonly compared: readonly string[]; readonly notExamined: readonly string[] }
}
