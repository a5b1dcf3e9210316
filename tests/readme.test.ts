/** What the README and the pages beside the code say is what the program and the library give today. */
import { execFileSync, spawnSync } from 'node:child_process'
import { mkdtempSync, readFileSync, rmSync, symlinkSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { describe, expect, test } from 'vitest'
import { COMMANDS, OPTIONS } from '../src/cli/commands'
import { nodeHost, type Host } from '../src/cli/host'
import { run } from '../src/cli/every-command'
import { examineCapture } from '../src/capture'
import { compare, findingCatalogue, fuseMapFrom, check, listDevices, readDevice, verify } from '../src/index'
import {
  decode,
  describe as describePart,
  hazardsOf,
  runSteps,
  tableImage,
  truthTable,
  type TruthTable,
} from '../src/logic'
import { renderHazards, renderSequence } from '../src/report'
import { findingsPage } from './findings-page.mjs'
import { deadLinks, examplesOf, firstCells, isPrinted, readPages, root, shownCallsOf } from './pages'
import { granted } from './granted'

const pages = readPages()
const textOf = (path: string): string => pages.find((page) => page.path === path)!.text
const readme = textOf('README.md')

describe('the README', () => {
  test('is short, and shows a call with its output within its first 50 lines', () => {
    expect(new TextEncoder().encode(readme).length).toBeLessThanOrEqual(14_000)
    expect(readme.slice(0, readme.indexOf('```text')).split('\n').length).toBeLessThan(50)
    expect(examplesOf(pages[0]!)).toHaveLength(1)
  })

  test('links every other page', () => {
    const linked = pages.slice(1).filter(({ path }) => !readme.includes(`](${path})`))
    expect(linked.map(({ path }) => path)).toEqual([])
  })

  /** A bound of the README, by the words of its row, and the place in src where it stands. */
  const BOUNDS: readonly (readonly [row: RegExp, path: string, stated: RegExp])[] = [
    [/\(`maxFuses`\) \| ([\d,]+)/, 'jesd3/read-fuse-file.ts', /maxFuses: ([^,]+),/],
    [/\(`maxVectors`\) \| ([\d,]+)/, 'jesd3/read-fuse-file.ts', /maxVectors: ([^,]+),/],
    [/\(`maxFindings`\) \| ([\d,]+)/, 'jesd3/read-fuse-file.ts', /maxFindings: (\d+)/],
    [/\(`maxNodes`\) \| ([\d,]+)/, 'jobs/compare/compare-maps.ts', /maxNodes: ([\d_]+)/],
    [/\(`maxStates`\) \| ([\d,]+)/, 'jobs/compare/compare-maps.ts', /maxStates: ([\d_]+)/],
    [/truth table \(`maxInputs`\) \| ([\d,]+)/, 'jobs/table/truth-table.ts', /maxInputs: limit = (\d+)/],
    [/board \(`maxInputs`\).*\| ([\d,]+), /, 'jobs/board/examine-adapter.ts', /maxInputs = (\d+)/],
    [/its table \(`maxSteps`\) \| [\d,]+, ([\d,]+)/, 'jobs/board/board-table.ts', /MAX_BOARD_WORK = (\S+)/],
    [/a run \(`maxSteps`\) \| ([\d,]+)/, 'jobs/steps/run-steps.ts', /usual: ([\d_]+)/],
    [/address lines of a capture \| ([\d,]+)/, 'jobs/capture/wiring.ts', /MAX_ADDRESS_LINES = (\d+)/],
    [/part of your own \| ([\d,]+), /, 'devices/document-shape.ts', /MOST_FUSES = ([\d_]+)/],
    [/part of your own \| [\d,]+, ([\d,]+)/, 'devices/document-shape.ts', /MOST_PINS = (\d+)/],
    [/depth of folders \| ([\d,]+), /, 'cli/file-names.ts', /MAX_FILES = ([\d_]+)/],
    [/depth of folders \| [\d,]+, ([\d,]+)/, 'cli/file-names.ts', /MAX_DEPTH = (\d+)/],
    [/file of a board \| (\d+) MiB/, 'cli/call.ts', /MAX_DOCUMENT_BYTES = (\d+) \* 2 \*\* 20/],
    [/file of a board \| \d+ MiB, (\d+) MiB/, 'cli/adapter-command.ts', /MAX_PART_FILE_BYTES = (\d+) \* 2 \*\* 20/],
  ]

  test.each(BOUNDS)('states the bound of %s as the code has it', (row, path, stated) => {
    const source = readFileSync(join(root, 'src', path), 'utf8')
    const [, shift, plain] = /^(?:1 << (\d+)|([\d_e]+))$/.exec(stated.exec(source)![1]!)!
    const value = shift === undefined ? Number(plain!.replaceAll('_', '')) : 2 ** Number(shift)
    expect(Number(row.exec(readme)![1]!.replaceAll(',', ''))).toBe(value)
  })
})

describe('every page', () => {
  test.each(pages)('$path links only to pages and headings that are there', (page) => {
    expect(deadLinks(page, pages)).toEqual([])
  })

  test.each(pages)('$path has no line of more than 120 characters, rows, printed text and JSON aside', ({ text }) => {
    const prose = text.replace(/^```(text|json|sh)\n[\s\S]*?^```$/gm, '').split('\n')
    expect(prose.filter((line) => line.length > 120 && !/^[|`]/.test(line))).toEqual([])
  })

  /** Blocks of text that no call prints; tests below hold the hazards. */
  const PROSE = ['README.md: Copyright', 'src/analyses/README.md: Hazards']

  test('shows as text only what is printed, and as JSON only documents that are held', () => {
    const alone = pages.flatMap((page) =>
      page.blocks.flatMap(({ language, text }, i) =>
        language === 'text' && !isPrinted(page, i) ? [`${page.path}: ${text.split(' ')[0]}`] : [],
      ),
    )
    expect(alone).toEqual(PROSE)
    const languages = new Set(pages.flatMap(({ blocks }) => blocks.map(({ language }) => language)))
    expect([...languages].sort()).toEqual(['js', 'json', 'sh', 'text'])
    const unheld = allDocuments().filter((document) => keysOf(document).length !== 1)
    expect(unheld).toEqual([])
    expect(allDocuments()).toHaveLength(DOCUMENT_KEYS.length)
  })

  const examples = pages.flatMap((page) => examplesOf(page).map((example) => ({ path: page.path, ...example })))

  test.each(examples)('the example of $path prints what the page says', ({ text, printed }) => {
    // The package resolves itself by name through its own export map.
    const output = execFileSync('node', ['--input-type=module', '-e', text], { cwd: root, encoding: 'utf8' })
    expect(output).toBe(printed ?? '')
  })

  const calling = pages.filter((page) => shownCallsOf(page).length > 0)

  test('shows calls with what they print', () => {
    const shown = calling.flatMap(shownCallsOf).filter(({ printed }) => printed !== null)
    expect(shown.length).toBeGreaterThanOrEqual(9)
  })

  test.each(calling)('the calls of $path are taken, and print what the page says', (page) => {
    const scratch = mkdtempSync(join(tmpdir(), 'fuse-assay-'))
    try {
      symlinkSync(join(root, 'vectors'), join(scratch, 'vectors'))
      for (const { lines, printed } of shownCallsOf(page)) {
        const outputs = callAll(scratch, lines, page.path === 'README.md' ? asProcess : inProcess)
        if (printed !== null) expect(outputs.at(-1)).toContain(printed)
      }
    } finally {
      rmSync(scratch, { recursive: true })
    }
  })

  /** What each call of a block prints. Of the shell it takes `echo` and `cat` into a file, and `>`. */
  function callAll(folder: string, lines: readonly string[], start: typeof inProcess): string[] {
    const outputs: string[] = []
    for (let i = 0; i < lines.length; i++) {
      const [, text, named] = /^echo '(.*)' > (\S+)$/.exec(lines[i]!) ?? []
      const [, begun] = /^cat > (\S+) <<'END'$/.exec(lines[i]!) ?? []
      if (named) writeFileSync(join(folder, named), text!)
      else if (begun) {
        const end = lines.indexOf('END', i)
        writeFileSync(join(folder, begun), lines.slice(i + 1, end).join('\n'))
        i = end
      } else outputs.push(call(folder, lines[i]!, start))
    }
    return outputs
  }

  function call(folder: string, line: string, start: typeof inProcess): string {
    const [, words, , into] = /^fuse-assay (.*?)( > (\S+))?( +#.*)?$/.exec(line)!
    const { status, stdout } = start(folder, words!.split(' '))
    // 2 and 4: the call itself is wrong.
    expect(status === 0 || status === 1, line).toBe(true)
    if (into) writeFileSync(join(folder, into), stdout)
    return stdout
  }

  interface Ended {
    readonly status: number | null
    readonly stdout: string
  }

  /** As a user does: half a second each, so that only the first page is tried like this. */
  function asProcess(folder: string, words: readonly string[]): Ended {
    return spawnSync('node', [join(root, 'dist/cli.cjs'), ...words], { cwd: folder, encoding: 'utf8' })
  }

  function inProcess(folder: string, words: readonly string[]): Ended {
    const at = (name: string): string => join(folder, name)
    let stdout = ''
    const host: Host = {
      ...nodeHost,
      read: (name, limit) => nodeHost.read(at(name), limit),
      write: (name, bytes, replace) => nodeHost.write(at(name), bytes, replace),
      kind: (name) => nodeHost.kind(at(name)),
      list: (name) => nodeHost.list(at(name)),
      same: (one, other) => nodeHost.same(at(one), at(other)),
      columns: () => undefined,
      rows: () => undefined,
      status: undefined,
      setting: () => undefined,
      out: (text) => void (stdout += text),
      err: () => undefined,
    }
    return { status: run(words, host), stdout }
  }
})

/** A key that only one JSON document of the pages has, for each of them. */
const DOCUMENT_KEYS = [
  'checksums',
  'fuseDifferences',
  'unlisted',
  'moving',
  'images',
  'budget',
  'run',
  'cells',
  'equations',
  'notCarried',
  'leftOut',
  'idleVectors',
  'lowerBound',
  'failing',
] as const

/** What exercise gives has all keys of a grade, and more. */
function keysOf(document: object): string[] {
  const keys = DOCUMENT_KEYS.filter((key) => key in document)
  return 'lowerBound' in document ? keys.filter((key) => key !== 'idleVectors') : keys
}

function allDocuments(): any[] {
  return pages.flatMap(({ blocks }) =>
    blocks.flatMap(({ language, text }) => (language === 'json' ? [JSON.parse(text)] : [])),
  )
}

/** The JSON document of the pages with this key. */
function documentWith(key: (typeof DOCUMENT_KEYS)[number]): any {
  const found = allDocuments().filter((document) => keysOf(document).includes(key))
  expect(found, `documents with the key ${key}`).toHaveLength(1)
  return found[0]
}

const fileOf = (path: string): Uint8Array => readFileSync(join(root, path))
/** A host that nothing is to be asked of. */
const NO_HOST: Host = {
  read: () => expect.fail('reads'),
  write: () => expect.fail('writes'),
  kind: () => 'none',
  list: () => [],
  same: () => false,
  out: () => undefined,
  err: (text) => expect.fail(text),
}

const plain = (value: unknown): any => JSON.parse(JSON.stringify(value))

test('the document of check is the one that check prints', () => {
  const shown = documentWith('checksums')
  const { findings, scope, ...rest } = plain(verify(fileOf(shown.file), { device: '14L4', name: shown.file }))
  expect(rest).toEqual(shown)
  expect(findings.length).toBeGreaterThan(0)
  expect(Object.keys(scope)).toEqual(['compared', 'notExamined'])
})

test('the document of compare is the one that compare prints, cut to one output', () => {
  const shown = documentWith('fuseDifferences')
  const { findings, scope, ...rest } = plain(
    compare(fileOf(shown.intended), fileOf(shown.readback), {
      device: '14L4',
      name: shown.intended,
      otherName: shown.readback,
    }),
  )
  const [output] = shown.outputs
  expect({ ...rest, outputs: rest.outputs.filter(({ pin }: { pin: number }) => pin === output.pin) }).toEqual(shown)
  expect(rest.outputs).toHaveLength(4)
  expect(findings.length).toBeGreaterThan(0)
  expect(Object.keys(scope)).toEqual(['compared', 'notExamined'])
})

/** The document that a call for a 14L4 prints; what it writes is not kept. */
function print(args: readonly string[], device: readonly string[] = ['--device', '14L4']): any {
  let out = ''
  const host = { ...NO_HOST, read: fileOf, write: () => undefined, out: (text: string) => void (out += text) }
  run([...args, ...device, '--json'], host)
  return JSON.parse(out)
}

test('the document of show is the one that show prints, each list cut to its first entry', () => {
  const shown = documentWith('equations')
  const { findings, ...rest } = print(['show', shown.file])
  const cut = {
    pins: rest.pins.slice(0, 1),
    equations: rest.equations.slice(0, 1),
    analysis: { ...rest.analysis, outputs: rest.analysis.outputs.slice(0, 1) },
  }
  expect({ ...rest, ...cut }).toEqual(shown)
  expect(findings.length).toBeGreaterThan(0)
})

test('the documents of retarget and rewrite are those that the program prints', () => {
  const moved = documentWith('notCarried')
  const { proof, ...rest } = print(['retarget', moved.file, '--to', '16V8', '--out', 'new.jed'])
  expect(rest).toEqual(moved)
  expect(proof.relation).toBe('equivalent')
  const rewritten = documentWith('leftOut')
  expect(print(['rewrite', rewritten.file, '--out', 'new.jed'], [])).toEqual(rewritten)
})

test('the document of grade is the one that grade prints, its list cut to its first entry', () => {
  const shown = documentWith('idleVectors')
  const graded = print(['grade', shown.file])
  expect({ ...graded, missed: graded.missed.slice(0, 1) }).toEqual(shown)
  expect(graded.missed).toHaveLength(shown.faults.missed)
})

test('the documents of exercise and distinguish are those that the program prints', () => {
  const made = documentWith('lowerBound')
  expect(print(['exercise', made.file, '--out', made.out])).toEqual(made)
  const told = documentWith('failing')
  expect(print(['distinguish', ...told.files, '--out', told.out])).toEqual(told)
})

test('the documents of table and readings are those that the program prints', () => {
  const files = ['vectors/published/jesd3a-14l4.jed', 'vectors/demo/example-one-fuse-flipped.jed']
  expect(print(['table', files[0]!, '--outputs', '17'])).toEqual(documentWith('unlisted'))
  const { findings, ...rest } = print(['readings', ...files])
  expect(rest).toEqual(documentWith('moving'))
  expect(findings.length).toBeGreaterThan(0)
})

test('the document of capture is the one that capture prints, cut to one output', () => {
  const shown = documentWith('images')
  const wiring = JSON.parse(/echo '(\{ "address".*\})' > wiring\.json/.exec(textOf('src/jobs/capture/README.md'))![1]!)
  const image = tableImage(
    truthTable(check(fileOf('vectors/published/jesd3a-14l4.jed'), { device: '14L4' }).decoded!) as TruthTable,
  ) as { readonly bytes: Uint8Array }
  const { findings, scope, ...rest } = plain(
    examineCapture([image.bytes], {
      wiring,
      against: fileOf(shown.against),
      againstName: shown.against,
      device: '14L4',
      names: shown.images,
    }),
  )
  expect({ ...rest, outputs: rest.outputs.filter(({ pin }: { pin: number }) => pin === 16) }).toEqual(shown)
  expect(findings.length).toBeGreaterThan(0)
  expect(Object.keys(scope)).toEqual(['compared', 'notExamined'])
})

test('the document of adapter is the one that adapter prints, each list cut to its first entry', () => {
  const shown = documentWith('budget')
  let out = ''
  const host: Host = { ...NO_HOST, read: fileOf, out: (text) => void (out += text) }
  expect(
    run(['adapter', shown.file, '--against', shown.against.name, '--fuse-order', 'term-by-term', '--json'], host),
  ).toBe(0)
  const { findings, scope, ...rest } = JSON.parse(out)
  expect(rest.faults.list.length).toBeGreaterThan(50)
  const first = (list: readonly unknown[]): readonly unknown[] => list.slice(0, 1)
  const cut = {
    outside: first(rest.outside),
    outputs: first(rest.outputs),
    faults: { ...rest.faults, list: first(rest.faults.list) },
    budget: Object.fromEntries(Object.entries<any[]>(rest.budget).map(([key, list]) => [key, first(list)])),
  }
  expect({ ...rest, ...cut }).toEqual(shown)
  expect(findings.length).toBeGreaterThan(0)
  expect(Object.keys(scope)).toEqual(['compared', 'notExamined'])
})

test('the document of run is what its steps give', () => {
  const shown = documentWith('run')
  const steps = /holds\n`(\{ "pins".*\})`/.exec(textOf('src/jobs/steps/README.md'))![1]!
  const { decoded, report } = check(fileOf(shown.file), { name: shown.file })
  expect(plain(granted(runSteps(decoded!, JSON.parse(steps))))).toEqual(shown.run)
  expect([report.verdict, plain(report.candidates)]).toEqual([shown.verdict, shown.candidates])
  expect(plain(report.findings)).toEqual(shown.findings)
})

test('the steps of the page give the table that stands below them', () => {
  const [, steps, printed] = /cat > steps\.json <<'END'\n([\s\S]*?)END[\s\S]*?```text\n([\s\S]*?)\nwaves/.exec(
    textOf('src/jobs/steps/README.md'),
  )!
  const { decoded } = check(fileOf('vectors/demo/tide-gauge-16v8.jed'))
  const name = 'vectors/demo/tide-gauge-16v8.jed, a 16V8 in registered mode'
  expect(renderSequence(granted(runSteps(decoded!, JSON.parse(steps!))), { name }).trim()).toBe(printed!.trim())
})

test('the part of one’s own is one, and does what is said of it', () => {
  const device = readDevice(documentWith('cells'))
  const page = textOf('src/devices/README.md').replace(/\s+/g, ' ')
  const fuses = /With the fuses `([01 ]+)`/.exec(page)![1]!
  const equations = granted(describePart(decode(device, fuseMapFrom(fuses)))).equations.map(
    ({ pin, value }) => `p${pin} = ${value}`,
  )
  expect(equations).toHaveLength(2)
  for (const equation of equations) expect(page).toContain(`\`${equation}\``)
})

test('the hazards of the part of one’s own are those that stand there', () => {
  const [, fuses, printed] = /the fuses `([01\s]+)`, which make[\s\S]*?```text\n([\s\S]*?)```/.exec(
    textOf('src/analyses/README.md'),
  )!
  const { logic } = decode(readDevice(documentWith('cells')), fuseMapFrom(fuses!))
  expect(renderHazards(granted(hazardsOf(logic!)))).toBe(printed)
})

test('the page of the findings is the one that the catalogue makes', () => {
  expect(textOf('src/findings/README.md'), 'run node tests/findings-page.mjs after a build').toBe(
    findingsPage(findingCatalogue()),
  )
})

test('every part is named', () => {
  for (const { part } of listDevices()) expect(textOf('src/devices/README.md')).toContain(part)
})

const functionsIn = (cells: readonly string[]): string[] =>
  cells.flatMap((cell) => [...cell.matchAll(/(?:^|, )`(\w+)\(/g)].map(([, name]) => name!))

test('every function of the tables exists, and every function that is exported stands in one', async () => {
  const entries = await Promise.all(Object.values(import.meta.glob('../src/*.ts')).map((load) => load()))
  const library: Record<string, unknown> = Object.assign({}, ...entries)
  const named = functionsIn(pages.flatMap(firstCells))
  expect(functionsIn(firstCells(pages[0]!))).toHaveLength(5)
  expect(named).toContain('verify')
  for (const name of named) expect(library[name], name).toBeTypeOf('function')
  const listed = functionsIn(firstCells(pages.find(({ path }) => path === 'src/README.md')!))
  const isClass = (value: unknown): boolean => /^class\b/.test(String(value))
  const unlisted = Object.keys(library).filter((name) => typeof library[name] === 'function' && !isClass(library[name]))
  expect(unlisted.filter((name) => !listed.includes(name))).toEqual([])
})

test('the table of entries has those of the package', () => {
  const { exports } = JSON.parse(readFileSync(join(root, 'package.json'), 'utf8')) as { readonly exports: object }
  const names = Object.keys(exports).filter((path) => !path.endsWith('.json'))
  for (const name of names) expect(textOf('src/README.md')).toContain(`| \`fuse-assay${name.slice(1)}\` |`)
})

describe('the table of commands', () => {
  const page = textOf('src/cli/README.md')
  const rowOf = (command: string): string =>
    firstCells(pages.find(({ path }) => path === 'src/cli/README.md')!).find((cell) =>
      new RegExp(`^\`${command}\\b`).test(cell),
    ) ?? expect.fail(`no row for ${command}`)
  const optionsIn = (text: string): string[] => [...text.matchAll(/--([a-z-]+)/g)].map(([, name]) => name!)

  test.each(Object.keys(COMMANDS))('%s is there with its own options and no other', (command) => {
    const { takes } = COMMANDS[command]!
    expect(optionsIn(rowOf(command)).filter((option) => !takes.includes(option))).toEqual([])
    // What every part and every new file takes is said once below the table.
    const everywhere = ['device', 'fuse-order', 'replace']
    const missing = takes.filter((option) => !optionsIn(rowOf(command)).includes(option))
    expect(missing.filter((option) => !everywhere.includes(option))).toEqual([])
  })

  test('every option is named', () => {
    expect(Object.keys(OPTIONS).filter((option) => !optionsIn(page).includes(option))).toEqual([])
  })
})

/** Lists of keys that a document may have, as they stand in src, and the page that explains each key. */
const KEY_LISTS = [
  ['jobs/board', 'board.ts', ['LIMITS', 'DIODE_LIMITS', 'MACHINE', 'BOARD', 'OUTSIDE', 'DIODE', 'RESISTOR']],
  ['jobs/capture', 'wiring.ts', ['HINTS', 'LINES', 'MATTERS']],
  ['jobs/steps', 'step-list.ts', ['STEP_LIST', 'STEP']],
] as const

/** What a shape says of a value, beside the keys of a document (src/arguments/document.ts). */
const SHAPE_WORDS = new Set(
  'fits noun words whole number text list bounds byPin byName needed optional otherwise or orNull'.split(' '),
)

test.each(KEY_LISTS)('the page of %s names every key of its documents', (folder, file, lists) => {
  const source = readFileSync(join(root, 'src', folder, file), 'utf8')
  const page = textOf(`src/${folder}/README.md`)
  for (const list of lists) {
    // To the end of the statement; a list holds keys as texts, a shape holds them beside the words of shapes.
    const [, literal] = new RegExp(`const ${list}\\b[^=]*= (.*(?:\n[ }\\]].*)*)`).exec(source)!
    const words = literal!.matchAll(literal!.startsWith('[') ? /'(\w+)'/g : /(\w+): /g)
    const keys = [...words].map(([, key]) => key!).filter((key) => !SHAPE_WORDS.has(key))
    expect(keys.length).toBeGreaterThan(1)
    expect(keys.filter((key) => !page.includes(`\`${key}\``)), list).toEqual([])
  }
})
