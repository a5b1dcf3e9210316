export {
  differingFuses,
  createFuseMap,
  fuseAt,
  fuseChecksum,
  fuseDigits,
  fuseMapFrom,
  setFuse,
  uniformState,
} from './fuses/fuse-map'
export type { Bit, FuseMap } from './fuses/fuse-map'
export { findingCatalogue } from './findings/catalogue'
export type {
  Catalogue,
  CatalogueEntry,
  Finding,
  FindingCounts,
  FindingList,
  Position,
  Severity,
  Verdict,
} from './findings/finding'
export { explain } from './jesd3/explain'
export type { Explanation } from './jesd3/explain'
export { readFuseFile } from './jesd3/read-fuse-file'
export type {
  FieldTable,
  Frame,
  FuseFile,
  FuseFileContent,
  FuseRanges,
  FuseSum,
  ReadOptions,
  Span,
  TestVector,
  TransmissionCause,
  TransmissionSum,
  UserData,
} from './jesd3/fuse-file'
export { isComplete } from './jesd3/complete-map'
export { fieldAt, partsOf } from './jesd3/field-at'
export type { Field } from './jesd3/field-at'
export { rewrite, writeFuseFile } from './jesd3/write-fuse-file'
export type { Rewritten, RewriteOptions, WriteOptions } from './jesd3/write-fuse-file'
export { createDiagrams, NodeLimitError, withinLimit } from './logic/diagrams'
export type { DiagramOptions, Diagrams, Node } from './logic/diagrams'
export type { Cube, Expression, Literal, Logic, LogicCell, Register, Signal } from './logic/logic'
export { expressionText } from './logic/notation'
export type { Cause } from './logic/simulation-state'
export { candidatesFor, findDevice, listDevices } from './devices/catalogue'
export { decode } from './devices/decode'
export type { Decoded, DecodedCell, DisabledRow } from './devices/decode'
export type {
  Basis as DataBasis,
  BlockUse,
  Carrier,
  Cell,
  CellSetting,
  Device,
  FuseBlock,
  Mode,
} from './devices/device'
export { deviceErrors, readDevice } from './devices/device-document'
export type { DeviceError } from './devices/device-document'
export { deviceInOrder, fuseOrders } from './devices/fuse-orders'
export type { FuseOrder } from './devices/fuse-orders'
export { roleOf } from './devices/fuse-role'
export type { FuseRole, Role } from './devices/fuse-role'
export type { PlainReading, VectorCounts, VectorSummary } from './jobs/vectors/check-vectors'
export type { Basis } from './jobs/check/identify'
export type {
  PinCheck,
  Reading,
  VectorOutcome,
  VectorPlace,
  VectorResult,
  VectorRun,
  VectorSet,
} from './jobs/vectors/run-vectors'
export { runSteps } from './jobs/steps/run-steps'
export type { RunStepsOptions, SequenceMoment, SequenceRun, SequenceStep, StepCheck } from './jobs/steps/run-steps'
export { analyse } from './analyses/analyse'
export type { Analysis, Loop, OutputFacts, SurplusTerm } from './analyses/analyse'
export { passingLevels } from './analyses/given-change'
export type { GivenChange, PassingLevel } from './analyses/given-change'
export { addedHazards, hazardsOf } from './analyses/hazards'
export type { Hazard, HazardOptions } from './analyses/hazards'
export type { HazardPlace } from './analyses/hazard-places'
export { compareTables } from './jobs/table/compare-tables'
export type { ComparedColumn, TableCompareOptions, TableComparison } from './jobs/table/compare-tables'
export { levelInTable, truthTable } from './jobs/table/truth-table'
export type { TableColumn, TableOptions, TableRefusal, TruthTable } from './jobs/table/truth-table'
export type { FileDifference } from './jobs/compare/compare-files'
export type { ComparedOutput, Counterexample, Pattern } from './jobs/compare/compare-logic'
export type { Aspect } from './jobs/compare/compare-output'
export type { DifferenceCover } from './logic/cover'
export type { DifferenceGroup, FuseDifference } from './jobs/compare/fuse-differences'
export type { PinPairs } from './jobs/compare/pin-pairs'
export type { Pattern as FusePattern } from './jobs/compare/read-back'
export type { Seen } from './jobs/compare/replay'
export type { MachineInputs, MachineResult } from './jobs/compare/state-machines'
export { simulate } from './jobs/vectors/simulate-file'
export type { SimulateOptions } from './jobs/vectors/simulate-file'
export type { AppliedLevel, ExpectedLevel, Step, StepList, WatchedPin } from './jobs/steps/step-list'
export { describe } from './report/describe'
export type { Description, Equations, PinRole } from './report/describe'
export { renderHazards } from './report/hazards-text'
export { renderSequence } from './report/levels'
export type { Report, ReportedDevice, ReportedTransmissionSum } from './jobs/check/report'
export { renderFinding } from './report/layout'
export { renderDescription, renderDevice, renderDevices, renderReport, VERDICT_WORDS } from './report/text'
export { valueChangeDump } from './report/vcd'
export type { DumpOptions } from './report/vcd'
export { verilogModule } from './report/verilog'
export type { VerilogOptions } from './report/verilog'
export { renderComparison } from './report/comparison-text'
export type { Comparison, LocatedDifference, Relation, SecuritySection } from './jobs/compare/comparison'
export { renderTable, tableCsv, tableImage } from './report/table-text'
export type { TableImage } from './report/table-text'
export { compare } from './jobs/compare/compare'
export type { CompareInput, CompareOptions } from './jobs/compare/compare'
export { adapterTable, examineAdapter } from './jobs/board/examine-adapter'
export type {
  AdapterExample,
  AdapterFaults,
  AdapterOptions,
  AdapterOriginal,
  AdapterOutput,
  AdapterReport,
} from './jobs/board/examine-adapter'
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
export { renderAdapter } from './report/adapter-text'
export type { AdapterText } from './report/adapter-text'
export { renderReadings } from './report/readings-text'
export type { ReadingsText } from './report/readings-text'
export { compareReadings } from './jobs/readings/readings'
export type { Cluster, MovingFuse, ReadingsOptions, ReadingsReport } from './jobs/readings/readings'
export { retarget } from './jobs/retarget/retarget'
export type { Retargeted, RetargetOptions } from './jobs/retarget/retarget'
export type { Misfit } from './devices/fit'
export { inspect, verify } from './jobs/check/verify'
export type { Inspection, VerifyOptions } from './jobs/check/verify'
export { combineCaptures, readCapture } from './jobs/capture/capture'
export type { Capture, CaptureReading, CombinedCaptures } from './jobs/capture/capture'
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
export { findWiring } from './jobs/capture/wiring-search'
export type {
  FoundWiring,
  InversionKind,
  MatchedColumn,
  WiringSearch,
  WiringSearchOptions,
} from './jobs/capture/wiring-search'
export type { CaptureReport, ReportedSearch } from './jobs/capture/capture-report'
export { renderCapture } from './report/capture-text'
export { examineCapture } from './jobs/capture/examine-capture'
export type { CaptureOptions } from './jobs/capture/examine-capture'
