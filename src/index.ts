export { differingFuses, createFuseMap, fuseAt, fuseChecksum, fuseDigits, fuseMapFrom, setFuse, uniformState } from './fuses/fuse-map'
export type { Bit, FuseMap } from './fuses/fuse-map'
export { findingCatalogue } from './findings/catalogue'
export type { Catalogue, CatalogueEntry, Finding, FindingCounts, FindingList, Position, Severity, Verdict } from './findings/finding'
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
export { fieldAt, partsOf } from './jesd3/field-at'
export type { Field } from './jesd3/field-at'
export { rewrite, writeFuseFile } from './jesd3/write-fuse-file'
export type { Rewritten, RewriteOptions, WriteOptions } from './jesd3/write-fuse-file'
export type { Cube, Expression, Literal, Logic, Output, Register, Signal } from './logic/logic'
export { expressionText } from './logic/notation'
export type { Cause } from './logic/simulation-state'
export { candidatesFor, findDevice, listDevices } from './devices/catalogue'
export { decode } from './devices/decode'
export type { Decoded, DecodedCell, DisabledRow } from './devices/decode'
export type { Basis as DataBasis, BlockUse, Carrier, Cell, CellSetting, Device, FuseBlock, Mode } from './devices/device'
export { roleOf } from './devices/fuse-role'
export type { FuseRole, Role } from './devices/fuse-role'
export type { PlainReading, VectorCounts, VectorSummary } from './checks/check-vectors'
export type { Basis } from './checks/identify'
export type { PinCheck, Reading, VectorOutcome, VectorPlace, VectorResult, VectorRun, VectorSet } from './checks/run-vectors'
export { simulate } from './checks/simulate-file'
export type { SimulateOptions } from './checks/simulate-file'
export { describe } from './report/describe'
export type { Description, Equations, PinRole } from './report/describe'
export type { Report, ReportedDevice, ReportedTransmissionSum } from './report/report'
export { renderDescription, renderDevice, renderDevices, renderFinding, renderReport } from './report/text'
export { inspect, verify } from './verify'
export type { Inspection, VerifyOptions } from './verify'
