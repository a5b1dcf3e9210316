// `npm test`: the package is built where it is older than what it is made from, since installing builds it too (15 s).
// The types are checked beside the tests: alone, the compiler would leave a core idle for half of its 14 seconds.
import { spawn } from 'node:child_process'
import { readdirSync, readFileSync, statSync } from 'node:fs'
import { createRequire } from 'node:module'
import { dirname, join } from 'node:path'
import process, { argv, execPath, exit } from 'node:process'
import { fileURLToPath } from 'node:url'

const root = fileURLToPath(new URL('..', import.meta.url))
const require = createRequire(import.meta.url)

const timeOf = (path) => statSync(join(root, path), { throwIfNoEntry: false })?.mtimeMs ?? -Infinity

/** Folders count as well: their time says that a file was taken out. */
const sources = ['src', ...readdirSync(join(root, 'src'), { recursive: true }).map((path) => join('src', path))]
const settings = ['package.json', 'package-lock.json', 'tsconfig.json', 'tsup.config.ts']

/** Every file that the package names. */
function builtFiles({ exports, bin }) {
  const named = (value) => (typeof value === 'string' ? [value] : Object.values(value).flatMap(named))
  return [...named(exports), ...named(bin)].filter((path) => path.includes('dist/'))
}

const built = builtFiles(JSON.parse(readFileSync(join(root, 'package.json'), 'utf8')))
const isOld = Math.min(...built.map(timeOf)) <= Math.max(...[...sources, ...settings].map(timeOf))

/** Runs a program of a package; what it prints is shown as it comes (`inherit`), or given where it ends (`pipe`). */
function run([name, path], args, stdout) {
  return new Promise((resolve) => {
    const program = join(dirname(require.resolve(`${name}/package.json`)), path)
    const child = spawn(execPath, [program, ...args], { cwd: root, stdio: ['inherit', stdout, 'inherit'] })
    let said = ''
    child.stdout?.on('data', (text) => (said += text))
    child.on('exit', (code) => resolve({ code: code ?? 1, said }))
  })
}

/**
 * Takes src with the tests. Alone, without what tests declare of their host, src is checked where it is built. What the
 * compiler found right it remembers: a second run takes a third of the time.
 */
const remembered = ['--incremental', '--tsBuildInfoFile', 'node_modules/.cache/types.tsbuildinfo']
const check = run(['typescript', 'bin/tsc'], ['-p', 'tests', ...remembered], 'pipe')

if (isOld) {
  const { code } = await run(['tsup', 'dist/cli-default.js'], ['--silent'], 'inherit')
  if (code !== 0) exit(code)
}
const tests = await run(['vitest', 'vitest.mjs'], ['run', '--root', 'tests', ...argv.slice(2)], 'inherit')
const types = await check
process.stdout.write(types.said)
process.exitCode = Math.max(tests.code, types.code)
