/** `run`: steps of the user's own on the part that a file makes. */
import {
  check,
  renderFinding,
  renderSequence,
  runSteps,
  valueChangeDump,
  type Decoded,
  type Report,
  type SequenceRun,
  type StepList,
} from '../index'
import {
  checkedWords,
  deviceOption,
  onlyFile,
  parseJson,
  printJson,
  readOrStop,
  text,
  Usage,
  writeOrStop,
  type Call,
} from './call'

export function runFile(call: Call): number {
  const { host } = call
  const file = onlyFile(call, 'run')
  const { stepsName, vcd } = namesOf(call, file)
  const device = deviceOption(call)
  const document = parseJson(readOrStop(host, stepsName), stepsName)
  const { report, decoded, inspection } = check(readOrStop(host, file), { ...device, name: file })
  if (!decoded?.logic || !inspection.complete) return refuse(call, file, report)
  const run = runOrStop(decoded, document, stepsName)
  if (vcd !== undefined) writeOrStop(host, vcd, valueChangeDump(run))
  if (call.options['json']) printJson(host, documentOf(call, report, run))
  else
    host.out(`${headLines(file, report)}\n${renderSequence(run)}${vcd === undefined ? '' : `\n${vcd}: written.\n`}`)
  const { contradicted, open } = run.expectations
  return contradicted > 0 || (call.options['strict'] && (open > 0 || report.verdict !== 'pass')) ? 1 : 0
}

function namesOf(call: Call, file: string): { readonly stepsName: string; readonly vcd: string | undefined } {
  const stepsName = text(call, 'steps')
  if (!stepsName) throw new Usage('run needs --steps STEPS.json; try fuse-assay --help')
  if (file === '-' && stepsName === '-')
    throw new Usage('standard input can be read only once; name a file for the other')
  const vcd = text(call, 'vcd')
  if (vcd === '' || vcd === '-') throw new Usage('--vcd needs the name of a file to write')
  if (vcd !== undefined && [file, stepsName].some((name) => call.host.same(name, vcd)))
    throw new Usage(`--vcd ${vcd} would overwrite what is read; give another name`)
  return { stepsName, vcd }
}

/** Runs the steps; a mistake in them is told with its path. */
function runOrStop(decoded: Decoded, document: unknown, name: string): SequenceRun {
  try {
    return runSteps(decoded, document as StepList)
  } catch (error) {
    if (error instanceof RangeError || error instanceof TypeError) throw new Usage(`${name}: ${error.message}`)
    throw error
  }
}

function refuse(call: Call, file: string, report: Report): number {
  const { host } = call
  if (call.options['json']) printJson(host, documentOf(call, report, null))
  else
    host.out(
      `${file}: its logic cannot be run.\n${report.findings
        .filter(({ severity }) => severity !== 'note')
        .map(renderFinding)
        .join('\n')}\n`,
    )
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
    run,
    findings,
  }
}

function headLines(file: string, { device, verdict }: Report): string {
  const part = `${file}: ${device!.part}${device!.mode ? `, ${device!.mode} mode` : ''}`
  return verdict === 'pass' ? part : `${part}\n${checkedWords(verdict)}`
}
