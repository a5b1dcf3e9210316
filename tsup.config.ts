import { createHash } from 'node:crypto'
import { readFileSync, rmSync, writeFileSync } from 'node:fs'
import { defineConfig } from 'tsup'
import { pageHtml } from './src/browser/page-html'
import { STYLE_HASH } from './src/report/html/page'

const { version } = JSON.parse(readFileSync('package.json', 'utf8')) as { version: string }

// The library is built twice for its two kinds of consumers, an entry a file of src, with what they share in chunks.
// The program is CommonJS: Node starts a CommonJS file about ten milliseconds sooner than a module, and a check of one
// file takes less than that. What a check of one file does without is in a file of its own.
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
    entry: { cli: 'src/cli/bin.ts', 'cli-whole': 'src/cli/every-command.ts' },
    format: ['cjs'],
    splitting: false,
    target: 'node20',
    platform: 'node',
    minify: true,
    removeNodeProtocol: false,
    define: { __VERSION__: JSON.stringify(version) },
  },
  // The page is one file that works without a server: its two scripts are put into it.
  {
    entry: { page: 'src/browser/page-start.ts', worker: 'src/browser/worker-start.ts' },
    outDir: 'dist/browser',
    format: ['iife'],
    target: 'es2022',
    platform: 'browser',
    minify: true,
    onSuccess: async () => {
      const read = (name: string): string => readFileSync(`dist/browser/${name}.global.js`, 'utf8')
      const hashOf = (text: string): string => createHash('sha256').update(text).digest('base64')
      const parts = { script: read('page'), worker: read('worker'), hashOf, reportStyle: STYLE_HASH }
      writeFileSync('dist/page.html', pageHtml(parts))
      rmSync('dist/browser', { recursive: true })
    },
  },
])
