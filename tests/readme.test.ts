/** What the README prints is what the library gives today. */
import { execFileSync, spawnSync } from 'node:child_process'
import { mkdtempSync, readFileSync, rmSync, symlinkSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { expect, test } from 'vitest'
import type { Host } from '../src/cli/host'
import { run } from '../src/cli/run'
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

const root = fileURLToPath(new URL('..', import.meta.url))
const readme = readFileSync(new URL('../README.md', import.meta.url), 'utf8')

/** Pairs of a js block and the text block that says what it prints. */
const examples = [...readme.matchAll(/```js\n([\s\S]*?)```\n\nprints\n\n```text\n([\s\S]*?)```/g)].map(
  ([, code, printed]) => ({ code: code!, printed: printed! }),
)

test('the README has library examples, the first within its first 50 lines', () => {
  expect(examples.length).toBeGreaterThanOrEqual(2)
  expect(readme.split('\n').indexOf('```js')).toBeLessThan(50)
})

test.each(examples)('example $# prints what the README says', ({ code, printed }) => {
  // The package resolves itself by name through its own export map.
  const output = execFileSync('node', ['--input-type=module', '-e', code], { cwd: root, encoding: 'utf8' })
  expect(output).toBe(printed)
})

/** Calls of the program, and the text block behind them that shows what the last one prints, whole or in part. */
const shownCalls = [...readme.matchAll(/```sh\n((?:(?!```)[\s\S])*?)```\n\n```text\n([\s\S]*?)```/g)]
  .map(([, calls, printed]) => ({ calls: calls!.trimEnd().split('\n'), printed: printed! }))
  .filter(({ calls }) => !calls[0]!.startsWith('cat'))

test('the README shows what some calls print', () => {
  expect(shownCalls.map(({ calls }) => calls.at(-1)!.split(' ')[1])).toEqual(['capture', 'adapter'])
})

test.each(shownCalls)('what the README shows of $calls.0 is printed', ({ calls, printed }) => {
  const scratch = mkdtempSync(join(tmpdir(), 'fuse-assay-'))
  try {
    symlinkSync(join(root, 'vectors'), join(scratch, 'vectors'))
    const outputs = calls.map((line) => {
      const [, text, name] = /^echo '(.*)' > (\S+)$/.exec(line) ?? []
      if (name) return writeFileSync(join(scratch, name), text!)
      const args = line.replace(/ +# .*/, '').split(' ').slice(1)
      return spawnSync('node', [join(root, 'dist/cli.cjs'), ...args], { cwd: scratch, encoding: 'utf8' }).stdout
    })
    expect(outputs.at(-1)).toContain(printed)
  } finally {
    rmSync(scratch, { recursive: true })
  }
})

/** The JSON documents of the README by a key that only one kind of them has. */
function documentWith(key: string): any {
  const documents = [...readme.matchAll(/```json\n([\s\S]*?)```/g)].map(([, text]) => JSON.parse(text!))
  const found = documents.filter((document) => key in document)
  expect(found, `documents with the key ${key}`).toHaveLength(1)
  return found[0]
}

const fileOf = (path: string): Uint8Array => readFileSync(new URL(`../${path}`, import.meta.url))
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

test('the documents of table and readings are those that the program prints', () => {
  const files = ['vectors/published/jesd3a-14l4.jed', 'vectors/demo/example-one-fuse-flipped.jed']
  const host = { ...NO_HOST, read: fileOf }
  const print = (args: readonly string[]): any => {
    let out = ''
    run([...args, '--device', '14L4', '--json'], { ...host, out: (text) => void (out += text) })
    return JSON.parse(out)
  }
  expect(print(['table', files[0]!, '--outputs', '17'])).toEqual(documentWith('unlisted'))
  const { findings, ...rest } = print(['readings', ...files])
  expect(rest).toEqual(documentWith('moving'))
  expect(findings.length).toBeGreaterThan(0)
})

test('the document of capture is the one that capture prints, cut to one output', () => {
  const shown = documentWith('images')
  const wiring = JSON.parse(/echo '(\{ "address".*\})' > wiring\.json/.exec(readme)![1]!)
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
  const steps = /holds\n`(\{ "pins".*\})`/.exec(readme)![1]!
  const { decoded, report } = check(fileOf(shown.file), { name: shown.file })
  expect(plain(runSteps(decoded!, JSON.parse(steps)))).toEqual(shown.run)
  expect([report.verdict, plain(report.candidates)]).toEqual([shown.verdict, shown.candidates])
  expect(plain(report.findings)).toEqual(shown.findings)
})

test('the steps of the README give the table that stands below them', () => {
  const [, steps, printed] = /cat > steps\.json <<'END'\n([\s\S]*?)END[\s\S]*?```text\n([\s\S]*?)\nwaves/.exec(
    readme,
  )!
  const { decoded } = check(fileOf('vectors/demo/tide-gauge-16v8.jed'))
  const [, table] = /^[^\n]*\n([\s\S]*)$/.exec(printed!)!
  expect(renderSequence(runSteps(decoded!, JSON.parse(steps!))).trim()).toBe(table!.trim())
})

test('the part of one’s own is one, and does what is said of it', () => {
  const device = readDevice(documentWith('cells'))
  const fuses = /with the fuses `([01 ]+)`/.exec(readme)![1]!
  const equations = describePart(decode(device, fuseMapFrom(fuses)))!.equations.map(
    ({ pin, value }) => `p${pin} = ${value}`,
  )
  expect(equations).toHaveLength(2)
  for (const equation of equations) expect(readme.replace(/\s+/g, ' ')).toContain(`\`${equation}\``)
})

test('the hazards of the part of one’s own are those that stand there', () => {
  const [, fuses, printed] = /the fuses `([01 ]+)`, which make[\s\S]*?```text\n([\s\S]*?)```/.exec(readme)!
  const { logic } = decode(readDevice(documentWith('cells')), fuseMapFrom(fuses!))
  expect(renderHazards(hazardsOf(logic!))).toBe(printed)
})

test('every part is named, and every function of the table exists', async () => {
  for (const { part } of listDevices()) expect(readme).toContain(part)
  const entries = await Promise.all(Object.values(import.meta.glob('../src/*.ts')).map((load) => load()))
  const library: Record<string, unknown> = Object.assign({}, ...entries)
  const named = [...readme.matchAll(/^\| `([^|]*)` /gm)].flatMap(([, cell]) =>
    [...cell!.matchAll(/(?:^|`, `)(\w+)\(/g)].map(([, name]) => name!),
  )
  expect(named).toContain('verify')
  for (const name of named) expect(library[name], name).toBeTypeOf('function')
  expect(Object.keys(findingCatalogue()).length).toBeGreaterThan(50)
})
