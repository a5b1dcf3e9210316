import { expect, test } from 'vitest'
import { listDevices, retarget, writeFuseFile, fuseMapFrom, verify } from '../src/index'
import { encode, TABLES } from './parts/encoder'
import { randomDesign, seededRandom } from './parts/random-designs'
import { writeFileSync } from 'node:fs'
test('x', () => {
  const out: string[] = []
  for (const table of TABLES) {
    if (table.kinds.registered?.clockRow !== undefined) continue
    for (const to of listDevices()) {
      if (to.pinCount !== table.pinCount) continue
      const tally: Record<string, number> = {}
      for (let i = 0; i < 4; i++) {
        const design = randomDesign(table, seededRandom(77 + i))
        const bytes = writeFuseFile({ fuses: fuseMapFrom(encode(design).join('')), pinCount: table.pinCount })
        const t = Date.now()
        const r = retarget(bytes, { device: table.part, to })
        const dt = Date.now() - t
        const key = r.bytes ? `ok ${r.mode} ${r.proof!.relation} ${verify(r.bytes, { device: to }).verdict}` : [...new Set(r.misfits.map((m) => m.reason))].join('+')
        tally[key + (dt > 1000 ? ' SLOW' : '')] = (tally[key] ?? 0) + 1
      }
      out.push(`${table.part} ${table.mode} -> ${to.part}: ${JSON.stringify(tally)}`)
    }
  }
  ;(writeFileSync as any)('/tmp/p6x/matrix.txt', out.join('\n'))
  expect(1).toBe(1)
})
