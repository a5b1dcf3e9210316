/** `grade`: what test vectors prove of a map. */
import { renderGrade } from '../report'
import { grade } from '../vectors'
import { choice, deviceOption, onlyFile, printJson, readOrStop, text, textOptions, Usage, type Call } from './call'
import { progressOption } from './progress'
import { withRemedies } from './remedies'

export function gradeFile(call: Call): number {
  const { host, options } = call
  const name = onlyFile(call, 'grade')
  const device = deviceOption(call)
  const start = choice(call, 'start', ['unknown', 'power-up'])
  const other = text(call, 'vectors')
  const most = text(call, 'most')
  if (most !== undefined && !/^\d{1,6}$/.test(most)) throw new Usage(`--most is a whole number, not ${most}`)
  const result = grade(readOrStop(host, name), {
    ...device,
    ...progressOption(call),
    name,
    ...(start ? { start } : {}),
    ...(most === undefined ? {} : { maxMissed: Number(most) }),
    ...(other === undefined ? {} : { vectors: readOrStop(host, other) }),
  })
  if (options['json']) printJson(host, result)
  else host.out(renderGrade(withRemedies(result), textOptions(call)))
  if ('refused' in result) return 1
  return options['strict'] && result.verdict !== 'pass' ? 1 : 0
}
