export { combineCaptures, readCapture } from './jobs/capture/capture'
export type { Capture, CaptureRead, CombinedCaptures, NotACapture } from './jobs/capture/capture'
export { tableOddities } from './jobs/capture/capture-quality'
export type { TableOddities } from './jobs/capture/capture-quality'
export type { TriedOrder } from './jobs/capture/capture-orders'
export { compareCapture } from './jobs/capture/compare-capture'
export type {
  CaptureCompareOptions,
  CaptureComparison,
  ComparedLine,
  DifferingRow,
} from './jobs/capture/compare-capture'
export { namedWirings, readWiring, readWiringHints } from './jobs/capture/wiring'
export type { Wire, Wiring, WiringDocument, WiringHints } from './jobs/capture/wiring'
export { findWiring, findWiringInPieces } from './jobs/capture/wiring-search'
export type {
  FoundWiring,
  InversionKind,
  MatchedColumn,
  WiringSearch,
  WiringSearchOptions,
} from './jobs/capture/wiring-search'
export type { CaptureReport, ReportedSearch } from './jobs/capture/capture-report'
export { examineCapture, examineCaptureInPieces } from './jobs/capture/examine-capture'
export type { CaptureOptions } from './jobs/capture/capture-input'
