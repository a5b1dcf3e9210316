/** Of wrong use of every function. */
const ARGUMENTS = 'arguments.test'

// The folders that decide answers, and the tests that are to notice a change in them, by the names that vitest takes.
export const FOLDERS = {
  jesd3: { source: 'src/jesd3', tests: ['jesd3/', 'findings.test', 'published.test', ARGUMENTS] },
  fuses: {
    source: 'src/fuses',
    tests: ['jesd3/fuse-', 'jesd3/raw-bytes', 'jesd3/limits', 'compare/read-back', ARGUMENTS],
  },
  logic: {
    source: 'src/logic',
    tests: ['logic/', 'vectors/', 'parts/ternary', 'parts/loops', 'parts/latches', 'analysis/', 'sequence/', ARGUMENTS],
  },
  devices: { source: 'src/devices', tests: ['parts/', 'retarget/', 'findings.test', ARGUMENTS] },
  inspect: { source: 'src/inspect', tests: ['inspect/', 'findings.test', 'vectors/', 'readings/', ARGUMENTS] },
  analyses: { source: 'src/analyses', tests: ['analysis/', 'findings.test', ARGUMENTS] },
  vectors: { source: 'src/jobs/vectors', tests: ['vectors/', 'findings.test', ARGUMENTS] },
  check: {
    source: 'src/jobs/check',
    tests: ['inspect/', 'vectors/', 'findings.test', 'report/check-screens', ARGUMENTS],
  },
  table: { source: 'src/jobs/table', tests: ['logic/truth-table', 'logic/sweep', 'capture/', 'cli-table', ARGUMENTS] },
  steps: { source: 'src/jobs/steps', tests: ['sequence/', 'cli-run', ARGUMENTS] },
  compare: { source: 'src/jobs/compare', tests: ['compare/', 'reference/', 'findings.test', ARGUMENTS] },
  readings: { source: 'src/jobs/readings', tests: ['readings/', 'findings.test', ARGUMENTS] },
  retarget: { source: 'src/jobs/retarget', tests: ['retarget/', ARGUMENTS] },
  grade: {
    source: 'src/jobs/grade',
    tests: [
      'grade/grade',
      'grade/live-part',
      'grade/straight',
      'grade/states',
      'grade/loops',
      'grade/irredundant',
      'grade/counts',
      'grade/faulty-logic',
      'grade/preloads',
      'grade/proved',
      'grade/made-sequences',
      'grade/small-faults',
      'grade/told',
      'vectors/distinguish',
      'cli-vectors',
      'findings.test',
      ARGUMENTS,
    ],
  },
  exercise: {
    source: 'src/jobs/exercise',
    tests: [
      'grade/made-',
      'grade/search-limits',
      'grade/exercise-told',
      'grade/states',
      'grade/shorten',
      'grade/irredundant',
      'cli-vectors',
      'pieces.test',
      'findings.test',
      ARGUMENTS,
    ],
  },
  distinguish: {
    source: 'src/jobs/distinguish',
    tests: [
      'vectors/counterexample',
      'vectors/distinguish',
      'vectors/down-counter',
      'cli-vectors',
      'pieces.test',
      'findings.test',
      ARGUMENTS,
    ],
  },
  capture: { source: 'src/jobs/capture', tests: ['capture/', 'pieces.test', 'findings.test', ARGUMENTS] },
  board: { source: 'src/jobs/board', tests: ['adapter/', 'pieces.test', 'findings.test', ARGUMENTS] },
}

/** Tests that take longest and are of one folder alone, by their names: others leave them out. */
export const OWN = { 'vectors/counterexample': 'distinguish' }

/** Tables of data, which have tests of their own against data sheets, and texts. */
export const isLeftOut = (path) => /\/data\/|\.d\.ts$/.test(path)
