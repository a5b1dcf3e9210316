/** What there is to say about a swept board, its comparison, its faults and its budget, as findings. */
import { wordMask } from '../../logic/words'
import { countBits } from '../table/compare-tables'
import { hexAddress } from '../table/row-words'
import type { AdapterFaults, AdapterOutput } from './adapter-report'
import type { Budget } from './board-budget'
import { distinctLimits } from './board-electrics'
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
  if (same && offCounted.length > 0) findings.add('adapter/drive-not-shown', {}, { pins: offCounted })
}

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
  if (unnoticed.length > 0)
    findings.add(
      'adapter/faults-unnoticed',
      {},
      {
        count: unnoticed.length,
        total: list.length,
        faults: unnoticed.slice(0, 8).map(({ kind, of }) => ({ kind, of })),
        listed: unnoticed.length > 8 ? 'some' : 'all',
      },
    )
}

/** Which single change makes the board equal. */
export function remarkRepairs(repairs: readonly Repair[], findings: AdapterCollector): void {
  if (repairs.length === 0) return
  findings.add('adapter/one-change', {}, { changes: repairs.map(({ kind, of }) => ({ kind, of })) })
}

/** Limits that are exceeded, and those that are missing. */
export function remarkBudget({ lines, paths }: Budget, findings: AdapterCollector): void {
  const short = (value: number): number => Number(value.toPrecision(3))
  for (const { kind, net, value, limit, unit, result } of lines)
    if (result === 'exceeded')
      findings.add(
        'adapter/budget-exceeded',
        {},
        {
          what: 'net',
          kind,
          net,
          value: short(value!),
          limit: short(limit!),
          unit,
        },
      )
  const slow = paths.filter(({ result }) => result === 'exceeded').sort((a, b) => b.seconds! - a.seconds!)
  const [worst] = slow
  if (worst)
    findings.add(
      'adapter/budget-exceeded',
      { pin: worst.to },
      {
        ...(slow.length > 1 ? { what: 'slowest-way', ways: slow.length } : { what: 'way' }),
        from: worst.from,
        to: worst.to,
        value: short(worst.seconds! * 1e9),
        limit: short(worst.limit! * 1e9),
        unit: 'ns',
      },
    )
  const open = [...lines, ...paths].filter(({ result }) => result === 'not-computed')
  const missing = distinctLimits(open.flatMap((each) => each.missing))
  if (open.length > 0)
    findings.add(
      'adapter/budget-open',
      {},
      { count: open.length, missing: missing.slice(0, 6), listed: missing.length > 6 ? 'some' : 'all' },
    )
}
