/** The wiring of a table that is not known: which of its columns are which of another, turned round or not. */
import { nullOn, runPieces, runWithPauses, type PauseOptions, type Pieces } from '../../arguments/pieces'
import { checkWatch, watchOf, type WatchOptions } from '../../arguments/watch'
import { oneOf, optionsOf, type OptionNames, wholeNumber } from '../../arguments/arguments'
import {
  budgetOf,
  chosen,
  findMapping,
  OutOfSteps,
  prepareSide,
  smallestCell,
  type SearchSteps,
  type Mapping,
  type Side,
} from './wiring-match'
import { nearestMiss } from './wiring-nearest'
import {
  firstColours,
  packTable,
  refined,
  signatureOf,
  type Colours,
  type Inversions,
  type PackedTable,
} from './wiring-signatures'
import { checkedTable, rowBitsOf } from '../table/checked-table'
import type { TruthTable } from '../table/truth-table'

/** A column of the capture that stands for a column of the reference; `inverted`: with its levels turned round. */
export interface MatchedColumn {
  /** Place of the column in the capture. */
  readonly column: number
  /** True where its levels are the opposite ones. */
  readonly inverted: boolean
}

/** For each input and each output of the reference the column of the capture that stands for it. */
export interface FoundWiring {
  /** For each input of the reference, in order. */
  readonly inputs: readonly MatchedColumn[]
  /** For each output of the reference, in order. */
  readonly outputs: readonly MatchedColumn[]
}

/** What may be turned round: nothing, outputs, or inputs and outputs. */
export type InversionKind = 'none' | 'outputs' | 'all'

/** What a search for a wiring gave. */
export interface WiringSearch {
  /** `none`: no wiring of the allowed kinds exists. `undecided`: a bound, or levels that are not known. */
  readonly relation: 'found' | 'none' | 'undecided'
  /** Why it is undecided. */
  readonly reason: 'too-wide' | 'open-levels' | 'steps' | 'rows-left-out' | null
  /** The least that had to be turned round; null where nothing was found. */
  readonly inversions: InversionKind | null
  /** The wiring found, then others that do the same by symmetry, as many as `maxWirings` allows. */
  readonly wirings: readonly FoundWiring[]
  /**
   * How many wirings with these inversions do the same, in decimal; null where nothing was found or they could not be
   * counted.
   */
  readonly equivalents: string | null
  /** Columns of the capture that can be exchanged at will: groups of inputs, and of outputs that are equal. */
  readonly symmetries: {
    readonly inputs: readonly (readonly MatchedColumn[])[]
    readonly outputs: readonly (readonly MatchedColumn[])[]
  } | null
  /** Where there is none: the wiring with the fewest differing rows that was found, which need not be the best. */
  readonly nearest: { readonly wiring: FoundWiring; readonly differingRows: number } | null
  /** Refinements and looks at all rows that were taken. */
  readonly steps: number
}

/** What may be turned round, and the bounds. */
export interface WiringSearchOptions extends WatchOptions {
  /** The most that may be turned round (default `all`); less is tried first. */
  readonly inversions?: InversionKind
  /** Most steps (default 20,000); past it the answer is undecided. */
  readonly maxSteps?: number
  /** Most inputs (default 18, at most 20); past it the answer is undecided. */
  readonly maxInputs?: number
  /** Most wirings to list (default 16). */
  readonly maxWirings?: number
  /**
   * A bit a row of the capture that counts. Where rows are left out, a wiring that fits all others is found, but that
   * none exists is not shown.
   */
  readonly known?: Int32Array
  /** False: where none is found, the nearest is not looked for (default true). */
  readonly nearest?: boolean
}

const KINDS = ['none', 'outputs', 'all'] as const
const MOST_OUTPUTS = 32
const SEARCH_OPTIONS: OptionNames<WiringSearchOptions> = {
  inversions: true,
  maxSteps: true,
  maxInputs: true,
  maxWirings: true,
  known: true,
  nearest: true,
  onProgress: true,
  signal: true,
}
const NOTHING = { inversions: null, wirings: [], equivalents: null, symmetries: null, nearest: null } as const

