// Reads the arguments and loads the rest, which is TypeScript, through the server that runs the tests too.
import { readFileSync } from 'node:fs'
import { parseArgs } from 'node:util'
import { createViteServer } from 'vitest/node'

/** Milliseconds of the processor, those of collecting garbage with them. */
function processorTime() {
  const { user, system } = process.cpuUsage()
  return (user + system) / 1000
}

const { values } = parseArgs({
  options: {
    seconds: { type: 'string', default: '60' },
    seed: { type: 'string', default: '1' },
    only: { type: 'string' },
  },
})
const { version } = JSON.parse(readFileSync(new URL('../../package.json', import.meta.url), 'utf8'))
const server = await createViteServer({
  configFile: false,
  root: new URL('../..', import.meta.url).pathname,
  define: { __VERSION__: JSON.stringify(version) },
  server: { middlewareMode: true, watch: null, ws: false },
  optimizeDeps: { noDiscovery: true },
  logLevel: 'error',
})
try {
  const { fuzz } = await server.ssrLoadModule('/tests/fuzz/main.ts')
  const options = { seconds: Number(values.seconds), seed: Number(values.seed), only: values.only ?? null }
  const clocks = { passed: () => performance.now(), worked: processorTime }
  process.exitCode = fuzz(options, clocks, console.log) > 0 ? 1 : 0
} finally {
  await server.close()
}
