// Makes ready what `npm test` runs on: the types are checked while the package is built, and it is built only where it
// is older than what it is made from, since installing builds it too (15 s).
import { spawn } from 'node:child_process'
import { readdirSync, readFileSync, statSync } from 'node:fs'
import { createRequire } from 'node:module'
import { dirname, join } from 'node:path'
import { execPath } from 'node:process'
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

function run(program, args) {
  return new Promise((resolve) => {
    const child = spawn(execPath, [join(dirname(require.resolve(`${program}/package.json`)), args[0]), ...args.slice(1)], {
      cwd: root,
      stdio: 'inherit',
    })
    child.on('exit', (code) => resolve(code ?? 1))
  })
}

const codes = await Promise.all([
  ...(isOld ? [run('tsup', ['dist/cli-default.js', '--silent'])] : []),
  ...['.', 'tests'].map((project) => run('typescript', ['bin/tsc', '-p', project])),
])
process.exitCode = Math.max(...codes)
