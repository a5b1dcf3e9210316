/** Bundles made with the project's own build tool, into a temporary folder that is removed again. */
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { build } from 'tsup'

/**
 * A plugin that leaves out the modules whose import path matches `pattern`; what imports them keeps one import each.
 */
function leavingOut(pattern) {
  return {
    name: 'leave-out',
    setup: ({ onResolve }) =>
      void onResolve({ filter: pattern }, ({ path }) => ({ path, external: true, sideEffects: false })),
  }
}

const made = new Map()

/**
 * Bundles an entry of the given source text, once: two tests ask for each entry of the package. Returns the minified
 * code, the bytes that each module contributes to it by the module's path, and the bytes of each source that an import
 * leads to, used or not.
 */
export function bundle(source, { leaveOut } = {}) {
  const key = `${leaveOut} ${source}`
  if (!made.has(key)) made.set(key, makeBundle(source, leaveOut))
  return made.get(key)
}

async function makeBundle(source, leaveOut) {
  const folder = mkdtempSync(join(tmpdir(), 'fuse-assay-bundle-'))
  try {
    writeFileSync(join(folder, 'entry.js'), source)
    await build({
      entry: { bundle: join(folder, 'entry.js') },
      outDir: join(folder, 'out'),
      config: false,
      format: ['esm'],
      outExtension: () => ({ js: '.js' }),
      target: 'es2022',
      platform: 'neutral',
      minify: true,
      metafile: true,
      silent: true,
      dts: false,
      esbuildPlugins: leaveOut ? [leavingOut(leaveOut)] : [],
    })
    const code = readFileSync(join(folder, 'out/bundle.js'), 'utf8')
    const { outputs, inputs } = JSON.parse(readFileSync(join(folder, 'out/metafile-esm.json'), 'utf8'))
    const contributions = Object.values(outputs).flatMap(({ inputs }) =>
      Object.entries(inputs).map(([path, { bytesInOutput }]) => [path, bytesInOutput]),
    )
    const reached = Object.fromEntries(Object.entries(inputs).map(([path, { bytes }]) => [path, bytes]))
    return { code, contributions: Object.fromEntries(contributions), reached }
  } finally {
    rmSync(folder, { recursive: true })
  }
}
