/**
 * Text in, findings out: a circumflex in the fields marks the byte that a finding points at, so that each case shows
 * its positions where they are. All findings of the file are compared, so a case fails on one too many as well.
 */
import { expect } from 'vitest'
import { type ExplainedFile, readExplained } from './read-explained'
import { framed } from './reference'

export interface Case {
  /** Fields between STX and ETX, each place with a finding marked by one circumflex per finding. */
  readonly fields: string
  /** Codes in the order of the circumflexes. */
  readonly placed?: readonly string[]
  /** Codes of findings without a position. */
  readonly unplaced?: readonly string[]
  /** What the file is expected to hold besides. */
  readonly holds?: Partial<ExplainedFile>
}

/** What a file says that states everything: nothing. Cases are made of it by adding and taking away. */
export const SOUND = 'T*QP4*QF16*QV1*G0*F0*X0*L0 1011000111010010*C00D8*V1 01HL*'

/** Places of the circumflexes in the framed file, STX being byte 0. */
function places(fields: string): number[] {
  const found: number[] = []
  for (let i = 0; i < fields.length; i++) if (fields[i] === '^') found.push(1 + i - found.length)
  return found
}

/**
 * Code and offset of every finding, in the order of their places; those without one first. That a file holds no vectors
 * is left out: most of these files hold none.
 */
export function findingsOf(file: ExplainedFile): string[] {
  const at = (offset: number | undefined): number => offset ?? -1
  return file.findings
    .filter(({ code }) => code !== 'vector/none')
    .sort((a, b) => at(a.position?.offset) - at(b.position?.offset) || (a.code < b.code ? -1 : 1))
    .map(({ code, position }) => (position ? `${code} at ${position.offset}` : code))
}

/** Reads the case and compares its findings. Returns the file for further looks. */
export function expectCase({ fields, placed = [], unplaced = [], holds }: Case): ExplainedFile {
  const marks = places(fields)
  const file = readExplained(framed(fields.replaceAll('^', '')))
  const wanted = placed
    .map((code, i) => [marks[i]!, code] as const)
    .sort((a, b) => a[0] - b[0] || (a[1] < b[1] ? -1 : 1))
  expect(marks, 'one circumflex a code').toHaveLength(placed.length)
  expect(findingsOf(file)).toEqual([...[...unplaced].sort(), ...wanted.map(([mark, code]) => `${code} at ${mark}`)])
  if (holds) expect(file).toMatchObject(holds)
  return file
}

/** The fields of a sound file with one change; fails when there is nothing to change. */
export function sound(from: string, to: string): string {
  if (!SOUND.includes(from)) throw new Error(`the sound file holds no ${from}`)
  return SOUND.replace(from, to)
}

/** Codes of the same findings, worst first. */
export function codesOf(file: ExplainedFile): string[] {
  return file.findings.map(({ code }) => code).filter((code) => code !== 'vector/none')
}
