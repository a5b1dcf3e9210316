import { readFileSync } from 'node:fs'
import { defineConfig } from 'vitest/config'

const { version } = JSON.parse(readFileSync(new URL('../package.json', import.meta.url), 'utf8')) as {
  version: string
}

/** Tests that need modules of their own: they put something in the place of one, or count what runs. */
const ALONE = ['jesd3/limits.test.ts', 'inspect/once.test.ts', '**/*growth.test.ts']

// The other files of a worker share the modules, which saves a third of the time of a run.
export default defineConfig(({ mode }) => ({
  define: { __VERSION__: JSON.stringify(version) },
  test: {
    testTimeout: mode === 'long' ? 1_200_000 : 60_000,
    expect: { requireAssertions: true },
    pool: 'threads',
    maxWorkers: '100%',
    projects: [
      { extends: true, mode, test: { name: 'shared', include: ['**/*.test.ts'], exclude: ALONE, isolate: false } },
      { extends: true, mode, test: { name: 'alone', include: ALONE } },
    ],
  },
}))