/**
 * Finds exchanges and inversions of columns that make two tables equal in all rows, by signatures (weights, cofactor
 * weights, influences), with inputs that can be exchanged at will tried once, and an exact check at the end.
 *
 * @param capture the table whose columns are not known
 * @param reference the table that it may be
 * @param options limits of the search
 * @returns `found`, `none` (no wiring of the allowed kinds exists), or `undecided` past a bound or with levels that are
 *   not known
 * @throws RangeError where the tables have not the same numbers of inputs and outputs, or for an option out of range
 * @example findWiring(capture.table, capture.table).relation // 'found'
 */
export function findWiring(
  capture: TruthTable,
  reference: TruthTable,
  options: WiringSearchOptions = {},
): WiringSearch {
  return runPieces(searchPieces(capture, reference, options))
}

/**
 * As `findWiring`, in pieces with a pause after each, so that a page stays alive meanwhile. A piece is a few steps, or
 * the signature of one output: milliseconds, of the largest tables some tens.
 *
 * @param capture as for `findWiring`
 * @param reference as for `findWiring`
 * @param options those of `findWiring` and `pause`; an aborted `signal` ends the work after the piece at hand
 * @returns a promise of what `findWiring` gives
 * @throws nothing at once: what `findWiring` throws, and the reason of the signal, reject the promise
 * @example findWiringInPieces(capture.table, capture.table, { pause: async () => {} }) instanceof Promise // true
 */
export async function findWiringInPieces(
  capture: TruthTable,
  reference: TruthTable,
  options: WiringSearchOptions & PauseOptions,
): Promise<WiringSearch> {
  const work = (others: WiringSearchOptions): Pieces<WiringSearch> => searchPieces(capture, reference, others)
  return runWithPauses(options, SEARCH_OPTIONS, work)
}

/** The search as pieces of work. */
export function* searchPieces(
  capture: TruthTable,
  reference: TruthTable,
  options: WiringSearchOptions,
): Pieces<WiringSearch> {
  checkedTable(capture, 'capture')
  checkedTable(reference, 'reference')
  const { inversions, maxSteps, maxInputs, maxWirings } = checkedSearch(options, 'options')
  const { known, nearest: isNearest = true } = options
  if (capture.inputs.length !== reference.inputs.length || capture.outputs.length !== reference.outputs.length)
    throw new RangeError('reference must have as many inputs and outputs as capture')
  const undecided = (reason: WiringSearch['reason'], steps = 0): WiringSearch => ({
    ...NOTHING,
    relation: 'undecided',
    reason,
    steps,
  })
  if (capture.inputs.length > maxInputs || capture.outputs.length > MOST_OUTPUTS) return undecided('too-wide')
  const [packed, b] = [packTable(capture), packTable(reference)]
  if (!packed || !b) return undecided('open-levels')
  const a = known ? { ...packed, known } : packed
  const watch = watchOf(options)
  const budget = budgetOf(maxSteps, watch ? (left) => watch('wiring', maxSteps - left, maxSteps) : undefined)
  const kinds = KINDS.slice(0, KINDS.indexOf(inversions) + 1)
  const sides = yield* preparedSides(a, b)
  const found = yield* nullOn(OutOfSteps, firstFound(sides, kinds, budget))
  if (!found) return undecided('steps', maxSteps - budget.steps)
  if (found === 'none') {
    const nearest = isNearest ? yield* nearestOf(sides, kinds, budget) : null
    return { ...missed(nearest, known !== undefined), steps: maxSteps - budget.steps }
  }
  return {
    ...(yield* foundWith(found, budget, maxWirings)),
    relation: 'found',
    reason: null,
    nearest: null,
    inversions: found.kind,
    steps: maxSteps - budget.steps,
  }
}

