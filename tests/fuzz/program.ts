/** The program in this process, over files held in memory: no stack trace, an exit code that follows, clean output. */
import { readFileSync } from 'node:fs'
import { callProgram } from '../call-program'
import { seeded, type Random } from '../jesd3/reference'
import { boardDocument, stepsDocument, wiringDocument, type Json } from './documents'
import { encoded, roughened, type EntryPoint } from './entry-point'
import { anyFile, DECODED_PARTS, mapFile, pairOfFiles } from './files'
import { brokenText } from './invariants'

const text = (path: string): Json =>
  JSON.parse(readFileSync(new URL(`../../vectors/demo/adapter/${path}`, import.meta.url), 'utf8')) as Json
const BOARD = text('board.json')

const name = (i: number): string => `${i}.jed`
const flags = (random: Random, names: readonly string[]): string[] => names.filter(() => random.below(3) === 0)
const device = (random: Random): string[] =>
  random.below(2) ? ['--device', random.pick(['16V8', '14L4', '22V10', '16R4', '82S100'])] : []

interface Judged {
  readonly verdict?: string
  readonly relation?: string | null
}

/** An exit code that does not follow from the document: of commands that judge, the others exit 0 when they are done. */
function brokenExit(code: number, out: string, words: readonly string[]): string | null {
  const document = JSON.parse(out) as Judged | readonly Judged[]
  if (!['check', 'compare', 'capture', 'adapter'].includes(words[0]!)) return null
  const isStrict = words.includes('--strict')
  const { verdict, relation } = 'length' in document ? {} : document
  if (relation) {
    const open = relation === 'undecided' || relation === 'not-comparable'
    const wanted = open ? 3 : relation === 'different' ? 1 : isStrict && verdict !== 'pass' ? 1 : 0
    return code === wanted ? null : `exit ${code} with ${relation}`
  }
  if (verdict === 'fail' && code === 0) return 'exit 0 with a fail'
  if (verdict === 'pass' && code === 1) return 'exit 1 with a pass'
  if (verdict === 'caution' && code !== (isStrict ? 1 : 0)) return `exit ${code} with a caution`
  return null
}

/** An entry point that calls the program with `args` over `contents` as 0.jed, 1.jed, and so on. */
function program(make: EntryPoint['make'], args: (random: Random, contents: readonly Uint8Array[]) => string[]): EntryPoint {
  return {
    make,
    check({ contents, choice }, answered) {
      const words = args(seeded(choice), contents)
      const { code, out, err } = callProgram(words, Object.fromEntries(contents.map((bytes, i) => [name(i), bytes])))
      answered(out)
      if (![0, 1, 2, 3].includes(code)) return `exit ${code}`
      if (out.length > 4_000_000) return `${out.length} characters of output`
      const isUsage = code === 2 && out === ''
      if (isUsage && !/^fuse-assay: [^\n]+\n$/.test(err)) return `exit 2 with ${JSON.stringify(err.slice(0, 200))}`
      if (/undefined|\[object |\bNaN\b/.test(err)) return `says ${err}`
      const broken = brokenText(out, 'standard output') ?? brokenText(err, 'standard error')
      if (broken || !words.includes('--json') || isUsage || out === '') return broken
      return brokenExit(code, out, words)
    },
  }
}

export const PROGRAM: Readonly<Record<string, EntryPoint>> = {
  'program check': program(
    (random) => [anyFile(random), anyFile(random)],
    (random) => ['check', name(0), ...(random.below(3) ? [] : [name(1)]), ...device(random), ...flags(random, ['--json', '--strict', '--all', '--ascii'])],
  ),
  'program show': program(
    (random) => [random.below(2) ? mapFile(random) : anyFile(random)],
    (random) => ['show', name(0), ...device(random), ...random.pick([[], ['--verilog'], ['--hazards'], ['--json']])],
  ),
  'program compare': program(pairOfFiles, (random) => ['compare', name(0), name(1), ...device(random), ...flags(random, ['--json', '--strict'])]),
  'program rewrite': program(
    (random) => [anyFile(random)],
    (random) => ['rewrite', name(0), '--out', 'new.jed', ...flags(random, ['--json'])],
  ),
  'program table': program(
    (random) => [mapFile(random)],
    (random) => ['table', name(0), '--outputs', String(1 + random.below(24)), ...device(random), ...flags(random, ['--json'])],
  ),
  'program run': program(
    (random) => [mapFile(random), encoded(roughened(stepsDocument(random), random))],
    (random) => ['run', name(0), '--steps', name(1), ...flags(random, ['--json'])],
  ),
  'program grade': program(
    (random) => [anyFile(random), anyFile(random)],
    (random) => [
      'grade', name(0), ...device(random), ...(random.below(3) ? [] : ['--vectors', name(1)]),
      ...random.pick([[], ['--most', '3'], ['--start', 'power-up']]), ...flags(random, ['--json', '--strict']),
    ],
  ),
  'program exercise': program(
    (random) => [random.below(4) ? smallMap(random) : anyFile(random)],
    (random) => ['exercise', name(0), '--device', '14L4', '--out', 'new.jed', ...flags(random, ['--json', '--strict'])],
  ),
  'program distinguish': program(
    (random) => [smallMap(random), random.below(4) ? smallMap(random) : anyFile(random)],
    (random) => ['distinguish', name(0), name(1), '--device', '14L4', '--out', 'new.jed', ...flags(random, ['--json'])],
  ),
  'program capture': program(
    (random) => {
      const lines = 1 + random.below(6)
      const image = new Uint8Array(random.below(8) ? 2 ** lines : random.below(70)).map(() => random.below(256))
      return [image, encoded(roughened(wiringDocument(random, lines), random)), mapFile(random)]
    },
    (random) => ['capture', name(0), '--wiring', name(1), ...(random.below(2) ? ['--against', name(2)] : []), ...flags(random, ['--json', '--strict'])],
  ),
  'program adapter': program(
    (random) => {
      const document = random.below(80) === 1 ? shortNames(BOARD) : boardDocument(random)
      return [mapFile(random), anyFile(random), encoded(roughened(document, random))]
    },
    (random) => ['adapter', name(2), ...flags(random, ['--json', '--strict'])],
  ),
}

/** A map of a part without registers: making vectors for others takes seconds. */
function smallMap(random: Random): Uint8Array {
  return mapFile(random, DECODED_PARTS.find(({ part }) => part === '14L4'))
}

/** The demonstration board, with a file that stands in its place. */
function shortNames(board: Json): Json {
  return JSON.parse(JSON.stringify(board).replaceAll('page-decoder-16v8.jed', name(0))) as Json
}
