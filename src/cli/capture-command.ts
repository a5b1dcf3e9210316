/** `capture`: a chip read out like a memory; its quality, and whether it is what a fuse file says. */
import {
  examineCapture,
  namedWirings,
  readWiring,
  readWiringHints,
  type CaptureOptions,
  type CaptureReport,
  type WiringDocument,
} from '../capture'
import { capturePage, renderCapture } from '../report'
import {
  argumentMessage,
  deviceOption,
  printJson,
  readJson,
  readOrStop,
  text,
  textOptions,
  Usage,
  type Call,
} from './call'
import { targetOptions, writeTargets } from './output-file'
import { progressOption } from './progress'
import { withRemedies } from './remedies'

/** Most rows of an output that a page marks one by one: of 16 outputs and 16 inputs they take some 30 MB. */
const MAX_MARKED = 4096
/** Rows of an output that a document lists, with a page or without. */
const MAX_LISTED = 8

function shortList(line: CaptureReport['outputs'][number]): CaptureReport['outputs'][number] {
  return { ...line, firstRows: line.firstRows.slice(0, MAX_LISTED) }
}

export function captureImages(call: Call): number {
  const { files, host } = call
  const [pullUp, pullDown] = [text(call, 'pull-up'), text(call, 'pull-down')]
  if (files.length === 0 && pullUp === undefined)
    throw new Usage('capture takes one IMAGE or several of one chip; try fuse-assay --help')
  if ((pullUp === undefined) !== (pullDown === undefined))
    throw new Usage('--pull-up and --pull-down go together: one image read with each')
  const [against, down] = [text(call, 'against'), text(call, 'down')]
  const targets = targetOptions(call, 'html')
  const options: CaptureOptions = {
    ...wiringOption(call, against),
    ...againstOption(call, against),
    names: files,
    ...progressOption(call),
    ...(pullUp === undefined ? {} : { pullUp: readOrStop(host, pullUp) }),
    ...(pullDown === undefined ? {} : { pullDown: readOrStop(host, pullDown) }),
    ...(down === undefined ? {} : { down: [readOrStop(host, down)], downNames: [down] }),
  }
  if (pullUp !== undefined && (down !== undefined || call.options['find-wiring'] === true))
    throw new Usage('--pull-up and --pull-down go with --wiring, and not with --down')
  const images = files.map((name) => readOrStop(host, name))
  const full = examineCapture(images, targets.length > 0 ? { ...options, maxRows: MAX_MARKED } : options)
  const written = writeTargets(call, targets, { html: () => capturePage(withRemedies(full), { images }) })
  const report = { ...full, outputs: full.outputs.map(shortList) }
  if (call.options['json']) printJson(host, report)
  else host.out(`${renderCapture(withRemedies(report), textOptions(call))}${written}`)
  return exitOf(report, call.options['strict'] === true)
}

function againstOption(call: Call, against: string | undefined): Partial<CaptureOptions> {
  const device = deviceOption(call)
  if (against === undefined && (device.device || device.fuseOrder !== undefined))
    throw new Usage('--device and --fuse-order say what the file of --against is; name that file')
  return against === undefined ? {} : { ...device, against: readOrStop(call.host, against), againstName: against }
}

/** The wiring of --wiring, or with --find-wiring what it says that is known besides. */
function wiringOption(call: Call, against: string | undefined): Pick<CaptureOptions, 'wiring' | 'search'> {
  const name = text(call, 'wiring')
  const searching = call.options['find-wiring'] === true
  if (!searching && name === undefined)
    throw new Usage('capture needs --wiring W.json, or --find-wiring with --against; try fuse-assay --help')
  if (searching && against === undefined)
    throw new Usage('--find-wiring needs --against FILE: what the lines are to be found in')
  if (name === undefined) return { search: {} }
  const isNamed = !searching && namedWirings().some((each) => each.name === name)
  const document = isNamed ? name : readJson(call.host, name)
  try {
    return searching ? { search: readWiringHints(document) } : { wiring: readWiring(document) as WiringDocument }
  } catch (error) {
    const message = argumentMessage(error, 'wiring', 'search', 'hints')
    throw new Usage(`${isNamed ? '' : `${name}: `}${message}${searching ? ' (with --find-wiring)' : ''}`)
  }
}

/** The exit follows the relation; without one, errors count. */
function exitOf({ relation, verdict }: CaptureReport, strict: boolean): number {
  if (relation === 'different') return 1
  if (relation === 'undecided' || relation === 'not-comparable') return 3
  return (relation === null && verdict === 'fail') || (strict && verdict !== 'pass') ? 1 : 0
}
