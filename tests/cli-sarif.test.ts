/** `--sarif OUT` of check and compare: one log of everything, written as every new file is. */
import { readFileSync } from 'node:fs'
import { expect, test } from 'vitest'
import { callProgram, type Files, type Ran } from './call-program'
import { sarifErrors } from './report/sarif-rules'

const vectors = (path: string): Uint8Array => readFileSync(new URL(`../vectors/${path}`, import.meta.url))
const FILES: Files = {
  'example.jed': vectors('published/jesd3a-14l4.jed'),
  'flipped.jed': vectors('demo/example-one-fuse-flipped.jed'),
}
const logOf = ({ written }: Ran): any => JSON.parse(new TextDecoder().decode(written.get('out.sarif')))

test('check: all files in one log, those that cannot be read as well, and the exit of check', () => {
  const ran = callProgram(['check', 'example.jed', 'flipped.jed', 'none.jed', '--sarif', 'out.sarif'], FILES)
  expect(ran.code).toBe(2)
  expect(ran.out).toMatch(/\nout\.sarif: written\.\n$/)
  const log = logOf(ran)
  expect(sarifErrors(log)).toEqual([])
  const [run] = log.runs
  expect(run.artifacts.map(({ location }: any) => location.uri)).toEqual(['example.jed', 'flipped.jed'])
  expect(run.invocations[0].toolExecutionNotifications).toHaveLength(1)
  expect(run.tool.driver.version).toMatch(/^\d+\.\d+\.\d+$/)
})

test('check: what to do names the options of the program', () => {
  const { results } = logOf(callProgram(['check', 'example.jed', '--sarif', 'out.sarif'], FILES)).runs[0]
  const { message } = results.find(({ ruleId }: any) => ruleId === 'device/by-vectors')
  expect(message.text).toMatch(/Option: --device PART\.$/)
})

test('compare: both files, and --json prints its document alone', () => {
  const args = ['compare', 'example.jed', 'flipped.jed', '--device', '14L4', '--sarif', 'out.sarif', '--json']
  const ran = callProgram(args, FILES)
  expect([ran.code, JSON.parse(ran.out).relation]).toEqual([1, 'different'])
  const log = logOf(ran)
  expect(sarifErrors(log)).toEqual([])
  expect(log.runs[0].properties.outcomes[0].relation).toBe('different')
})

test.each([
  ['exists', ['check', 'example.jed', '--sarif', 'flipped.jed'], 'flipped.jed exists'],
  ['is read', ['check', 'example.jed', '--sarif', './example.jed', '--replace'], 'would overwrite what is read'],
  ['is read', ['compare', 'example.jed', 'flipped.jed', '--sarif', 'flipped.jed', '--replace'], 'would overwrite'],
])('a name that %s is refused, and nothing is written', (_, args, reason) => {
  const kind = (name: string): 'file' | 'none' => (name.replace('./', '') in FILES ? 'file' : 'none')
  const ran = callProgram(args, FILES, { kind })
  expect([ran.code, ran.written.size]).toEqual([2, 0])
  expect(ran.err).toContain(reason)
})
