import { readFileSync } from 'node:fs'
import { defineConfig } from 'vitest/config'

const { version } = JSON.parse(readFileSync(new URL('../package.json', import.meta.url), 'utf8')) as {
  version: string
}

export default defineConfig({
  define: { __VERSION__: JSON.stringify(version) },
  test: { include: ['**/*.test.ts'], testTimeout: 60_000, expect: { requireAssertions: true } },
})
