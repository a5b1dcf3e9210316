/** Files that hold the same fuses, and files whose fuses differ and whose logic is proved equal. */
import { compare, differingFuses, type Checked, type Comparison, type FuseMap } from '../index'

/** A file as it was checked. */
export interface CheckedFile {
  readonly name: string
  readonly checked: Checked
}

export interface EqualMaps {
  /** Names of files with the same fuses, two or more together. */
  readonly same: readonly (readonly string[])[]
  /** Names of files of one part, two or more together: one of each set of the same fuses. */
  readonly equal: readonly { readonly part: string; readonly names: readonly string[] }[]
  /** Pairs that were compared, and pairs that were left out at the bound. */
  readonly compared: number
  readonly left: number
}

/** Most pairs that are compared: 200 of small designs took a second, one of full 22V10s takes up to half a second. */
const MAX_PAIRS = 500

export function equalMaps(files: readonly CheckedFile[], maxPairs = MAX_PAIRS): EqualMaps {
  const sets = sameFuses(files)
  const parts = [...byPart(sets.map(([first]) => first!))].map(([part, members]) => membersOf(part, members))
  const counts = { compared: 0, left: 0 }
  const longest = Math.max(0, ...parts.map(({ members }) => members.length))
  for (let distance = 1; distance < longest; distance++)
    for (const part of parts) compareAt(part, distance, { counts, maxPairs })
  return {
    same: sets.filter((set) => set.length > 1).map((set) => set.map(({ name }) => name)),
    equal: parts.flatMap(provedGroups),
    ...counts,
  }
}

/** Every file with a whole map in one set, those of the same fuses together. */
function sameFuses(files: readonly CheckedFile[]): CheckedFile[][] {
  const bySum = new Map<string, CheckedFile[][]>()
  const all: CheckedFile[][] = []
  for (const file of files) {
    const map = wholeMap(file)
    if (!map) continue
    const key = `${map.length} ${file.checked.report.checksums.fuse.computed}`
    const known = bySum.get(key) ?? []
    const set = known.find(([first]) => differingFuses(wholeMap(first!)!, map, 1).count === 0)
    if (set) set.push(file)
    else {
      const made = [file]
      all.push(made)
      bySum.set(key, [...known, made])
    }
  }
  return all
}

function wholeMap({ checked: { inspection } }: CheckedFile): FuseMap | null {
  return inspection.complete ? inspection.file.fuses : null
}

/** Files whose part is certain and has logic, by its name. */
function byPart(files: readonly CheckedFile[]): Map<string, CheckedFile[]> {
  const parts = new Map<string, CheckedFile[]>()
  for (const file of files) {
    const { inspection } = file.checked
    if (inspection.kind !== 'decoded') continue
    const { part } = inspection.decoded.device
    parts.set(part, [...(parts.get(part) ?? []), file])
  }
  return parts
}

/** Files of one part; those with the same number in `group` are proved equal. */
interface Members {
  readonly part: string
  readonly members: readonly CheckedFile[]
  readonly group: number[]
}

function membersOf(part: string, members: readonly CheckedFile[]): Members {
  return { part, members, group: members.map((_, i) => i) }
}

interface PairBudget {
  readonly counts: { compared: number; left: number }
  readonly maxPairs: number
}

/** Pairs that stand so far apart; neighbours come first, since names that follow one another are often revisions. */
function compareAt({ members, group }: Members, distance: number, { counts, maxPairs }: PairBudget): void {
  for (let i = 0; i + distance < members.length; i++) {
    const [a, b] = [group[i]!, group[i + distance]!]
    if (a === b) continue
    if (counts.compared === maxPairs) counts.left++
    else {
      counts.compared++
      if (isProved(members[i]!, members[i + distance]!)) group.forEach((of, k) => of === b && (group[k] = a))
    }
  }
}

function provedGroups({ part, members, group }: Members): { readonly part: string; readonly names: string[] }[] {
  const numbers = group.filter((of, k) => group.indexOf(of) === k)
  return numbers
    .map((of) => ({ part, names: members.filter((_, k) => group[k] === of).map(({ name }) => name) }))
    .filter(({ names }) => names.length > 1)
}

/** Equal without a condition: one that holds from a certain start only is left to `compare`. */
function isProved(a: CheckedFile, b: CheckedFile): boolean {
  const { relation, findings } = compare(a.checked.inspection, b.checked.inspection)
  return relation === 'equivalent' && !findings.some(isCondition)
}

function isCondition({ severity, side }: Comparison['findings'][number]): boolean {
  return severity !== 'note' && side === undefined
}
