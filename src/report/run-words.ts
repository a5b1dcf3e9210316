/** What a run of steps came to, for texts and pages alike. */
import { describeCauses } from '../jobs/vectors/vector-words'
import type { SequenceRun } from '../jobs/steps/sequence-run'
import { counted } from './answer'

/** How many steps there were, and what became of what was expected. */
export function outcomeWords({ steps, expectations: { held, contradicted, open } }: SequenceRun): string {
  const ran = `${counted(steps.length, 'step')} run`
  const all = held + contradicted + open
  if (all === 0) return `${ran}, nothing was expected`
  const parts = [
    ...(contradicted > 0 ? [`${contradicted} contradicted`] : []),
    ...(open > 0 ? [`${open} open`] : []),
    ...(contradicted + open > 0 && held > 0 ? [`${held} held`] : []),
  ]
  if (parts.length > 0) return `${ran}, of ${counted(all, 'expectation')} ${parts.join(', ')}`
  return `${ran}, ${all === 1 ? 'the one expectation holds' : `all ${all} expectations hold`}`
}

/** A pin with its name, where the steps give it one. */
export function pinWords({ pins }: SequenceRun, pin: number): string {
  const name = pins.find((watched) => watched.pin === pin)?.name
  return name ? `pin ${pin} (${name})` : `pin ${pin}`
}

/** Why a pin is unknown, with the first step at which it is, and at how many. */
export interface UnknownReason {
  readonly pin: string
  readonly causes: string
  readonly first: number
  readonly count: number
}

/** Each reason once. An unknown level that the user applied says so itself. */
export function reasonsOf(run: SequenceRun): readonly UnknownReason[] {
  const reasons = new Map<string, UnknownReason>()
  for (const { number, unknown } of run.steps)
    for (const { pin, reason: place } of unknown) {
      const list = run.reasons[place]!
      if (list.every((cause) => cause.kind === 'input' && cause.pin === pin)) continue
      const [words, causes] = [pinWords(run, pin), describeCauses(list)]
      const key = `${words}: ${causes}`
      const { first, count } = reasons.get(key) ?? { first: number, count: 0 }
      reasons.set(key, { pin: words, causes, first, count: count + 1 })
    }
  return [...reasons.values()]
}