/** What a search without an exact wiring shows; with rows left out the nearest may be the one. */
function missed(nearest: NearestWiring | null, isPartial: boolean): Omit<WiringSearch, 'steps'> {
  const plain = nearest && { wiring: nearest.wiring, differingRows: nearest.differingRows }
  if (isPartial && nearest?.differingRows === 0)
    return { ...NOTHING, relation: 'found', reason: null, inversions: nearest.kind, wirings: [nearest.wiring] }
  return isPartial
    ? { ...NOTHING, relation: 'undecided', reason: 'rows-left-out', nearest: plain }
    : { ...NOTHING, relation: 'none', reason: null, nearest: plain }
}

/** The bounds of a search, filled in and checked. */
export function checkedSearch(
  options: WiringSearchOptions,
  path: string,
): Required<Omit<WiringSearchOptions, 'known' | 'nearest' | keyof WatchOptions>> {
  const given = optionsOf(options, SEARCH_OPTIONS, path)
  const { inversions = 'all', maxSteps = 20_000, maxInputs = 18, maxWirings = 16, known, nearest = true } = given
  oneOf(inversions, `${path}.inversions`, KINDS)
  wholeNumber(maxSteps, `${path}.maxSteps`, [1])
  wholeNumber(maxInputs, `${path}.maxInputs`, [1, 20])
  wholeNumber(maxWirings, `${path}.maxWirings`, [1, 10_000])
  if (known !== undefined) rowBitsOf(known, `${path}.known`)
  oneOf(nearest, `${path}.nearest`, [true, false])
  checkWatch(given, path)
  return { inversions, maxSteps, maxInputs, maxWirings }
}

type Sides = (kind: InversionKind) => { readonly capture: Side; readonly reference: Side }

const allowed = (kind: InversionKind): Inversions => ({ inputs: kind === 'all', outputs: kind !== 'none' })

function* preparedSides(a: PackedTable, b: PackedTable): Pieces<Sides> {
  const [ofA, ofB] = [yield* signatureOf(a), yield* signatureOf(b)]
  return (kind) => ({
    capture: prepareSide(a, ofA, allowed(kind)),
    reference: { table: b, signature: ofB, classes: { inputs: new Int32Array(0), outputs: new Int32Array(0) } },
  })
}

interface Found {
  readonly kind: InversionKind
  readonly capture: Side
  readonly mapping: Mapping
}

function* firstFound(sides: Sides, kinds: readonly InversionKind[], budget: SearchSteps): Pieces<Found | 'none'> {
  for (const kind of kinds) {
    const { capture, reference } = sides(kind)
    yield
    const mapping = yield* findMapping(
      { capture, reference, budget },
      firstColours(capture.signature, allowed(kind)),
      firstColours(reference.signature, allowed(kind)),
    )
    if (mapping) return { kind, capture, mapping }
  }
  return 'none'
}

interface NearestWiring {
  readonly kind: InversionKind
  readonly wiring: FoundWiring
  readonly differingRows: number
}

function* nearestOf(
  sides: Sides,
  kinds: readonly InversionKind[],
  budget: SearchSteps,
): Pieces<NearestWiring | null> {
  let best: NearestWiring | null = null
  for (const kind of kinds) {
    if (best?.differingRows === 0) break
    const hunt = { ...sides(kind), inversions: allowed(kind), budget }
    const miss = yield* nullOn(OutOfSteps, nearestMiss(hunt))
    if (miss && (!best || miss.rows < best.differingRows))
      best = { kind, wiring: wiringOf(miss.mapping), differingRows: miss.rows }
  }
  return best
}

function* foundWith(
  { kind, capture, mapping }: Found,
  budget: SearchSteps,
  maxWirings: number,
): Pieces<Pick<WiringSearch, 'wirings' | 'equivalents' | 'symmetries'>> {
  const symmetries = { inputs: groupsOf(capture.classes.inputs), outputs: groupsOf(capture.classes.outputs) }
  const group = yield* nullOn(OutOfSteps, symmetryGroup(capture, allowed(kind), budget))
  if (!group) return { wirings: [wiringOf(mapping)], equivalents: null, symmetries }
  return {
    wirings: listed(mapping, group.generators, maxWirings).map(wiringOf),
    equivalents: String(group.order),
    symmetries,
  }
}

