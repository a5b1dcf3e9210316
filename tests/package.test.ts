/**
 * The package as its users get it: packed, unpacked into a project of its own, and used from there. Nothing is
 * downloaded; the tarball is unpacked where an installation would put it.
 */
import { execFileSync, spawnSync } from 'node:child_process'
import { copyFileSync, existsSync, mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { execPath } from 'node:process'
import { fileURLToPath } from 'node:url'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { readPages } from './pages'
import { longOnly } from './sample-size'

const root = fileURLToPath(new URL('..', import.meta.url))
const consumers = fileURLToPath(new URL('consumers', import.meta.url))
const compiler = join(root, 'node_modules/typescript/lib/tsc.js')
const standardFile = join(root, 'vectors/published/jesd3a-14l4.jed')

/** What the package is imported by: `fuse-assay` itself is the entry `index`. */
const ENTRIES = readdirSync(join(root, 'src'))
  .filter((name) => name.endsWith('.ts'))
  .map((name) => name.slice(0, -3))

let project = ''
let installed = ''
let packed: readonly string[] = []

beforeAll(() => {
  project = mkdtempSync(join(tmpdir(), 'fuse-assay-package-'))
  installed = join(project, 'node_modules/fuse-assay')
  mkdirSync(installed, { recursive: true })
  // A cache of its own, so that the outcome hangs on nothing outside the repository.
  execFileSync(
    'npm',
    [
      'pack',
      '--ignore-scripts',
      '--no-update-notifier',
      '--cache',
      join(project, 'cache'),
      '--pack-destination',
      project,
    ],
    {
      cwd: root,
      stdio: 'ignore',
    },
  )
  const tarball = join(
    project,
    readdirSync(project).find((name) => name.endsWith('.tgz'))!,
  )
  packed = execFileSync('tar', ['-tzf', tarball], { encoding: 'utf8' }).trim().split('\n').sort()
  execFileSync('tar', ['-xzf', tarball, '-C', installed, '--strip-components=1'])
  for (const name of readdirSync(consumers))
    if (name !== 'typed.ts') copyFileSync(join(consumers, name), join(project, name))
  // One source for both kinds of module: what it is compiled as follows from its extension.
  for (const kind of ['mts', 'cts']) copyFileSync(join(consumers, 'typed.ts'), join(project, `typed.${kind}`))
})

afterAll(() => rmSync(project, { recursive: true, force: true }))

interface Consumed {
  readonly status: string
  /** The names that each entry gives. */
  readonly names: Readonly<Record<string, readonly string[]>>
}

const consumed = new Map<string, Consumed>()

/** What a program that uses the package gives; it runs once. */
function consume(program: string): Consumed {
  const known = consumed.get(program)
  if (known) return known
  const text = execFileSync(execPath, [join(project, program), ...ENTRIES], { encoding: 'utf8' })
  const gives = JSON.parse(text) as Consumed
  consumed.set(program, gives)
  return gives
}

test('the tarball holds dist, package.json, the README with the pages that it links, and nothing else', () => {
  const pages = readPages().map(({ path }) => `package/${path}`)
  expect(pages.length).toBeGreaterThan(10)
  expect(packed.filter((path) => !path.startsWith('package/dist/'))).toEqual(['package/package.json', ...pages].sort())
  // Beside the entries lie what they share: chunks of code, and declarations with a hash in their names.
  const built = packed.filter((path) => /^package\/dist\/(\w+|cli-whole)\./.test(path)).map((path) => path.slice(13))
  const kinds = ['cjs', 'd.cts', 'd.ts', 'js']
  const made = ENTRIES.flatMap((entry) => kinds.map((kind) => `${entry}.${kind}`))
  expect(built).toEqual(['cli.cjs', 'cli-whole.cjs', 'page.html', ...made].sort())
})

test('every file that package.json names is there, types for both conditions among them', () => {
  const { main, module, types, bin, exports } = JSON.parse(readFileSync(join(installed, 'package.json'), 'utf8'))
  const subpaths = ENTRIES.map((entry) => exports[entry === 'index' ? '.' : `./${entry}`])
  const named = [
    main,
    module,
    types,
    ...Object.values(bin),
    ...subpaths.flatMap((conditions) => Object.values(conditions).flatMap((kind) => Object.values(kind as object))),
  ] as string[]
  expect(named.filter((path) => !existsSync(join(installed, path)))).toEqual([])
})

test('an ES module imports it', () => {
  expect(consume('esm.mjs').status).toBe('match')
})

test('a CommonJS module requires it', () => {
  expect(consume('commonjs.cjs').status).toBe('match')
})

test('both kinds of module get the same names', () => {
  const { names } = consume('esm.mjs')
  expect(names['index']).toContain('verify')
  expect(names['board']).toContain('examineAdapter')
  expect(names['vectors']).toEqual([
    'counterexampleVectors',
    'counterexampleVectorsInPieces',
    'distinguish',
    'distinguishInPieces',
    'exercise',
    'exerciseInPieces',
    'grade',
    'gradeInPieces',
  ])
  expect(Object.values(names).flat()).not.toContain('default')
  expect(consume('commonjs.cjs').names).toEqual(names)
})

// node16 finds what nodenext finds; a run of the compiler takes a second and a half.
test.each(['nodenext', 'bundler', ...longOnly('node16')])('TypeScript finds the types with %s resolution', (resolution) => {
  const { status, stdout } = spawnSync(execPath, [compiler, '-p', join(project, `tsconfig.${resolution}.json`)], {
    encoding: 'utf8',
  })
  expect(stdout).toBe('')
  expect(status).toBe(0)
})

test('the program runs from where it is installed', () => {
  const program = join(installed, 'dist/cli.cjs')
  const { version } = JSON.parse(readFileSync(join(installed, 'package.json'), 'utf8'))
  expect(execFileSync(execPath, [program, '--version'], { encoding: 'utf8' })).toBe(`${version}\n`)
  const report = execFileSync(execPath, [program, 'check', standardFile, '--device', '14L4', '--json'], {
    encoding: 'utf8',
  })
  expect(JSON.parse(report)).toMatchObject({ verdict: 'pass', device: { part: '14L4' } })
  // What is no check of one file is in the second file of the program.
  const shown = execFileSync(execPath, [program, 'show', standardFile, '--device', '14L4'], { encoding: 'utf8' })
  expect(shown).toContain('p16 = ')
})

test('a shell can start the program by its name', () => {
  expect(readFileSync(join(installed, 'dist/cli.cjs'), 'utf8').split('\n')[0]).toBe('#!/usr/bin/env node')
})
