/** What the examples of doc comments take as given: the names that `src/README.md` explains. */
import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import type { Board } from '../src/board'
import { readCapture, type WiringDocument } from '../src/capture'
import { check, readFuseFile, verify } from '../src/index'
import { runSteps, tableImage, truthTable, type Decoded, type TruthTable } from '../src/logic'
import { root } from './pages'
import { granted } from './granted'

const bytesAt = (path: string): Uint8Array => readFileSync(join(root, 'vectors', path))

const bytes = bytesAt('demo/tide-gauge-16v8.jed')
const palBytes = bytesAt('published/jesd3a-14l4.jed')
const decoded: Decoded = check(bytes).decoded!
const pal: Decoded = check(palBytes, { device: '14L4' }).decoded!
const wiring: WiringDocument = { address: [1, 2, 3, 4, 5], data: [17, 16, 15, 14] }
const image = (tableImage(truthTable(pal) as TruthTable) as { readonly bytes: Uint8Array }).bytes
const inputs = ['A', 'B', 'C', 'D', 'E']
const board: Board = {
  parts: [{ name: 'U1', file: palBytes, device: '14L4', pins: { 1: 'A', 2: 'B', 3: 'C', 4: 'D', 5: 'E', 16: 'Y' } }],
  outside: [
    ...inputs.map((net, i) => ({ pin: i + 1, net, direction: 'input' as const })),
    { pin: 16, net: 'Y', direction: 'output' },
  ],
}

export const given = {
  bytes,
  palBytes,
  chipBytes: bytesAt('demo/example-one-fuse-flipped.jed'),
  file: readFuseFile(bytes),
  report: verify(bytes),
  decoded,
  logic: decoded.logic!,
  table: truthTable(pal, { outputs: [17] }) as TruthTable,
  run: granted(runSteps(decoded, { steps: [{ set: { 1: 0, 11: 0 }, pulse: [1] }] })),
  image,
  wiring,
  capture: granted(readCapture(image, wiring)).capture!,
  board,
}
