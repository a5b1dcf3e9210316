/** What a fuse file is: the file, the parts that it can be for, and its fuses decoded as far as the part is known. */
import type { Bit } from '../fuses/fuse-map'
import type { FuseFile } from '../jesd3/fuse-file'
import type { Logic } from '../logic/logic'
import type { Decoded } from '../devices/decode'
import type { Device, Mode } from '../devices/device'

/** How the part is known: the only one that fits the size, or the caller's choice. */
export type PartBasis = 'size' | 'choice'

/**
 * Why the fuses are not decoded: there are none, or more than the limit; the chosen part has another number of them;
 * no part fits, or several do; only the order of the part's fuses is open (a caller may name one); or what they mean
 * is not published.
 */
export type UndecodedReason =
  'no-fuses' | 'too-many-fuses' | 'size' | 'unknown' | 'ambiguous' | 'order' | 'not-published'

/** States that all fuses share, as blank, protected and unread chips give them; null where they differ. */
export interface BlankFacts {
  /** Of the whole map; null too where the file states no fuse at all. */
  readonly map: Bit | null
  /** Of the AND array of the part, or of the first part that fits; of the whole map where no array is known. */
  readonly array: Bit | null
}

/** A decoded map whose configuration names a mode. */
export type DecodedLogic = Decoded & { readonly mode: Mode; readonly logic: Logic }

/** What an inspection says whatever its kind. */
interface Facts {
  /** The file as read; for a bare map one that says nothing else. */
  readonly file: FuseFile
  /** `map` where the caller gave no file but its fuses. */
  readonly source: 'file' | 'map'
  /** True where every fuse has a stated state and the file is not cut: only then do its fuses stand for a chip. */
  readonly complete: boolean
  /** Names of all parts of the catalogue that fit the size, sorted, also where one is chosen. */
  readonly candidates: readonly string[]
  /** The part that the caller asked for, also where it does not fit, and by which name; null without one. */
  readonly asked: { readonly device: Device; readonly name: string | null } | null
  readonly blank: BlankFacts
  /** The G field. */
  readonly security: Bit | null
  /** The map decoded as every part that it can be, each once: one where the part is certain, none where none fits. */
  readonly alternatives: () => readonly Decoded[]
}

/** The part is certain and its fuses name a mode: there is logic. */
export interface DecodedInspection extends Facts {
  /** Tells the four inspections apart. */
  readonly kind: 'decoded'
  /** The map as decoded. */
  readonly decoded: DecodedLogic
  /** What tells which part it is. */
  readonly basis: PartBasis
  /** Null: nothing stands in the way of logic. */
  readonly why: null
}

/** The part is certain, and its configuration fuses name no mode. */
export interface NoModeInspection extends Facts {
  /** Tells the four inspections apart. */
  readonly kind: 'no-mode'
  /** The map as decoded, without logic. */
  readonly decoded: Decoded
  /** What tells which part it is. */
  readonly basis: PartBasis
  /** Null: the part is certain. */
  readonly why: null
}

/** There is no logic; `decoded` is there where the part is known and the meaning of its fuses is not. */
export interface UndecodedInspection extends Facts {
  /** Tells the four inspections apart. */
  readonly kind: 'undecoded'
  /** What is known of the part; null where no part is certain. */
  readonly decoded: Decoded | null
  /** What tells which part it is; null where none is certain. */
  readonly basis: PartBasis | null
  /** Why there is no logic. */
  readonly why: UndecodedReason
}

/**
 * Some fuse has no stated state, or the file is cut: `decoded` is what the map would be with those fuses as they
 * stand, which is no logic of a chip.
 */
export interface IncompleteInspection extends Facts {
  /** Tells the four inspections apart. */
  readonly kind: 'incomplete'
  /** What the map would be; null where no part is certain. */
  readonly decoded: Decoded | null
  /** What tells which part it is; null where none is certain. */
  readonly basis: PartBasis | null
  /** Why there would be no logic even so; null where there would be. */
  readonly why: UndecodedReason | null
}

/** A fuse file, or a bare map, looked into once: what every later step goes by. */
export type Inspection = DecodedInspection | NoModeInspection | UndecodedInspection | IncompleteInspection
