/** Hazards as text for a person. */
import { isRefused } from '../findings/refused'
import { listOf } from '../arguments/arguments'
import type { Hazard, hazardsOf } from '../analyses/hazards'
import type { HazardPlace } from '../analyses/hazard-places'
import { counted, inSigns, moreWords } from './answer'
import { wrapText } from './layout'
import { checkLook, lookOf, oneLine, type Look, type TextOptions } from './screen'

/** Pairs of rows that the long form prints for one hazard: mending the first shows the next. */
const MAX_SHOWN_PLACES = 3

/** Hazards that a screen has room for: two or three lines each. */
const MAX_SHOWN_HAZARDS = 6

/** Column at which a hazard's place begins. */
const PLACE_INDENT = 4

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
  const signals = [...new Set(hazards.map(signalOf))]
  const head = `Hazards of ${counted(signals.length, 'signal')} while one input changes`
  const shown = hazards.slice(0, look.all ? Infinity : MAX_SHOWN_HAZARDS)
  const left = hazards.length - shown.length
  return [
    left === 0 ? head : wrapText(`${head}: ${signals.join(', ')}`, 2, look.width),
    ...shown.flatMap((hazard) => hazardLines(hazard, look)),
    ...(left === 0 ? [] : [`  ${moreWords(left, ['hazard', 'hazards'], look)}`]),
    '',
  ].join('\n')
}

/** The signal that may pulse. */
function signalOf({ pin, cell, part }: Hazard): string {
  return `${PART_WORDS[part]}${cell ?? `p${pin}`}`
}

function hazardLines(hazard: Hazard, look: Look): string[] {
  const { width, all } = look
  const { kind, input, from, places, ...counts } = hazard
  const change = `${/^\d/.test(input) ? `p${input}` : input} ${from === null ? 'changes' : from ? 'falls' : 'rises'}`
  const head = `${signalOf(hazard)} ${KIND_WORDS[kind]} while ${change}`
  const shown = places.slice(0, all ? MAX_SHOWN_PLACES : 1)
  const more = places.length - shown.length
  return [
    `  ${wrapText(`${head} (${counts.combinations} of ${counts.ofCombinations} combinations)`, 4, width)}`,
    ...shown.map((one) => `    ${placeLine(one, look)}`),
    ...(more > 0 || !counts.complete ? [`    and ${counts.complete ? more : `more than ${more}`} more`] : []),
  ]
}

/** A place in full, or as much of it as a line holds: what would mend it rather than all levels. */
function placeLine(place: HazardPlace, { width, all }: Look): string {
  const [where, levels, cover] = placeWords(place)
  const whole = `${where}${levels}${cover}`
  if (all) return wrapText(whole, PLACE_INDENT + 2, width)
  const room = width - PLACE_INDENT
  return oneLine(whole.length <= room ? whole : `${where}${cover}${levels}`, room)
}

function placeWords({ rows, others, cover }: HazardPlace): [where: string, levels: string, cover: string] {
  const levels = [
    ...Object.entries(others.inputs).map(([pin, level]) => `p${pin} = ${level}`),
    ...Object.entries(others.state).map(([name, level]) => `q${name} = ${level}`),
    ...Object.entries(others.feedback).map(([pin, level]) => `p${pin} = ${level} (fed back)`),
  ]
  return [
    rows ? `between rows ${rows.low} and ${rows.high}` : 'through other pins',
    levels.length === 0 ? '' : ` at ${levels.join(', ')}`,
    cover === null ? '' : `; the term ${cover} would cover it`,
  ]
}
