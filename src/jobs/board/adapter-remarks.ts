/** What there is to say about a swept board, its comparison, its faults and its budget, as findings. */
import { wordMask } from '../../logic/words'
import { countBits } from '../table/compare-tables'
import { hexAddress } from '../table/row-words'
import type { AdapterFaults, AdapterOutput } from './adapter-report'
import type { Budget } from './board-budget'
import type { Network } from './board-network'
import type { Repair } from './board-repairs'
import type { SweptBoard } from './board-table'
import { drivenNets, type AdapterCollector } from './board-wiring'
import type { ComparedBoard } from './compare-board'

/** What is remarkable in the rows of a board. */
export function remarkRows(network: Network, { table, remarks }: SweptBoard, findings: AdapterCollector): void {
  const rows = table.rowCount
  const net = (index: number): string => network.netNames[index]!
  for (const fight of remarks.fights)
    findings.add(
      'adapter/contention',
      {},
      { net: net(fight.net), count: fight.rows.count, rows, row: hexAddress(fight.rows.first) },
    )
  for (const fight of remarks.possibleFights)
    findings.add(
      'adapter/contention-possible',
      {},
      { net: net(fight.net), count: fight.rows.count, rows, row: hexAddress(fight.rows.first) },
    )
  const driven = drivenNets(network)
  for (const { part, pin, net: index, rows: all, unknown } of remarks.floating) {
    const shown = unknown ?? all
    if (driven.has(index))
      findings.add(
        unknown ? 'adapter/floating-input' : 'adapter/input-floats',
        {},
        { part, pin, net: net(index), count: shown.count, rows, row: hexAddress(shown.first) },
      )
  }
  table.outputs.forEach(({ pin }, i) => {
    const unknown = table.ones[i]!.map((ones, word) => ones & table.open[i]![word]! & wordMask(rows))
    const count = countBits(unknown)
    if (count > 0) findings.add('adapter/output-unknown', { pin }, { pin, count, rows })
  })
}

/** Rows that were left out, and what the comparison cannot show. */
export function remarkComparison({ rows, offCounted, same }: ComparedBoard, findings: AdapterCollector): void {
  const { misread, dontCare, judged, all } = rows
  if (judged === 0) findings.add('adapter/no-row-judged', {}, { rows: all })
  if (misread + dontCare > 0)
    findings.add('adapter/rows-left-out', {}, { bad: misread, free: dontCare, judged, rows: all })
  if (same && offCounted.length > 0) findings.add('adapter/drive-not-shown', {}, { pins: pinWords(offCounted) })
}

const pinWords = (pins: readonly number[]): string =>
  pins.length === 1 ? `pin ${pins[0]!}` : `pins ${pins.join(', ')}`

/** Which outputs differ. */
export function remarkOutputs(outputs: readonly AdapterOutput[], rows: number, findings: AdapterCollector): void {
  for (const { pin, differingRows, example } of outputs)
    if (example)
      findings.add(
        'adapter/output-differs',
        { pin },
        {
          count: differingRows,
          rows,
          row: hexAddress(example.row),
          board: example.board,
          original: example.original,
        },
      )
}

/** Which faults would not be noticed, and how many were not tried. */
export function remarkFaults({ list, total }: AdapterFaults, findings: AdapterCollector): void {
  if (list.length < total) findings.add('adapter/faults-not-tried', {}, { tried: list.length, total })
  const unnoticed = list.filter(({ result }) => result !== 'noticed')
  const words = unnoticed.slice(0, 8).map(({ kind, of }) => `${of} (${kind.replace('-', ' ')})`)
  if (unnoticed.length > 0)
    findings.add(
      'adapter/faults-unnoticed',
      {},
      {
        count: unnoticed.length,
        total: list.length,
        list: `${words.join(', ')}${unnoticed.length > 8 ? ', …' : ''}`,
      },
    )
}

const REPAIRS: Readonly<Record<Repair['kind'], (of: string) => string>> = {
  'diode-reversed': (of) => `${of} the other way round`,
  'resistor-to-other-rail': (of) => `${of} to the other rail`,
  'resistor-added': (of) => `a resistor from net ${of}`,
  'parts-exchanged': (of) => `the files of ${of} exchanged`,
  'pins-exchanged': (of) => `outside pins ${of} exchanged`,
  'nets-joined': (of) => `nets ${of} joined`,
  'diode-removed': (of) => `${of} left out`,
  'diode-added': (of) => `a diode from ${of}`,
}

/** A change in words: what the board is the same with. */
export function repairWords({ kind, of }: Repair): string {
  return REPAIRS[kind](of)
}

/** Which single change makes the board equal. */
export function remarkRepairs(repairs: readonly Repair[], findings: AdapterCollector): void {
  if (repairs.length === 0) return
  findings.add('adapter/one-change', {}, { change: repairs.map(repairWords).join(', or with ') })
}

/** Limits that are exceeded, and those that are missing. */
export function remarkBudget({ lines, paths }: Budget, findings: AdapterCollector): void {
  const short = (value: number): string => String(Number(value.toPrecision(3)))
  for (const { kind, net, value, limit, unit, result } of lines)
    if (result === 'exceeded')
      findings.add(
        'adapter/budget-exceeded',
        {},
        {
          what: `${kind.replace('-', ' ')} of net ${net}`,
          value: `${short(value!)} ${unit}`,
          limit: `${short(limit!)} ${unit}`,
        },
      )
  const slow = paths.filter(({ result }) => result === 'exceeded').sort((a, b) => b.seconds! - a.seconds!)
  const [worst] = slow
  if (worst)
    findings.add(
      'adapter/budget-exceeded',
      { pin: worst.to },
      {
        what: `time from pin ${worst.from} to pin ${worst.to}, the slowest of ${slow.length} ways between pins that are too slow`,
        value: `${short(worst.seconds! * 1e9)} ns`,
        limit: `${short(worst.limit! * 1e9)} ns`,
      },
    )
  const open = [...lines, ...paths].filter(({ result }) => result === 'not-computed')
  const missing = [...new Set(open.flatMap((each) => each.missing))]
  if (open.length > 0)
    findings.add(
      'adapter/budget-open',
      {},
      { count: open.length, missing: `${missing.slice(0, 6).join(', ')}${missing.length > 6 ? ', …' : ''}` },
    )
}
