/** `exercise`: a file with vectors that show every fuse fault that can be shown. */
import { renderExercise } from '../report'
import { exercise } from '../vectors'
import { choice, deviceOption, onlyFile, printJson, readOrStop, textOptions, Usage, type Call } from './call'
import { targetOption, writeTarget } from './output-file'
import { progressOption } from './progress'
import { withRemedies } from './remedies'

export function exerciseFile(call: Call): number {
  const { host, options } = call
  const name = onlyFile(call, 'exercise')
  const target = targetOption(call, 'out')
  if (!target) throw new Usage('exercise needs --out NEW, the name of a file')
  const start = choice(call, 'start', ['unknown', 'power-up'])
  const result = exercise(readOrStop(host, name), {
    ...deviceOption(call),
    ...progressOption(call),
    name,
    ...(start ? { start } : {}),
  })
  if ('refused' in result) {
    if (options['json']) printJson(host, { ...result, out: null })
    else host.out(renderExercise(withRemedies(result), textOptions(call)))
    return 1
  }
  const { bytes, ...rest } = result
  writeTarget(call, target, bytes)
  if (options['json']) printJson(host, { ...rest, out: target.path })
  else host.out(`${target.path}: written.\n${renderExercise(withRemedies(result), textOptions(call))}`)
  return options['strict'] && result.verdict !== 'pass' ? 1 : 0
}
