/** What importing an entry of the built package alone costs: a whole process, against one that imports nothing. */
import { spawnSync } from 'node:child_process'
import { ENTRY_NAMES } from '../package-sizes.mjs'
import { ratioOf } from '../timing.mjs'

const BUILT = new URL('../../../dist/', import.meta.url)

function importing(entries) {
  const code = entries.map((name) => `await import(${JSON.stringify(String(new URL(`${name}.js`, BUILT)))})`).join(';')
  const { status, stderr } = spawnSync(process.execPath, ['--input-type=module', '-e', code], { encoding: 'utf8' })
  if (status !== 0) throw new Error(`exit ${status}: ${stderr}`)
  return status
}

const against = (entries) => ratioOf(() => importing(entries), () => importing([]), { pairs: 21 })

export const loadTime = [
  ...ENTRY_NAMES.map((name) => ({
    name: `importing the entry ${name} alone, against an empty Node process`,
    unit: 'ratio',
    goal: 1.3,
    sense: 'at most',
    measure: () => against([name]),
  })),
  {
    name: 'importing every entry, against an empty Node process',
    unit: 'ratio',
    goal: 1.6,
    sense: 'at most',
    measure: () => against(ENTRY_NAMES),
  },
]
