export { counterexampleVectors, counterexampleVectorsInPieces } from './jobs/distinguish/counterexample-vectors'
export type {
  CounterexampleOptions,
  CounterexampleVectors,
  NoCounterexamples,
} from './jobs/distinguish/counterexample-vectors'
export { distinguish, distinguishInPieces } from './jobs/distinguish/distinguish'
export type {
  Distinguished,
  DistinguishOptions,
  NotDistinguished,
  ToldPair,
} from './jobs/distinguish/distinguish'
export { exercise, exerciseInPieces } from './jobs/exercise/exercise'
export type { Exercise, ExerciseOptions } from './jobs/exercise/exercise'
export { grade, gradeInPieces } from './jobs/grade/grade'
export type { FaultCounts, Grade, GradeOptions, MissedFault } from './jobs/grade/grade'
export type { FaultClass } from './jobs/grade/faults'
export type { NotGraded } from './jobs/grade/grade-task'
