/** `compare`: whether a read-back, or another file, is what was intended. */
import { check, compare, type Comparison, type CompareOptions } from '../index'
import { comparePage, renderComparison, renderSarif } from '../report'
import {
  argumentMessage,
  choice,
  deviceOption,
  partOption,
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
import { VERSION } from './version'

export function compareFiles(call: Call): number {
  const { files, host } = call
  const [name, otherName, ...more] = files
  if (name === undefined || otherName === undefined || more.length > 0)
    throw new Usage('compare takes two files, INTENDED and READBACK; try fuse-assay --help')
  const options = optionsOf(call)
  const targets = targetOptions(call, 'html', 'sarif')
  const [intended, readback] = [readOrStop(host, name), readOrStop(host, otherName)]
  const comparison = compareOrStop(intended, readback, { ...options, name, otherName })
  const shown = withRemedies(comparison)
  const written = writeTargets(call, targets, {
    html: () => comparePage(shown, { intended: check(intended, deviceOption(call)) }),
    sarif: () => renderSarif(shown, { version: VERSION }),
  })
  if (call.options['json']) printJson(host, comparison)
  else host.out(`${renderComparison(shown, textOptions(call))}${written}`)
  return exitOf(comparison, call.options['strict'] === true)
}

function optionsOf(call: Call): CompareOptions {
  const otherDevice = partOption(call, 'other-device')
  const powerUp = choice(call, 'power-up', ['high', 'low', 'unknown'])
  const otherPowerUp = choice(call, 'other-power-up', ['high', 'low', 'unknown'])
  return {
    ...deviceOption(call),
    ...(otherDevice ? { otherDevice } : {}),
    ...(powerUp ? { powerUp } : {}),
    ...(otherPowerUp ? { otherPowerUp } : {}),
    ...documentOption(call, 'pins', 'pins'),
    ...progressOption(call),
    ...documentOption(call, 'dont-care', 'dontCare'),
  }
}

function documentOption(call: Call, option: string, key: string): object {
  const path = text(call, option)
  return path === undefined ? {} : { [key]: readJson(call.host, path) }
}

/** A mistake in a document of pins or patterns is told in one line. */
function compareOrStop(intended: Uint8Array, readback: Uint8Array, options: CompareOptions): Comparison {
  try {
    return compare(intended, readback, options)
  } catch (error) {
    const message = argumentMessage(error, 'options')
    throw new Usage(message.replace('options.dontCare', '--dont-care').replace('options.', '--'))
  }
}

/** The exit follows the relation; a caution counts only where the relation itself is good. */
function exitOf({ relation, verdict }: Comparison, strict: boolean): number {
  if (relation === 'different') return 1
  if (relation === 'undecided' || relation === 'not-comparable') return 3
  return strict && verdict !== 'pass' ? 1 : 0
}