function wiringOf({ inputs, outputs }: Mapping): FoundWiring {
  return { inputs: inputs.map(columnOf), outputs: outputs.map(columnOf) }
}

function columnOf(literal: number): MatchedColumn {
  return { column: literal >>> 1, inverted: (literal & 1) === 1 }
}

/** Classes of two or more literals; a class and that of the complements are one. */
function groupsOf(classes: Int32Array): MatchedColumn[][] {
  const groups = new Map<number, number[]>()
  classes.forEach((representative, literal) =>
    groups.set(representative, [...(groups.get(representative) ?? []), literal]),
  )
  const seen = new Set<number>()
  return [...groups.values()].flatMap((literals) => {
    if (literals.length < 2 || literals.some((literal) => seen.has(literal >>> 1))) return []
    for (const literal of literals) seen.add(literal >>> 1)
    return [literals.map(columnOf)]
  })
}

interface SymmetryGroup {
  readonly order: bigint
  readonly generators: readonly Mapping[]
}

/**
 * All mappings of a table onto itself. One literal after the other is held; the order is the product of the numbers of
 * literals to which each can go while those before it stay where they are.
 */
function* symmetryGroup(side: Side, inversions: Inversions, budget: SearchSteps): Pieces<SymmetryGroup> {
  const generators: Mapping[] = []
  let order = 1n
  let colours = refined(side.signature, firstColours(side.signature, inversions))
  for (let cell = smallestCell(colours); cell; cell = smallestCell(colours)) {
    const { kind, literal, members } = cell
    let reached = 1n
    for (const other of members) {
      const mapping = other === literal ? null : yield* symmetryTo(side, colours, { kind, literal, other, budget })
      if (!mapping) continue
      generators.push(mapping)
      reached++
    }
    order *= reached
    colours = refined(side.signature, chosen(colours, kind, literal))
  }
  return { order, generators }
}

/** A mapping of the table onto itself that keeps the colours and takes one literal to another. */
function* symmetryTo(
  side: Side,
  colours: Colours,
  {
    kind,
    literal,
    other,
    budget,
  }: { readonly kind: keyof Colours; readonly literal: number; readonly other: number; readonly budget: SearchSteps },
): Pieces<Mapping | null> {
  const classes = side.classes[kind]
  if (classes[literal] === classes[other]) return exchange(side.table, kind, [literal, other])
  return yield* findMapping(
    { capture: side, reference: side, budget },
    chosen(colours, kind, other),
    chosen(colours, kind, literal),
  )
}

function exchange({ inputs, outputs }: PackedTable, kind: keyof Colours, [a, b]: readonly [number, number]): Mapping {
  const plain = (count: number): number[] => Array.from({ length: count }, (_, column) => 2 * column)
  const mapping = { inputs: plain(inputs), outputs: plain(outputs) }
  if (a >>> 1 === b >>> 1) mapping[kind][a >>> 1]! ^= 1
  else [mapping[kind][a >>> 1], mapping[kind][b >>> 1]] = [b ^ (a & 1), a ^ (b & 1)]
  return mapping
}

/** The mapping, then what symmetries make of it, nearest first. */
function listed(mapping: Mapping, generators: readonly Mapping[], limit: number): Mapping[] {
  const known = new Map([[JSON.stringify(mapping), mapping]])
  for (const found of known.values())
    for (const generator of generators) {
      const through = (kind: keyof Mapping): number[] =>
        found[kind].map((literal) => generator[kind][literal >>> 1]! ^ (literal & 1))
      const next = { inputs: through('inputs'), outputs: through('outputs') }
      if (known.size < limit && !known.has(JSON.stringify(next))) known.set(JSON.stringify(next), next)
    }
  return [...known.values()]
}
