/** `--html OUT`: a page beside what is printed, written as every new file is. */
import { readFileSync } from 'node:fs'
import { expect, test } from 'vitest'
import { callProgram, type Files } from './call-program'
import { pictureIn, shapesIn } from './report/page-parts'
import { pageErrors } from './report/page-rules'

const vectors = (path: string): Uint8Array => readFileSync(new URL(`../vectors/${path}`, import.meta.url))
/** The output of a 14L4 at pin 16, its five inputs at the pins of their number. */
const board = (pin: string): string =>
  JSON.stringify({
    parts: [{ name: 'U1', file: 'example.jed', device: '14L4', pins: { 1: 'A', 2: 'B', 3: 'C', 4: 'D', 5: 'E', [pin]: 'Y' } }],
    outside: [
      ...[...'ABCDE'].map((net, i) => ({ pin: i + 1, net, direction: 'input' })),
      { pin: 16, net: 'Y', direction: 'output' },
    ],
  })
const FILES: Files = {
  'example.jed': vectors('published/jesd3a-14l4.jed'),
  'gauge.jed': vectors('demo/tide-gauge-16v8.jed'),
  'steps.json': JSON.stringify({ steps: [{ set: { 2: 0 } }, { set: { 2: 1 } }] }),
  'flipped.jed': vectors('demo/example-one-fuse-flipped.jed'),
  // Twelve of 32 addresses differ at pin 17, more than a report lists.
  'table.bin': Uint8Array.from({ length: 32 }, (_, address) => (address < 12 ? 1 : 0)),
  'other.bin': new Uint8Array(32),
  'board.json': board('16'),
  'turned.json': board('17'),
  'wiring.json': JSON.stringify({ address: [1, 2, 3, 4, 5], data: [17, 16, 15, 14] }),
}
const CAPTURE = ['capture', 'table.bin', '--wiring', 'wiring.json', '--against', 'other.bin']

test.each([
  ['check', ['check', 'example.jed'], 0],
  ['check of several files', ['check', 'example.jed', 'flipped.jed'], 1],
  ['run', ['run', 'gauge.jed', '--steps', 'steps.json'], 0],
  ['compare', ['compare', 'example.jed', 'flipped.jed', '--device', '14L4'], 1],
  ['capture', CAPTURE, 1],
  ['adapter', ['adapter', 'board.json'], 0],
  ['adapter against a board', ['adapter', 'turned.json', '--against', 'board.json'], 1],
  ['capture of two images', ['capture', 'table.bin', 'other.bin', '--wiring', 'wiring.json'], 1],
])('%s writes a page, and prints and exits as without', (_, args, code) => {
  const [plain, ran] = [callProgram(args, FILES), callProgram([...args, '--html', 'out.html'], FILES)]
  expect([ran.code, ran.err]).toEqual([code, ''])
  expect(ran.out).toBe(`${plain.out}\nout.html: written.\n`)
  const page = new TextDecoder().decode(ran.written.get('out.html'))
  expect(pageErrors(page)).toEqual([])
  expect(page).toContain(args[1])
})

test('the document of a capture is the same with a page, which marks more rows than it lists', () => {
  const ran = callProgram([...CAPTURE, '--html', 'out.html', '--json'], FILES)
  expect(ran.out).toBe(callProgram([...CAPTURE, '--json'], FILES).out)
  const page = new TextDecoder().decode(ran.written.get('out.html'))
  const picture = pictureIn(page)!
  expect(shapesIn(picture, 'differs')).toHaveLength(12)
  expect(shapesIn(picture, 'on')).toHaveLength(12)
})

test('what to do names the options of the program', () => {
  const { written } = callProgram(['check', 'example.jed', '--html', 'out.html'], FILES)
  expect(new TextDecoder().decode(written.get('out.html'))).toContain(
    'Option: <code class="option">--device</code> PART.',
  )
})

test('two files of one name are refused before any work', () => {
  const ran = callProgram(['check', 'example.jed', '--html', 'out', '--sarif', 'out'], FILES)
  expect([ran.code, ran.out, ran.written.size]).toEqual([2, '', 0])
  expect(ran.err).toBe('fuse-assay: --sarif out is to be written twice; give another name\n')
})

test('a page of a board does not go with its table, and never replaces a file of the board', () => {
  const ran = callProgram(['adapter', 'board.json', '--table', '--html', 'out.html'], FILES)
  expect([ran.code, ran.out, ran.written.size]).toEqual([2, '', 0])
  expect(ran.err).toBe('fuse-assay: --table and --html do not go together\n')
  const over = callProgram(['adapter', 'board.json', '--html', 'example.jed', '--replace'], FILES)
  expect([over.code, over.written.size]).toEqual([2, 0])
  expect(over.err).toContain('would overwrite what is read')
})

test('a name that exists is refused', () => {
  const kind = (name: string): 'file' | 'none' => (name === 'old.html' ? 'file' : 'none')
  const ran = callProgram(['compare', 'example.jed', 'flipped.jed', '--html', 'old.html'], FILES, { kind })
  expect([ran.code, ran.written.size]).toEqual([2, 0])
  expect(ran.err).toContain('--html old.html exists')
})
