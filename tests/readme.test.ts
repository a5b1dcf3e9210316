/** What the README prints is what the library gives today. */
import { execFileSync } from 'node:child_process'
import { readFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { expect, test } from 'vitest'
import { findingCatalogue, listDevices, verify } from '../src/index'

const root = fileURLToPath(new URL('..', import.meta.url))
const readme = readFileSync(new URL('../README.md', import.meta.url), 'utf8')

/** Pairs of a js block and the text block that says what it prints. */
const examples = [...readme.matchAll(/```js\n([\s\S]*?)```\n\nprints\n\n```text\n([\s\S]*?)```/g)].map(([, code, printed]) => ({ code: code!, printed: printed! }))

test('the README has library examples, the first within its first 50 lines', () => {
  expect(examples.length).toBeGreaterThanOrEqual(2)
  expect(readme.split('\n').indexOf('```js')).toBeLessThan(50)
})

test.each(examples)('example $# prints what the README says', ({ code, printed }) => {
  // The package resolves itself by name through its own export map.
  const output = execFileSync('node', ['--input-type=module', '-e', code], { cwd: root, encoding: 'utf8' })
  expect(output).toBe(printed)
})

test('the JSON document shown is the one that check prints', () => {
  const shown = JSON.parse(/```json\n([\s\S]*?)```/.exec(readme)![1]!)
  const report = verify(readFileSync(new URL(`../${shown.file}`, import.meta.url)), { device: '14L4', name: shown.file })
  const { findings, scope, ...rest } = JSON.parse(JSON.stringify(report))
  expect(rest).toEqual(shown)
  expect(findings.length).toBeGreaterThan(0)
  expect(Object.keys(scope)).toEqual(['compared', 'notExamined'])
})

test('every part is named, and every function of the table exists', async () => {
  for (const { part } of listDevices()) expect(readme).toContain(part)
  const library: Record<string, unknown> = await import('../src/index')
  const named = [...readme.matchAll(/^\| `([^|]*)` /gm)].flatMap(([, cell]) => [...cell!.matchAll(/(?:^|`, `)(\w+)\(/g)].map(([, name]) => name!))
  expect(named).toContain('verify')
  for (const name of named) expect(library[name], name).toBeTypeOf('function')
  expect(Object.keys(findingCatalogue()).length).toBeGreaterThan(50)
})
