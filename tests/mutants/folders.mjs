// The folders that decide answers, and the tests that are to notice a change in them, by the names that vitest takes.
export const FOLDERS = {
  jesd3: { source: 'src/jesd3', tests: ['jesd3/'] },
  fuses: { source: 'src/fuses', tests: ['jesd3/fuse-map', 'jesd3/fuse-sum', 'jesd3/raw-bytes', 'jesd3/limits'] },
  logic: { source: 'src/logic', tests: ['logic/', 'vectors/', 'parts/ternary', 'parts/loops', 'analysis/hazards', 'sequence/'] },
  devices: { source: 'src/devices', tests: ['parts/', 'retarget/'] },
  vectors: { source: 'src/jobs/vectors', tests: ['vectors/'] },
  check: { source: 'src/jobs/check', tests: ['inspect/', 'vectors/', 'findings'] },
  table: { source: 'src/jobs/table', tests: ['logic/truth-table', 'logic/sweep', 'capture/compare-tables', 'cli-table'] },
  steps: { source: 'src/jobs/steps', tests: ['sequence/'] },
  compare: { source: 'src/jobs/compare', tests: ['compare/', 'reference/'] },
  readings: { source: 'src/jobs/readings', tests: ['readings/'] },
  retarget: { source: 'src/jobs/retarget', tests: ['retarget/'] },
  capture: { source: 'src/jobs/capture', tests: ['capture/'] },
  board: { source: 'src/jobs/board', tests: ['adapter/'] },
}

/** Tables of data, which have tests of their own against data sheets, and texts. */
export const isLeftOut = (path) => /\/data\/|\.d\.ts$/.test(path)
