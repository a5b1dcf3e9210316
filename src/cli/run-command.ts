/** `run`: steps of the user's own on the part that a file makes. */
import { check, type Report } from '../index'
import { runSteps, valueChangeDump, type Decoded, type SequenceRun, type StepList } from '../logic'
import { renderRefusal, renderSequence, runPage } from '../report'
import {
  checkedWords,
  argumentMessage,
  deviceOption,
  NO_LOGIC,
  onlyFile,
  printJson,
  readJson,
  readOrStop,
  text,
  textOptions,
  Usage,
  type Call,
} from './call'
import { withRemedies } from './remedies'
import { targetOptions, writeTargets, type Target } from './output-file'

export function runFile(call: Call): number {
  const { host } = call
  const file = onlyFile(call, 'run')
  const { stepsName, targets } = namesOf(call)
  const device = deviceOption(call)
  const document = readJson(host, stepsName)
  const { report, decoded, inspection } = check(readOrStop(host, file), { ...device, name: file })
  if (!decoded?.logic || !inspection.complete) return refuse(call, report)
  const run = runOrStop(decoded, document, stepsName)
  if ('refused' in run) return refuse(call, report)
  const name = nameWords(file, report)
  const written = writeTargets(call, targets, {
    html: () => runPage(run, { name, report: withRemedies(report) }),
    vcd: () => valueChangeDump(run),
  })
  if (call.options['json']) printJson(host, documentOf(call, report, run))
  else host.out(`${renderSequence(run, { ...textOptions(call), name })}${written}`)
  const { contradicted, open } = run.expectations
  return contradicted > 0 || (call.options['strict'] && (open > 0 || report.verdict !== 'pass')) ? 1 : 0
}

function namesOf(call: Call): { readonly stepsName: string; readonly targets: readonly Target[] } {
  const stepsName = text(call, 'steps')
  if (!stepsName) throw new Usage('run needs --steps STEPS.json; try fuse-assay --help')
  return { stepsName, targets: targetOptions(call, 'html', 'vcd') }
}

/** Runs the steps; a mistake in them is told with its path. */
function runOrStop(decoded: Decoded, document: unknown, name: string): ReturnType<typeof runSteps> {
  try {
    return runSteps(decoded, document as StepList)
  } catch (error) {
    throw new Usage(`${name}: ${argumentMessage(error, 'stepList')}`)
  }
}

function refuse(call: Call, report: Report): number {
  const { host } = call
  if (call.options['json']) printJson(host, documentOf(call, report, null))
  else host.out(renderRefusal(withRemedies(report), 'its logic cannot be run', textOptions(call)))
  return 1
}

/** What `--json` prints; `run` and `vcd` are null where nothing was run. */
function documentOf(call: Call, { file, verdict, candidates, findings }: Report, run: SequenceRun | null): object {
  return {
    file,
    verdict,
    candidates,
    steps: text(call, 'steps'),
    vcd: (run && text(call, 'vcd')) ?? null,
    ...(run ? {} : NO_LOGIC),
    run,
    findings,
  }
}

/** What the steps ran on, and what is wrong with its file where it is no pass. */
function nameWords(file: string, { device, verdict }: Report): string {
  const part = `${file}, a ${device!.part}${device!.mode ? ` in ${device!.mode} mode` : ''}`
  return verdict === 'pass' ? part : `${part} (${checkedWords(verdict)})`
}
