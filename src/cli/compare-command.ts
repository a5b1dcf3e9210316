/** `compare`: whether a read-back, or another file, is what was intended. */
import { check, compare, type Comparison, type CompareOptions } from '../index'
import { comparePage, renderComparison, renderSarif } from '../report'
import { counterexampleVectors, type CounterexampleVectors, type NoCounterexamples } from '../vectors'
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
import { targetOptions, writeTarget, writeTargets, type Target } from './output-file'
import { progressOption } from './progress'
import { withRemedies } from './remedies'
import { VERSION } from './version'

export function compareFiles(call: Call): number {
  const { files, host } = call
  const [name, otherName, ...more] = files
  if (name === undefined || otherName === undefined || more.length > 0)
    throw new Usage('compare takes two files, INTENDED and READBACK; try fuse-assay --help')
  const options = optionsOf(call)
  const targets = targetOptions(call, 'html', 'sarif', 'vectors')
  const vectorTarget = targets.find(({ option }) => option === 'vectors')
  if (vectorTarget) refuseOtherPins(call)
  const [intended, readback] = [readOrStop(host, name), readOrStop(host, otherName)]
  const comparison = compareOrStop(intended, readback, { ...options, name, otherName })
  const shown = withRemedies(comparison)
  const pages = targets.filter((target) => target !== vectorTarget)
  const written = writeTargets(call, pages, {
    html: () => comparePage(shown, { intended: check(intended, deviceOption(call)) }),
    sarif: () => renderSarif(shown, { version: VERSION }),
  })
  const vectors = vectorTarget && writeVectors(call, vectorTarget, { intended, readback, comparison })
  if (call.options['json']) printJson(host, vectors ? { ...comparison, vectors } : comparison)
  else {
    const told = vectors ? `\n${vectorWords(vectors)}\n` : ''
    const alone = host.same(name, otherName) ? `\n${ONE_FILE}\n` : ''
    host.out(`${renderComparison(shown, textOptions(call))}${written}${told}${alone}`)
  }
  return exitOf(comparison, call.options['strict'] === true)
}

/** A file is like itself: a name typed twice confirms no chip. */
const ONE_FILE = 'Both names lead to one file: nothing is confirmed by this.\nCompare it with the read-back.'

/** Vectors go to one socket: both maps are taken as the one part, pin by pin, under all inputs. */
function refuseOtherPins(call: Call): void {
  const other = ['other-device', 'pins', 'dont-care'].find((option) => call.options[option] !== undefined)
  if (other) throw new Usage(`--vectors takes both files as one part, under all inputs; leave out --${other}`)
}

/** What became of the vectors that were asked for. */
type Vectors =
  | (Omit<CounterexampleVectors, 'bytes'> & { readonly out: string })
  | { readonly out: null; readonly count: 0; readonly why: NoCounterexamples['reason'] | 'not-comparable' }

/** Writes the vectors; nothing where there are none. */
function writeVectors(
  call: Call,
  target: Target,
  files: { readonly intended: Uint8Array; readonly readback: Uint8Array; readonly comparison: Comparison },
): Vectors {
  const { intended, readback, comparison } = files
  if (comparison.relation === 'not-comparable') return { out: null, count: 0, why: 'not-comparable' }
  const options = { ...deviceOption(call), ...progressOption(call), ...startOption(call) }
  const made = counterexampleVectors(intended, readback, options)
  if ('refused' in made) return { out: null, count: 0, why: made.reason }
  const { bytes, ...rest } = made
  writeTarget(call, target, bytes)
  return { out: target.path, ...rest }
}

/** Where a state after power-up is stated, vectors must hold from any other too: a chip may not be of that series. */
function startOption({ options }: Call): { readonly start?: 'unknown' } {
  const isStated = ['power-up', 'other-power-up'].some((option) => options[option] !== undefined)
  return isStated ? { start: 'unknown' } : {}
}

const WHY: Readonly<Record<Extract<Vectors, { readonly out: null }>['why'], string>> = {
  equal: 'both maps do the same',
  'not-found': 'no vector was found that shows the difference for certain',
  'not-comparable': 'the files are not comparable',
  'no-logic': 'the logic of a file is not known',
  incomplete: 'a fuse of a file has no state',
  'vectors-do-not-fit': 'the vectors of a file are for another package',
  'parts-differ': 'the files are for two parts',
  'not-trusted': 'the fuses of the intended file cannot be trusted',
}

function vectorWords(vectors: Vectors): string {
  if (vectors.out === null) return `No vectors written: ${WHY[vectors.why]}.`
  const { out, count, start, shown, notShown } = vectors
  const pins = (list: readonly number[]): string => `${list.length === 1 ? 'pin' : 'pins'} ${list.join(', ')}`
  const from = start === 'power-up' ? ' after power-up' : ''
  return [
    `${out}: written, ${count} ${count === 1 ? 'vector' : 'vectors'}.`,
    `A chip with the intended map passes${from}, one with the other fails at ${pins(shown.map(({ pin }) => pin))}.`,
    ...(notShown.length > 0 ? [`No vector shows what differs at ${pins(notShown)}.`] : []),
  ].join('\n')
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
