export { grade } from './jobs/grade/grade'
export type { FaultCounts, Grade, GradeOptions, MissedFault } from './jobs/grade/grade'
export type { FaultClass } from './jobs/grade/faults'
export type { NotGraded } from './jobs/grade/grade-task'
