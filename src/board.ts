export { adapterTable, examineAdapter, examineAdapterInPieces } from './jobs/board/examine-adapter'
export type {
  AdapterExample,
  AdapterFaults,
  AdapterOptions,
  AdapterOriginal,
  AdapterOutput,
  AdapterReport,
  AdapterRows,
} from './jobs/board/adapter-report'
export type { Repair } from './jobs/board/board-repairs'
export type {
  Board,
  BoardDiode,
  BoardPart,
  BoardResistor,
  DiodeLimits,
  Direction,
  Limits,
  MachineLimits,
  OutsidePin,
} from './jobs/board/board'
export type { Budget, BudgetLine } from './jobs/board/board-budget'
export type { FaultKind, FaultResult } from './jobs/board/board-faults'
export type { PathTime } from './jobs/board/board-paths'
