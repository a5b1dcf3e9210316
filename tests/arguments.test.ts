/**
 * Wrong use of every exported function: it throws TypeError or RangeError with a message that begins with the path of
 * the argument, and nothing else.
 */
import { readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import { examineAdapter } from '../src/board'
import { examineCapture, readCapture } from '../src/capture'
import {
  check,
  compare,
  compareReadings,
  createFuseMap,
  findDevice,
  readFuseFile,
  retarget,
  rewrite,
} from '../src/index'
import {
  describe as describePart,
  hazardsOf,
  runSteps,
  tableImage,
  truthTable,
  type StepList,
  type TruthTable,
} from '../src/logic'
import { distinguish, exercise, grade } from '../src/vectors'
import { boardOf, passive } from './adapter/plain-boards'
import { granted } from './granted'

/** Values of every kind, by the name of the kind. */
const KINDS = {
  null: null,
  none: undefined,
  number: -1,
  fraction: 0.5,
  text: 'no such thing',
  flag: true,
  object: {},
  list: [],
  buffer: new ArrayBuffer(4),
  words: new Uint16Array(4),
  function: () => 0,
}
type Kind = keyof typeof KINDS

/** One argument: a good value, and the kinds of values that are good as well or mean something else than wrong use. */
interface Argument {
  readonly name: string
  readonly good: unknown
  readonly takes?: readonly Kind[]
  /** What its messages begin with where that is not its name. */
  readonly path?: RegExp
  /** For options: values of each that are wrong. */
  readonly wrong?: Readonly<Record<string, readonly unknown[]>>
}

const COUNT = [null, '8', -1, 0.5, NaN, Infinity, {}]
const CHOICE = [null, 'no such thing', 8, {}, []]
const TEXT = [null, 8, {}, []]
const FLAG = [null, 'yes', 8, {}]
const WATCH = { onProgress: [null, 8, {}], signal: [null, 8, {}, { aborted: 'no' }] }
const LOOK = { width: COUNT, all: FLAG, ascii: FLAG, more: TEXT }
const PART = [null, 8, 'no such part', {}, []]
const ORDER = [null, 8, 'no such order', {}]
const LIST = [null, 8, 'x', {}]
const BYTES = [null, 8, {}, new ArrayBuffer(8)]
const READ = { maxFuses: COUNT, maxVectors: COUNT, maxFindings: COUNT }
const INSPECT = { ...READ, device: PART, fuseOrder: ORDER }
const POWER = { powerUp: CHOICE }

const bytes = new Uint8Array(readFileSync(new URL('../vectors/published/jesd3a-14l4.jed', import.meta.url)))
const file = readFuseFile(bytes)
const map = createFuseMap(8)
const device = findDevice('14L4')!
const { decoded: found, report } = check(bytes, { device: '14L4' })
const decoded = found!
const table = truthTable(decoded) as TruthTable
const wiring = { address: [1, 2, 3, 4, 5], data: [17, 16, 15, 14] }
const image = (tableImage(table) as { readonly bytes: Uint8Array }).bytes
const capture = granted(readCapture(image, wiring)).capture!
const board = boardOf(passive({ inputs: [[1, 'a']], outputs: [[2, 'a']] }))
const steps: StepList = { steps: [{ set: { 1: 0 } }] }

const aMap: Argument = { name: 'map', good: map }
const aFile: Argument = { name: 'file', good: file }
const anInput: Argument = { name: 'input', good: bytes, takes: ['text'] }
const aTable: Argument = { name: 'table', good: table }
const aPart: Argument = { name: 'decoded', good: decoded }
const options = (wrong: Argument['wrong'], good: object = {}): Argument => ({
  name: 'options',
  good,
  takes: 'to' in good || 'length' in good || 'wiring' in good ? [] : ['none', 'object'],
  wrong: wrong!,
})

const COMPARING = {
  ...INSPECT,
  ...POWER,
  otherDevice: PART,
  otherPowerUp: CHOICE,
  pins: [null, 8, [], { x: 1 }, { 1: 0 }],
  dontCare: [...LIST, [null], [{ x: 0 }], [{ 1: 2 }]],
  maxNodes: COUNT,
  maxStates: COUNT,
  maxDifferences: COUNT,
  name: TEXT,
  otherName: TEXT,
  ...WATCH,
}

const EXAMINING = {
  against: [...LIST, { file: 8 }, { image }, { table: {} }, { board: {} }],
  off: CHOICE,
  maxInputs: COUNT,
  maxSteps: COUNT,
  maxFindings: COUNT,
  faults: FLAG,
  name: TEXT,
  ...WATCH,
}

const SEARCHING: Argument['wrong'] = {
  inversions: CHOICE,
  maxSteps: COUNT,
  maxInputs: COUNT,
  maxWirings: COUNT,
  known: LIST,
  nearest: FLAG,
  ...WATCH,
}

const CAPTURING: Argument['wrong'] = {
  against: BYTES,
  device: PART,
  fuseOrder: ORDER,
  names: [8, {}, [8]],
  downNames: [8, {}, [8]],
  againstName: TEXT,
  maxRows: COUNT,
  maxFindings: COUNT,
  down: [8, {}, [8]],
  pullUp: BYTES,
  pullDown: BYTES,
  searchOptions: [null, 8, { maxSteps: -1 }],
  ...WATCH,
}

const GRADING = {
  ...INSPECT,
  vectors: BYTES,
  start: CHOICE,
  maxMissed: COUNT,
  maxNodes: [...COUNT, 1],
  maxSteps: [...COUNT, 0],
  name: TEXT,
  ...WATCH,
}

const MAKING = {
  ...INSPECT,
  start: CHOICE,
  maxMissed: COUNT,
  maxNodes: [...COUNT, 1],
  maxVectors: [...COUNT, 0],
  maxSteps: [...COUNT, 0],
  name: TEXT,
  ...WATCH,
}

const SHOWING = { ...INSPECT, start: CHOICE, maxVectors: [...COUNT, 0], maxSteps: [...COUNT, 0], ...WATCH }
const TELLING = { ...SHOWING, names: [...LIST, [8]] }

/** Options of work with pauses; one of them is needed. */
const inPieces = (wrong: Argument['wrong'], good: object = {}): Argument => ({
  name: 'options',
  good: { ...good, pause: () => undefined },
  wrong: { ...wrong, pause: [null, undefined, 8, {}] },
})

/** The arguments of every exported function; `null` for one that has none or takes everything. */
const CALLS: Readonly<Record<string, readonly Argument[] | null>> = {
  // fuse maps
  createFuseMap: [
    { name: 'length', good: 8 },
    { name: 'fill', good: 0, takes: ['none'] },
  ],
  fuseMapFrom: [{ name: 'digits', good: '01' }],
  fuseMapFromBytes: [
    { name: 'bytes', good: new Uint8Array(1) },
    options({ length: [...COUNT, undefined], bitOrder: CHOICE, header: COUNT }, { length: 8 }),
  ],
  fuseAt: [aMap, { name: 'index', good: 0 }],
  setFuse: [aMap, { name: 'index', good: 0 }, { name: 'state', good: 0 }],
  fuseChecksum: [aMap],
  fuseDigits: [aMap, { name: 'first', good: 0, takes: ['none'] }, { name: 'count', good: 8, takes: ['none'] }],
  uniformState: [aMap],
  differingFuses: [
    { name: 'a', good: map },
    { name: 'b', good: map },
    { name: 'limit', good: 8, takes: ['none', 'fraction'] },
  ],
  // files
  readFuseFile: [anInput, options({ ...READ, assumedFuseCount: COUNT })],
  writeFuseFile: [{ ...aFile, takes: ['object'] }, options({ lineEnds: CHOICE, rowLength: COUNT })],
  rewrite: [aFile, options({ lineEnds: CHOICE, security: CHOICE })],
  explain: [aFile],
  isComplete: [aFile],
  fieldAt: [aFile, { name: 'index', good: 0 }],
  partsOf: [aFile],
  // catalogues
  findingCatalogue: null,
  findingWords: [
    { name: 'code', good: 'file/cut-short' },
    { name: 'data', good: { where: '' }, takes: ['object'] },
  ],
  listDevices: null,
  deviceFamilies: null,
  nearestParts: [{ name: 'name', good: '16V8', takes: ['text'] }],
  nearestWords: [
    { name: 'word', good: 'a', takes: ['text'] },
    { name: 'known', good: ['a'], takes: ['list'] },
  ],
  findDevice: [{ name: 'name', good: '16V8', takes: ['text'] }],
  candidatesFor: [{ name: 'size', good: { fuseCount: 448, pinCount: null } }],
  fuseOrders: [{ name: 'part', good: '82S100', takes: ['text'] }],
  deviceInOrder: [
    { name: 'part', good: '82S100' },
    { name: 'order', good: 'term-by-term' },
  ],
  deviceErrors: null,
  readDevice: [{ name: 'data', good: device }],
  // jobs
  inspect: [anInput, options(INSPECT)],
  check: [anInput, options({ ...INSPECT, vectors: BYTES, name: TEXT, vectorsName: TEXT })],
  verify: [anInput, options({ ...INSPECT, vectors: BYTES, name: TEXT, vectorsName: TEXT })],
  simulate: [
    { name: 'file', good: file, takes: ['text'] },
    options(
      {
        device: PART,
        fuseOrder: ORDER,
        vectors: BYTES,
        x: ['0', 2, {}],
        registers: CHOICE,
        order: CHOICE,
      },
      { device: '14L4' },
    ),
  ],
  compare: [
    { ...anInput, name: 'intended' },
    { ...anInput, name: 'readback' },
    options(COMPARING),
  ],
  compareInPieces: [
    { ...anInput, name: 'intended' },
    { ...anInput, name: 'readback' },
    inPieces(COMPARING),
  ],
  compareReadings: [{ name: 'reads', good: [bytes, bytes] }, options({ device: PART, names: [...LIST, [8]] })],
  // vectors
  grade: [
    anInput,
    options(GRADING),
  ],
  gradeInPieces: [
    anInput,
    inPieces(GRADING),
  ],
  exercise: [
    anInput,
    options(MAKING),
  ],
  exerciseInPieces: [
    anInput,
    inPieces(MAKING),
  ],
  distinguish: [
    { name: 'maps', good: [bytes, bytes] },
    options(TELLING),
  ],
  distinguishInPieces: [
    { name: 'maps', good: [bytes, bytes] },
    inPieces(TELLING),
  ],
  counterexampleVectors: [
    { ...anInput, name: 'intended' },
    { ...anInput, name: 'readback' },
    options(SHOWING),
  ],
  counterexampleVectorsInPieces: [
    { ...anInput, name: 'intended' },
    { ...anInput, name: 'readback' },
    inPieces(SHOWING),
  ],
  retarget: [anInput, options({ ...POWER, device: PART, to: [...PART, undefined], name: TEXT }, { to: '16V8' })],
  // logic
  createDiagrams: [{ name: 'variableCount', good: 2 }, options({ maxNodes: COUNT })],
  withinLimit: [{ name: 'work', good: () => 0, takes: ['function'] }],
  NodeLimitError: null,
  AbortError: null,
  expressionText: [
    { name: 'logic', good: decoded.logic },
    { name: 'expression', good: decoded.logic!.cells[0]!.value },
  ],
  decode: [
    { name: 'device', good: device },
    { name: 'fuses', good: file.fuses },
  ],
  roleOf: [aPart, { name: 'fuse', good: 0 }],
  describe: [aPart],
  hazardsOf: [{ name: 'logic', good: decoded.logic }, options({ maxNodes: COUNT })],
  addedHazards: [
    { name: 'first', good: decoded.logic },
    { name: 'second', good: decoded.logic },
    options({ maxNodes: COUNT }),
  ],
  passingLevels: [
    { name: 'logic', good: decoded.logic },
    { name: 'change', good: { from: { 1: 0 }, to: { 1: 1 } } },
  ],
  analyse: [{ name: 'logic', good: decoded.logic }, options({ maxNodes: COUNT })],
  truthTable: [
    aPart,
    options({
      inputs: [...LIST, [99], [1, 1], ['1']],
      outputs: [...LIST, [99], [17, 17]],
      held: [null, 8, [], { 99: 0 }, { 1: 2 }],
      maxInputs: COUNT,
    }),
  ],
  levelInTable: [aTable, { name: 'output', good: 0 }, { name: 'row', good: 0 }],
  compareTables: [
    { name: 'intended', good: table },
    { name: 'other', good: table },
    options({ ignore: LIST, ignoreByOutput: [...LIST, [8]], maxRows: COUNT, describe: FLAG }),
  ],
  tableCsv: [aTable],
  tableImage: [aTable, options({ off: ['0', 2, {}] })],
  runSteps: [
    aPart,
    { name: 'stepList', good: steps, path: /^stepList[ .]/ },
    options({ maxSteps: COUNT }),
  ],
  valueChangeDump: [{ name: 'run', good: granted(runSteps(decoded, steps)) }, options({ module: [...TEXT, '8', 'wire'] })],
  verilogModule: [aPart, options({ name: [...TEXT, '8', 'wire'] })],
  // captures
  namedWirings: null,
  readWiring: [{ name: 'wiring', good: wiring, path: /^wiring(\.\w+)?[: ]/ }],
  readWiringHints: [{ name: 'hints', good: {}, takes: ['object'], path: /^wiring(\.\w+)?[: ]/ }],
  readCapture: [
    { name: 'image', good: image },
    { name: 'wiring', good: wiring, path: /^wiring(\.\w+)?[: ]/ },
  ],
  combineCaptures: [
    { name: 'up', good: [capture] },
    { name: 'down', good: [], takes: ['none', 'list'] },
  ],
  tableOddities: [aTable, { name: 'judged', good: undefined, takes: ['none'] }],
  compareCapture: [
    { name: 'capture', good: capture },
    { name: 'expected', good: table },
    options({ off: [...LIST, [8]], maxRows: COUNT, describe: FLAG }),
  ],
  findWiring: [
    { name: 'capture', good: table },
    { name: 'reference', good: table },
    options(SEARCHING),
  ],
  findWiringInPieces: [
    { name: 'capture', good: table },
    { name: 'reference', good: table },
    inPieces(SEARCHING),
  ],
  examineCapture: [
    { name: 'images', good: image },
    options(CAPTURING, { wiring }),
  ],
  examineCaptureInPieces: [
    { name: 'images', good: image },
    inPieces(CAPTURING, { wiring }),
  ],
  // boards
  examineAdapter: [
    { name: 'board', good: board },
    options(EXAMINING),
  ],
  examineAdapterInPieces: [
    { name: 'board', good: board },
    inPieces(EXAMINING),
  ],
  adapterTable: [{ name: 'board', good: board }, options({ maxInputs: COUNT, maxSteps: COUNT, ...WATCH })],
  // reports
  VERDICT_WORDS: null,
  renderFinding: [
    { name: 'finding', good: report.findings[0] },
    { name: 'width', good: 80, takes: ['none'] },
  ],
  asciiText: [{ name: 'text', good: 'p1 ∧ p2', takes: ['text'] }],
  textColumns: [{ name: 'width', good: 80, takes: ['none'] }],
  renderReport: [{ name: 'report', good: report }, options(LOOK)],
  renderDescription: [
    { name: 'description', good: describePart(decoded) },
    { name: 'report', good: report },
    options(LOOK),
  ],
  renderDevice: [{ name: 'device', good: device }, options(LOOK)],
  renderDevices: [{ name: 'families', good: [{ title: 'one', devices: [device] }], takes: ['list'] }, options(LOOK)],
  renderHazards: [{ name: 'hazards', good: granted(hazardsOf(decoded.logic!)), takes: ['list'] }, options(LOOK)],
  renderComparison: [{ name: 'comparison', good: compare(bytes, bytes) }, options(LOOK)],
  renderSarif: [
    { name: 'results', good: report, takes: ['list'] },
    options({ version: TEXT, unread: LIST }),
  ],
  checkPage: [{ name: 'checked', good: check(bytes), takes: ['list'] }],
  comparePage: [{ name: 'comparison', good: compare(bytes, bytes) }, options({ intended: LIST })],
  adapterPage: [
    { name: 'report', good: examineAdapter(board) },
    options({ board: [...LIST, [], { parts: 8 }, { ...board, outside: [] }] }),
  ],
  capturePage: [
    { name: 'report', good: examineCapture(image, { wiring }) },
    options({ images: [...LIST, [null], [8], [image, image], [new Uint8Array(8)]] }),
  ],
  runPage: [{ name: 'run', good: granted(runSteps(decoded, steps)) }, options({ name: TEXT, report: LIST })],
  renderTable: [aTable, options({ maxRows: COUNT })],
  renderSequence: [{ name: 'run', good: granted(runSteps(decoded, steps)) }, options({ ...LOOK, name: TEXT })],
  renderReadings: [{ name: 'report', good: compareReadings([bytes, bytes]) }, options(LOOK)],
  renderCapture: [{ name: 'report', good: examineCapture(image, { wiring }) }, options(LOOK)],
  renderAdapter: [{ name: 'report', good: examineAdapter(board) }, options(LOOK)],
  renderGrade: [{ name: 'result', good: grade(bytes, { device: '14L4' }) }, options(LOOK)],
  renderExercise: [{ name: 'result', good: exercise(bytes, { device: '14L4' }) }, options(LOOK)],
  renderDistinguished: [{ name: 'result', good: distinguish([bytes, bytes], { device: '14L4' }) }, options(LOOK)],
  renderRefusal: [{ name: 'report', good: report }, { name: 'what', good: 'no table', takes: ['text'] }, options(LOOK)],
  renderRetargeted: [
    { name: 'result', good: granted(retarget(bytes, { device: '14L4', to: '16V8' })) },
    { name: 'names', good: { from: 'a', to: 'b' } },
    options(LOOK),
  ],
  renderRewritten: [
    { name: 'result', good: granted(rewrite(file)) },
    { name: 'names', good: { from: 'a', to: 'b', fuseCount: 448 } },
    options(LOOK),
  ],
}

const entries = import.meta.glob('../src/*.ts', { eager: true }) as Readonly<Record<string, Record<string, unknown>>>
const exported = Object.assign({}, ...Object.values(entries)) as Readonly<Record<string, unknown>>

test('every exported value is listed here', () => {
  expect(Object.keys(exported).sort()).toEqual(Object.keys(CALLS).sort())
})

/** What calling gave: what is wrong with it, or null where it was refused as it should be. */
async function complaint(name: string, args: readonly unknown[], path: RegExp): Promise<string | null> {
  try {
    await (exported[name] as (...given: readonly unknown[]) => unknown)(...args)
    return 'was taken'
  } catch (error) {
    if (!(error instanceof TypeError || error instanceof RangeError)) return `threw ${String(error)}`
    return path.test(error.message) ? null : `said “${error.message}”`
  }
}

describe.each(Object.entries(CALLS).flatMap(([name, args]) => (args ? [{ name, args }] : [])))(
  '$name',
  ({ name, args }) => {
    const good = args.map((argument) => argument.good)
    const withOne = (at: number, value: unknown): unknown[] => good.map((each, i) => (i === at ? value : each))

    test('takes what is right', async () => {
      const run = async (): Promise<unknown> =>
        await (exported[name] as (...given: readonly unknown[]) => unknown)(...good)
      await expect(run().then(() => 'taken')).resolves.toBe('taken')
    })

    test.each(args.map((argument, at) => ({ ...argument, at })))(
      'refuses other kinds of values as $name',
      async ({ name: argument, takes = [], path = new RegExp(`^${argument}\\b`), at }) => {
        const complaints: string[] = []
        for (const kind of (Object.keys(KINDS) as Kind[]).filter((each) => !takes.includes(each))) {
          const found = await complaint(name, withOne(at, KINDS[kind]), path)
          if (found !== null) complaints.push(`${kind} ${found}`)
        }
        expect(complaints).toEqual([])
      },
    )

    test.each(args.flatMap((argument, at) => (argument.wrong ? [{ ...argument, wrong: argument.wrong, at }] : [])))(
      'refuses wrong options, and unknown ones with the nearest',
      async ({ good: given, wrong, at }) => {
        const complaints: string[] = []
        for (const [option, values] of Object.entries(wrong)) {
          const path = new RegExp(`^options\\.${option}\\b`)
          // One letter too many at the end is nearest to the option itself.
          const unknown = await complaint(
            name,
            withOne(at, { ...(given as object), [`${option}q`]: 1 }),
            new RegExp(`^options\\.${option}q: .*\\b${option}\\b`),
          )
          if (unknown !== null) complaints.push(`${option}q ${unknown}`)
          for (const value of values) {
            const found = await complaint(name, withOne(at, { ...(given as object), [option]: value }), path)
            if (found !== null) complaints.push(`${option} = ${String(value)} ${found}`)
          }
        }
        expect(complaints).toEqual([])
      },
    )
  },
)
