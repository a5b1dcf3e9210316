/** How far long work is, on standard error once a second, where that is a terminal. */
import type { Progress } from '../index'
import type { Call } from './call'

/** Work that ends sooner is not spoken of; after that a line a second. */
const FIRST_AFTER = 2000
const EVERY = 1000

const WORK_WORDS: Readonly<Record<Progress['work'], readonly [doing: string, unit: string]>> = {
  wiring: ['searching the wiring', 'steps'],
  'board-table': ['the table of the board', 'steps'],
  'board-faults': ['single faults of the board', 'steps'],
  'board-changes': ['single changes of the board', 'steps'],
  faults: ['grading', 'faults'],
  vectors: ['making vectors', 'faults shown'],
  states: ['following the states of both parts', 'pairs of states'],
}

/** An option for long work; none where nobody would see it. */
export function progressOption({ host }: Call): { readonly onProgress?: (progress: Progress) => void } {
  const { now, status } = host
  if (!now || !status) return {}
  let next = now() + FIRST_AFTER
  return {
    onProgress: ({ work, done, most }) => {
      const time = now()
      if (time < next) return
      next = time + EVERY
      const [doing, unit] = WORK_WORDS[work]
      status(`fuse-assay: ${doing}: ${done} ${unit}, at most ${most}`)
    },
  }
}
