/** The examples of the help pages: each is run as it stands, and prints the lines that the page shows. */
import { readFileSync } from 'node:fs'
import { expect, test } from 'vitest'
import { COMMANDS } from '../src/cli/commands'
import { fuseMapFrom, writeFuseFile } from '../src/index'
import { boardOf } from './adapter/plain-boards'
import { ADAPTER } from './adapter/two-part-board'
import { callProgram, type Files } from './call-program'
import { encode } from './parts/encoder'

const vectors = (path: string): Uint8Array => readFileSync(new URL(`../vectors/${path}`, import.meta.url))
const EXAMPLE = vectors('published/jesd3a-14l4.jed')
/** An invented inverter: pin 18 is ¬2. */
const GATE = writeFuseFile({
  fuses: fuseMapFrom(
    encode({
      part: '16V8',
      mode: 'complex',
      outputs: [{ pin: 18, kind: 'combinational', activeHigh: true, enable: 'always', terms: [[-2]] }],
    }).join(''),
  ),
})
const WIRING = JSON.stringify({ address: [1, 2, 3, 4, 5], data: [17, 16, 15, 14] })
const STEPS = JSON.stringify({ steps: [{ set: { 2: 0 } }, { set: { 2: 1 } }] })
const BOARD = boardOf(ADAPTER)

/** The files that the examples name. */
const FILES: Files = {
  'tide-gauge-16v8.jed': vectors('demo/tide-gauge-16v8.jed'),
  'example.jed': EXAMPLE,
  'intended.jed': EXAMPLE,
  'readback.jed': EXAMPLE,
  'first.jed': EXAMPLE,
  'second.jed': EXAMPLE,
  'old.jed': EXAMPLE,
  'other.jed': EXAMPLE,
  'new.jed': vectors('demo/example-one-fuse-flipped.jed'),
  'gate.jed': GATE,
  'steps.json': STEPS,
  'wiring.json': WIRING,
  'board.json': JSON.stringify({
    ...BOARD,
    parts: BOARD.parts.map((part) => ({ ...part, file: `${part.name}.jed` })),
  }),
  ...Object.fromEntries(BOARD.parts.map(({ name, file }) => [`${name}.jed`, file as Uint8Array])),
  'table.bin': callProgram(['table', 'example.jed', '--device', '14L4', '--binary', 'table.bin'], {
    'example.jed': EXAMPLE,
  }).written.get('table.bin')!,
}

test.each(Object.entries(COMMANDS))('%s', (_, { example }) => {
  const ran = callProgram(example.call.split(' '), FILES)
  expect([ran.code, ran.err]).toEqual([0, ''])
  const lines = ran.out.split('\n')
  const trimmed = lines.map((line) => line.trim())
  for (const line of example.output) expect(trimmed).toContain(line.trim())
})
