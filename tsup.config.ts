import { readFileSync } from 'node:fs'
import { defineConfig } from 'tsup'

const { version } = JSON.parse(readFileSync('package.json', 'utf8')) as { version: string }

// The library is built twice for its two kinds of consumers, an entry a file of src, with what they share in chunks.
// The program is CommonJS: Node starts a CommonJS file
// about ten milliseconds sooner than a module, and a check of one file takes less than that.
export default defineConfig([
  {
    entry: ['src/*.ts'],
    format: ['esm', 'cjs'],
    splitting: true,
    dts: true,
    clean: true,
    target: 'es2022',
    platform: 'neutral',
    treeshake: true,
  },
  {
    entry: { cli: 'src/cli/bin.ts' },
    format: ['cjs'],
    target: 'node20',
    platform: 'node',
    minify: true,
    removeNodeProtocol: false,
    define: { __VERSION__: JSON.stringify(version) },
  },
])
