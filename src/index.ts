export {
  differingFuses,
  createFuseMap,
  fuseAt,
  fuseChecksum,
  fuseDigits,
  fuseMapFrom,
  fuseMapFromBytes,
  setFuse,
  uniformState,
} from './fuses/fuse-map'
export type { Bit, FuseMap, RawBytes } from './fuses/fuse-map'
export type { SavedBytes } from './fuses/saved-bytes'
export { nearestWords } from './arguments/nearest'
export type { PauseOptions } from './arguments/pieces'
export { AbortError, type AbortLike, type Progress, type WatchOptions } from './arguments/watch'
export { findingCatalogue, findingWords, type FindingCode, type FindingDataOf } from './findings/catalogue'
export type {
  Catalogue,
  CatalogueEntry,
  Finding,
  FindingCounts,
  FindingList,
  FindingWords,
  Position,
  Severity,
  Verdict,
} from './findings/finding'
export type { Refused } from './findings/refused'
export type { FindingData, FindingValue, ItemEntry, Words } from './findings/wording'
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
export { rewrite } from './jesd3/rewrite'
export { writeFuseFile } from './jesd3/write-fuse-file'
export type { NotRewritten, Rewritten, RewriteOptions } from './jesd3/rewrite'
export type { WriteOptions } from './jesd3/write-fuse-file'
export {
  candidatesFor,
  deviceFamilies,
  findDevice,
  listDevices,
  nearestParts,
  type DeviceFamily,
} from './devices/catalogue'
export type {
  BlockUse,
  Carrier,
  Cell,
  CellSetting,
  DataBasis,
  Device,
  FuseBlock,
  Mode,
} from './devices/device'
export { deviceErrors, readDevice } from './devices/device-document'
export type { DeviceError } from './devices/device-document'
export { deviceInOrder, fuseOrders } from './devices/fuse-orders'
export type { FuseOrder } from './devices/fuse-orders'
export type { PlainReading, VectorSummary } from './jobs/vectors/check-vectors'
export type { ReportedBasis } from './jobs/check/judge-parts'
export type {
  PinCheck,
  Reading,
  VectorCounts,
  VectorOutcome,
  VectorPlace,
  VectorResult,
  VectorRun,
  VectorSet,
} from './jobs/vectors/run-vectors'
export type { FileDifference } from './jobs/compare/compare-files'
export type { ComparedOutput } from './jobs/compare/compare-logic'
export type { Counterexample } from './jobs/compare/counterexamples'
export type { RowPattern } from './jobs/compare/dont-care'
export type { Aspect } from './jobs/compare/compare-output'
export type { DifferenceCover } from './logic/cover'
export type { DifferenceGroup, FuseDifference } from './jobs/compare/fuse-differences'
export type { PinPairs } from './jobs/compare/pin-pairs'
export type { FusePattern } from './jobs/compare/read-back'
export type { Seen } from './jobs/compare/replay'
export type { MachineInputs, MachineResult } from './jobs/compare/state-machines'
export { simulate } from './jobs/vectors/simulate-file'
export type { NotSimulated, SimulateOptions } from './jobs/vectors/simulate-file'
export type { Report, ReportedDevice, ReportedTransmissionSum } from './jobs/check/report'
export type { Comparison, LocatedDifference, Relation, SecuritySection } from './jobs/compare/comparison'
export { compare, compareInPieces } from './jobs/compare/compare'
export type { CompareInput, CompareOptions } from './jobs/compare/compare'
export { compareReadings } from './jobs/readings/readings'
export type { Cluster, MovingFuse, ReadingsOptions, ReadingsReport } from './jobs/readings/readings'
export { retarget } from './jobs/retarget/retarget'
export type { NotRetargeted, Retargeted, RetargetOptions } from './jobs/retarget/retarget'
export type { NotCarried } from './jobs/retarget/carried'
export type { Misfit } from './devices/fit-task'
export { inspect } from './inspect/inspect'
export type { InspectInput, InspectOptions } from './inspect/inspect'
export type {
  BlankFacts,
  DecodedInspection,
  DecodedLogic,
  IncompleteInspection,
  Inspection,
  NoModeInspection,
  PartBasis,
  UndecodedInspection,
  UndecodedReason,
} from './inspect/inspection'
export { check, verify } from './jobs/check/verify'
export type { Checked, VerifyOptions } from './jobs/check/verify'
