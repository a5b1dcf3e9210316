// npm run growth: the table of growth in DEVELOPERS.md, as the tests of growth count it. Rows of one entry point that
// differ in their content alone are one row.
import { fileURLToPath } from 'node:url'
import { startVitest } from 'vitest/node'

const found = []
const root = fileURLToPath(new URL('.', import.meta.url))
const collector = { onTestCaseResult: (test) => void found.push(test.meta().growth) }
const vitest = await startVitest('test', ['growth.test.ts'], { root, watch: false, reporters: [collector] })
await vitest.close()

const rows = found.filter((row) => row !== undefined)
console.log('| entry point | sizes | work at the largest | exponent |\n|---|---|--:|--:|')
for (const [name, group] of groupBy(rows, ({ kind }) => kind.split(':')[0])) {
  const { sizes } = group[0]
  const contents = group.length > 1 ? `, ${group.length} kinds of content` : ''
  const work = Math.max(...group.map((row) => row.work))
  console.log(`| ${name}${contents} | ${sizes[0]} to ${sizes.at(-1)} | ${work} | ${exponents(group)} |`)
}

function groupBy(list, keyOf) {
  const groups = new Map()
  for (const one of list) groups.set(keyOf(one), [...(groups.get(keyOf(one)) ?? []), one])
  return groups
}

function exponents(group) {
  const sorted = group.map(({ exponent }) => exponent).sort((a, b) => a - b)
  return [...new Set([sorted[0], sorted.at(-1)].map((exponent) => exponent.toFixed(2)))].join(' to ')
}
