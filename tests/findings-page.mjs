/**
 * The page of the finding codes, made from the catalogue. `npm run build && node tests/findings-page.mjs` writes it;
 * `tests/readme.test.ts` holds it equal.
 */
import { writeFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'

const INTRODUCTION = `# Findings

A finding is what a file, a part or a chip shows: a code with its data, from which message, hint and clause are made.
Codes are stable and never used again for something else; branch on them, never on the message. The data hold codes,
numbers and addresses, and besides them only names and texts of documents, so that a finding can be worded anew.

- An **error** means: do not burn the file as it is.
- A **warning** means: look before you burn.
- A **note** is worth knowing.

\`{name}\` stands for a value of the finding's \`data\`, \`{count:one|many}\` for a count with the word that goes with it,
\`{name,and}\` for a list with what joins its last two, \`{name,=one|many}\` for a list behind the word that goes with it,
and \`{name!}\` for the message of another finding. A value that is one of a few codes has its texts in \`words\` of the
entry, and a record in a list in \`items\`; \`findingCatalogue()\` gives all of it as data. "3-A" is JEDEC Standard
No. 3-A. After a build, \`node tests/findings-page.mjs\` writes this page.
`

/** Groups of codes by what stands before the slash, each with its heading. */
const HEADINGS = {
  file: 'The file',
  checksum: 'Checksums',
  security: 'Security',
  vector: 'Test vectors',
  device: 'Parts',
  compare: 'Comparisons',
  readback: 'Read-backs',
  readings: 'Several reads',
  capture: 'Captures',
  grade: 'Grading',
  exercise: 'Making vectors',
  distinguish: 'Telling apart',
  adapter: 'Boards',
}

/** Text of a cell: a bar would end it. */
const cell = (text) => text.replaceAll('|', '\\|')

const row = ([code, { severity, message, hint, clause }]) =>
  `| \`${code}\` | ${severity} | ${cell(message)} | ${cell(hint)} | ${cell(clause)} |`

/** The whole page for a catalogue, group by group in its order; a group without a heading has its own name for one. */
export function findingsPage(catalogue) {
  const entries = Object.entries(catalogue)
  const groups = [...new Set(entries.map(([code]) => code.split('/')[0]))]
  const tables = groups.map((group) => {
    const rows = entries.filter(([code]) => code.startsWith(`${group}/`)).map(row)
    const heading = `## ${HEADINGS[group] ?? group}`
    return [heading, '', '| code | severity | message | what to do | clause |', '|---|---|---|---|---|', ...rows]
  })
  return [INTRODUCTION, ...tables.map((lines) => `${lines.join('\n')}\n`)].join('\n')
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const { findingCatalogue } = await import('../dist/index.js')
  writeFileSync(new URL('../src/findings/README.md', import.meta.url), findingsPage(findingCatalogue()))
}
