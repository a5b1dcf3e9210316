/** The table at the end of a run: a row an entry point, 80 columns wide. */
import type { Tally } from './try-inputs'

const LEGEND = [
  'threw: inputs that ended in an exception; wrong: answers that break a rule;',
  'ms: time of the processor for the slowest input, which --seed makes again;',
  'bytes, characters: the largest input and the largest answer.',
]

const HEAD = ['entry point', 'inputs', 'threw', 'wrong', 'ms', '--seed', 'bytes', 'characters']

/** Widths of the columns, of which the longest name takes the first. */
const WIDTHS = [19, 7, 5, 5, 6, 9, 7, 10]

const rowOf = (cells: readonly string[]): string =>
  cells.map((cell, i) => (i === 0 ? cell.padEnd(WIDTHS[i]!) : cell.padStart(WIDTHS[i]!))).join(' ')

export function tableOf(tallies: readonly Tally[]): string[] {
  const sum = (key: 'tried' | 'threw' | 'wrong'): string =>
    String(tallies.reduce((total, tally) => total + tally[key], 0))
  const rows = tallies.map(({ name, tried, threw, wrong, slowest, slowestSeed, largestInput, largestAnswer }) => [
    name,
    ...[tried, threw, wrong, Math.round(slowest), slowestSeed, largestInput, largestAnswer].map(String),
  ])
  const all = ['all', sum('tried'), sum('threw'), sum('wrong')]
  return [...LEGEND, '', ...[HEAD, ...rows, all].map(rowOf)]
}
