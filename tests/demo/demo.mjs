/** Walks through the program on the files of vectors/: each step prints its command and the program's own output. */
import { spawnSync } from 'node:child_process'
import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'

const root = fileURLToPath(new URL('../..', import.meta.url))
const scratch = mkdtempSync(join(tmpdir(), 'fuse-assay-'))
const EXAMPLE = 'vectors/published/jesd3a-14l4.jed'

const steps = [
  [
    'The complete file that JEDEC Standard 3-A prints, reconstructed. A 14H4 has as many fuses, so the part is stated.',
    ['check', EXAMPLE, '--device', '14L4'],
  ],
  ['Without the part, its test vectors tell the two apart; that is evidence, and so a caution.', ['check', EXAMPLE]],
  [
    'One fuse digit flipped: both sums are off, one vector is contradicted, and the sums say which digits it can be.',
    ['check', 'vectors/demo/example-one-fuse-flipped.jed', '--device', '14L4'],
  ],
  [
    'Line ends changed on the way: the transmission sum is off, the fuses are whole.',
    ['check', 'vectors/demo/example-line-ends-changed.jed', '--device', '14L4'],
  ],
  [
    'The same file written anew for a programmer that refuses it: both sums right, fuses unchanged.',
    ['rewrite', 'vectors/demo/example-line-ends-changed.jed', '--out', join(scratch, 'rewritten.jed')],
  ],
  ['Cut in half.', ['check', 'vectors/demo/example-cut-in-half.jed', '--device', '14L4']],
  [
    'A 16V8 for an instrument that does not exist (invented for this demonstration).',
    ['check', 'vectors/demo/tide-gauge-16v8.jed'],
  ],
  ['What that 16V8 does.', ['show', 'vectors/demo/tide-gauge-16v8.jed']],
  [
    'A read-back with one fuse off, against what was meant: which output, in which case, in how many of all cases.',
    ['compare', EXAMPLE, 'vectors/demo/example-one-fuse-flipped.jed', '--device', '14L4'],
  ],
  [
    'The example as a map for a 16V8, with the proof that it does the same.',
    ['retarget', EXAMPLE, '--device', '14L4', '--to', '16V8', '--out', join(scratch, 'moved.jed')],
  ],
  [
    'The same proof once more, from the two files: other part, other fuses, equal logic.',
    ['compare', EXAMPLE, join(scratch, 'moved.jed'), '--device', '14L4', '--other-device', '16V8'],
  ],
  ['One output of it as a truth table.', ['table', EXAMPLE, '--device', '14L4', '--outputs', '17']],
  [
    'A board for a logic array that is gone (invented): one 16V8 has ten inputs left, so that eight diodes make one signal of eight inputs. All 65,536 rows.',
    [
      'adapter',
      'vectors/demo/adapter/board.json',
      '--against',
      'vectors/demo/adapter/page-decoder-original.jed',
      '--device',
      '82S100',
      '--fuse-order',
      'term-by-term',
    ],
  ],
  [
    'The same board with the diode D3 the wrong way round.',
    ['adapter', 'vectors/demo/adapter/board-diode-reversed.json', '--against', 'vectors/demo/adapter/board.json'],
  ],
]

for (const [remark, args] of steps) {
  const run = spawnSync(process.execPath, [join(root, 'dist/cli.cjs'), ...args], { cwd: root, encoding: 'utf8' })
  console.log(
    `# ${remark}\n$ fuse-assay ${args.join(' ').replace(scratch, 'NEW-FOLDER')}\n${run.stdout.replaceAll(scratch, 'NEW-FOLDER')}${run.stderr}(exit ${run.status})\n`,
  )
}
rmSync(scratch, { recursive: true })
