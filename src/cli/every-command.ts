/** The whole program: all commands at once. */
import { adapterBoard } from './adapter-command'
import { captureImages } from './capture-command'
import { check } from './check-command'
import { compareFiles } from './compare-command'
import { devices } from './devices-command'
import { distinguishFiles } from './distinguish-command'
import { exerciseFile } from './exercise-command'
import { gradeFile } from './grade-command'
import type { Host } from './host'
import { readingsOf } from './readings-command'
import { retargetFile } from './retarget-command'
import { rewriteFile } from './rewrite-command'
import { runWith, type Command } from './run'
import { runFile } from './run-command'
import { show } from './show-command'
import { tableFile } from './table-command'

/** What each command of the table of commands does. */
const EVERY_COMMAND: Readonly<Record<string, Command>> = {
  check,
  show,
  compare: compareFiles,
  table: tableFile,
  run: runFile,
  rewrite: rewriteFile,
  readings: readingsOf,
  retarget: retargetFile,
  grade: gradeFile,
  exercise: exerciseFile,
  distinguish: distinguishFiles,
  adapter: adapterBoard,
  capture: captureImages,
  devices,
}

/** Runs the program on its arguments and returns the exit code. */
export function run(args: readonly string[], host: Host): number {
  return runWith(args, host, (name) => EVERY_COMMAND[name]!)!
}
