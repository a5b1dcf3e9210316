/** The layout that all texts for a person share: labelled rows, findings, line breaks. */
import { madeBy, wholeNumber } from '../arguments/arguments'
import type { Finding } from '../findings/finding'

/** Columns of a text where none are said: what a terminal had for long. */
export const WIDTH = 80

/** Column at which the text of a row begins. */
const INDENT = 16

/** Runs of numbers in ascending order: the first and the last of each. */
export function runsOf(numbers: readonly number[]): [first: number, last: number][] {
  const runs: [number, number][] = []
  for (const number of numbers) {
    const last = runs.at(-1)
    if (last && last[1] === number - 1) last[1] = number
    else runs.push([number, number])
  }
  return runs
}

/** Numbers in ascending order, runs of three and more as ranges: `1, 2, 4-7`. */
export function rangeWords(numbers: readonly number[]): string {
  const words = ([first, last]: readonly [number, number]): string => {
    if (first === last) return String(first)
    return last - first === 1 ? `${first}, ${last}` : `${first}-${last}`
  }
  return runsOf(numbers).map(words).join(', ')
}

/** Breaks text at blanks; every line after the first is indented. */
export function wrapText(text: string, indent: number, width = WIDTH): string {
  const lines: string[] = []
  let line = ''
  for (const word of text.split(' ')) {
    if (line && indent + line.length + 1 + word.length > width) {
      lines.push(line)
      line = word
    } else line = line ? `${line} ${word}` : word
  }
  return [...lines, line].join(`\n${' '.repeat(indent)}`)
}

/** A row with a label in front. */
export function reportRow(label: string, text: string, width = WIDTH): string {
  return `  ${label.padEnd(INDENT - 3)} ${wrapText(text, INDENT, width)}`
}

/** Most errors and warnings, and most notes, that a person is shown; a machine gets all that are listed. */
export const MOST_SHOWN = { grave: 12, notes: 8 } as const

/** Findings as lines, after an empty one; nothing where there are none. */
export function findingLines(findings: readonly Finding[]): string[] {
  const grave = findings.filter(({ severity }) => severity !== 'note')
  const notes = findings.filter(({ severity }) => severity === 'note')
  const shown = [...grave.slice(0, MOST_SHOWN.grave), ...notes.slice(0, MOST_SHOWN.notes)]
  const more = findings.length - shown.length
  return findings.length === 0
    ? []
    : [
        '',
        ...shown.map((finding) => renderFinding(finding)),
        ...(more ? [`  and ${more} more; the JSON document lists them`] : []),
      ]
}

const FINDING = { keys: ['code', 'severity', 'message', 'hint'], maker: 'a finding' }

/**
 * One finding: severity, place, what it is, what to do.
 *
 * @param finding a finding
 * @param width columns of the text (default 80)
 * @returns lines with severity, message, code, place and hint
 * @throws TypeError for what is no finding
 * @example renderFinding(report.findings[0]!).includes('[device/power-up]') // true
 */
export function renderFinding(finding: Finding, width = WIDTH): string {
  madeBy(finding, 'finding', FINDING)
  wholeNumber(width, 'width', [1])
  const place = findingPlace(finding)
  const head = wrapText(`${finding.message} [${finding.code}]`, 11, width)
  const advice = wrapText(`${place ? `At ${place}. ` : ''}${finding.hint}`, 11, width)
  return `  ${finding.severity.padEnd(8)} ${head}\n           ${advice}`
}

/** Where a finding lies, in words; empty where it is about the whole. */
export function findingPlace({ position, fuse, vector, pin, side }: Finding): string {
  return [
    ...(side === undefined ? [] : [side === 'intended' ? 'the intended file' : 'the read-back']),
    ...(position ? [`line ${position.line}, column ${position.column} (byte ${position.offset})`] : []),
    ...(fuse === undefined ? [] : [`fuse ${fuse}`]),
    ...(vector === undefined ? [] : [`vector ${vector}`]),
    ...(pin === undefined ? [] : [`pin ${pin}`]),
  ].join(', ')
}
