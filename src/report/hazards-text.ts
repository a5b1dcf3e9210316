/** Hazards as text for a person. */
import { isRefused } from '../findings/refused'
import { listOf } from '../arguments/arguments'
import type { Hazard, hazardsOf } from '../analyses/hazards'
import type { HazardPlace } from '../analyses/hazard-places'
import { inSigns } from './answer'
import { wrapText } from './layout'
import { checkLook, lookOf, type Look, type TextOptions } from './screen'

/** Pairs of rows that are printed for one hazard: the first shows what to mend, and mending it shows the next. */
const MAX_SHOWN_PLACES = 3

const PART_WORDS: Readonly<Record<Hazard['part'], string>> = {
  value: '',
  enable: 'enable of ',
  clock: 'clock of ',
  reset: 'reset of ',
  preset: 'preset of ',
  load: 'load of ',
}

const KIND_WORDS: Readonly<Record<Hazard['kind'], string>> = {
  'static-1': 'stays 1 and may pulse to 0',
  'static-0': 'stays 0 and may pulse to 1',
  'race-1': 'is 1 and may end at either level',
  'race-0': 'is 0 and may end at either level',
}

const NOT_COMPUTED = 'not computed: the functions grew past the limit'
const NONE = 'none: while one input changes, no signal pulses that stays as it is'

/**
 * The hazards of a logic as lines, or that they were not computed.
 *
 * @param hazards what `hazardsOf` gave
 * @param options width, all, ascii, more
 * @returns lines, grouped by signal
 * @throws TypeError or RangeError that names the argument
 * @example renderHazards([]).split('\n')[0] // 'Hazards'
 */
export function renderHazards(hazards: ReturnType<typeof hazardsOf>, options: TextOptions = {}): string {
  checkLook(options)
  const refused = isRefused(hazards)
  const list = refused ? [] : listOf(hazards, 'hazards', 'what hazardsOf returned')
  const lone = refused ? NOT_COMPUTED : NONE
  if (list.length === 0) return `Hazards\n  ${wrapText(lone, 2, lookOf(options).width)}\n`
  return inSigns(list, options, renderSigned)
}

function renderSigned(hazards: readonly Hazard[], options: TextOptions): string {
  const look = lookOf(options)
  const signals = new Set(hazards.map(({ pin, cell, part }) => `${cell ?? pin} ${part}`)).size
  const head = `Hazards of ${signals} ${signals === 1 ? 'signal' : 'signals'} while one input changes`
  return [head, ...hazards.flatMap((hazard) => hazardLines(hazard, look)), ''].join('\n')
}

function hazardLines({ pin, cell, part, kind, input, from, places, ...counts }: Hazard, { width }: Look): string[] {
  const place = cell ?? `p${pin}`
  const change = `${/^\d/.test(input) ? `p${input}` : input} ${from === null ? 'changes' : from ? 'falls' : 'rises'}`
  const head = `${PART_WORDS[part]}${place} ${KIND_WORDS[kind]} while ${change}`
  const shown = places.slice(0, MAX_SHOWN_PLACES)
  const more = places.length - shown.length
  return [
    `  ${wrapText(`${head} (${counts.combinations} of ${counts.ofCombinations} combinations)`, 4, width)}`,
    ...shown.map((one) => `    ${wrapText(placeText(one), 6, width)}`),
    ...(more > 0 || !counts.complete ? [`    and ${counts.complete ? more : `more than ${more}`} more`] : []),
  ]
}

function placeText({ rows, others, cover }: HazardPlace): string {
  const levels = [
    ...Object.entries(others.inputs).map(([pin, level]) => `p${pin} = ${level}`),
    ...Object.entries(others.state).map(([name, level]) => `q${name} = ${level}`),
    ...Object.entries(others.feedback).map(([pin, level]) => `p${pin} = ${level}`),
  ]
  const where = rows ? `between rows ${rows.low} and ${rows.high}` : 'through other pins'
  const condition = levels.length === 0 ? '' : ` at ${levels.join(', ')}`
  return `${where}${condition}${cover === null ? '' : `; the term ${cover} would cover it`}`
}
