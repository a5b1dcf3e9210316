/** Many checked files on a screen: a line a file, the worst first, totals, and which maps are alike. */
import type { Report, Verdict } from '../index'
import { asciiText, textColumns } from '../report'
import type { UnreadFile } from './check-one-file'
import { equalMaps, type CheckedFile, type EqualMaps } from './equal-maps'

/** How an overview is laid out. */
interface OverviewOptions {
  readonly ascii?: boolean | undefined
  /** Columns of the terminal. */
  readonly width?: number | undefined
  /** Most pairs of maps that are compared. */
  readonly maxPairs?: number
}

const ORDER: readonly Verdict[] = ['fail', 'caution', 'pass']

export function renderOverview(
  files: readonly CheckedFile[],
  unread: readonly UnreadFile[],
  { ascii = false, width, maxPairs }: OverviewOptions = {},
): string {
  const columns = textColumns(width)
  // The reasons are lined up behind the longest name that leaves them half of the line.
  const nameWidth = Math.min(columns >> 1, Math.max(...[...files, ...unread].map(({ name }) => name.length)))
  const shown = (reason: string): string => (ascii ? asciiText(reason) : reason)
  const look = { columns, cut: ascii ? '...' : '…' }
  const lines = [
    ...unread.map(({ name, reason }) => fileLine('unread', name.padEnd(nameWidth), shown(reason), look)),
    ...ORDER.flatMap((verdict) =>
      files
        .filter(({ checked }) => checked.report.verdict === verdict)
        .map(({ name, checked }) => fileLine(verdict, name.padEnd(nameWidth), shown(reasonOf(checked.report)), look)),
    ),
  ]
  return [...lines, '', totals(files, unread), ...alikeLines(equalMaps(files, maxPairs)), ''].join('\n')
}

/** A name stays whole, so that it can be pasted; the reason is cut where the line ends. */
function fileLine(
  word: string,
  name: string,
  reason: string,
  { columns, cut }: { readonly columns: number; readonly cut: string },
): string {
  const line = `${word.padEnd(7)}  ${name}  ${reason}`.trimEnd()
  if (line.length <= columns) return line
  const lead = `${word.padEnd(7)}  ${name}`.trimEnd()
  const room = columns - cut.length
  return lead.length + 2 >= room ? lead : `${line.slice(0, room).trimEnd()}${cut}`
}

/** The first finding of the verdict's own severity; of a pass, the part. */
function reasonOf({ verdict, findings, device, candidates, fuseCount }: Report): string {
  const severity = { fail: 'error', caution: 'warning', pass: null }[verdict]
  const first = findings.find((finding) => finding.severity === severity)
  if (first) return first.message
  const part = device ? device.part + (device.mode ? `, ${device.mode} mode` : '') : candidates.join(' or ')
  return part || `${fuseCount} fuses`
}

function totals(files: readonly CheckedFile[], unread: readonly UnreadFile[]): string {
  const counts = ORDER.map(
    (verdict) => [verdict, files.filter(({ checked }) => checked.report.verdict === verdict).length] as const,
  )
  const words = [...counts, ['unread', unread.length] as const].flatMap(([word, count]) =>
    count === 0 ? [] : [`${count} ${word}`],
  )
  const count = files.length + unread.length
  return `${count} ${count === 1 ? 'file' : 'files'}: ${words.join(', ')}`
}

const pairs = (count: number): string => `${count} ${count === 1 ? 'pair' : 'pairs'}`

function alikeLines({ same, equal, compared, left }: EqualMaps): string[] {
  return [
    ...same.flatMap((names) => ['', 'the same fuses:', ...names.map((name) => `  ${name}`)]),
    ...equal.flatMap(({ part, names }) => [
      '',
      `other fuses, logic proved equal as a ${part}:`,
      ...names.map((name) => `  ${name}`),
    ]),
    ...(left === 0
      ? []
      : [
          '',
          `${pairs(compared)} of maps of one part ${compared === 1 ? 'was' : 'were'} compared, which is the bound; ${pairs(left)} ${left === 1 ? 'was' : 'were'} not`,
        ]),
  ]
}
