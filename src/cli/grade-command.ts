/** `grade`: what test vectors prove of a map. */
import { renderGrade } from '../report'
import { grade } from '../vectors'
import { choice, deviceOption, onlyFile, printJson, readOrStop, text, textOptions, type Call } from './call'
import { progressOption } from './progress'
import { withRemedies } from './remedies'

export function gradeFile(call: Call): number {
  const { host, options } = call
  const name = onlyFile(call, 'grade')
  const device = deviceOption(call)
  const start = choice(call, 'start', ['unknown', 'power-up'])
  const other = text(call, 'vectors')
  const result = grade(readOrStop(host, name), {
    ...device,
    ...progressOption(call),
    name,
    ...(start ? { start } : {}),
    ...(other === undefined ? {} : { vectors: readOrStop(host, other) }),
  })
  if (options['json']) printJson(host, result)
  else host.out(renderGrade(withRemedies(result), textOptions(call)))
  if ('reason' in result) return 1
  return options['strict'] && result.verdict !== 'pass' ? 1 : 0
}
