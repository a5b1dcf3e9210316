/** Timing that compares: two tasks take turns, so that what slows the machine for a while slows both. */

export function median(values) {
  const sorted = [...values].sort((a, b) => a - b)
  const middle = sorted.length >> 1
  return sorted.length % 2 ? sorted[middle] : (sorted[middle - 1] + sorted[middle]) / 2
}

/** Keeps the result of a task where the compiler cannot prove that nobody looks at it. */
export const sink = { last: null }

/**
 * Milliseconds that `times` runs of a task take. Before a single long run the garbage of others is collected, not on
 * its time; many short ones pay for their own, and a full collection before each sample would only shrink what V8 gives
 * them.
 */
export function timeOf(task, times = 1) {
  if (times === 1) globalThis.gc?.()
  const start = process.hrtime.bigint()
  for (let i = 0; i < times; i++) sink.last = task()
  return Number(process.hrtime.bigint() - start) / 1e6
}

/** Median over `pairs` pairs of runs of the time of `task` over that of `other`; the order changes with every pair. */
export function ratioOf(task, other, { pairs, times = 1, warmUp = 3 }) {
  for (let i = 0; i < warmUp; i++) {
    timeOf(task, times)
    timeOf(other, times)
  }
  const ratios = []
  for (let i = 0; i < pairs; i++) {
    const early = i % 2 ? timeOf(other, times) : timeOf(task, times)
    const late = i % 2 ? timeOf(task, times) : timeOf(other, times)
    ratios.push(i % 2 ? late / early : early / late)
  }
  return median(ratios)
}

/** Slope of the straight line of least squares through the logarithms of the points [x, y]. */
export function exponentOf(points) {
  const logs = points.map(([x, y]) => [Math.log(x), Math.log(y)])
  const mean = (i) => logs.reduce((sum, point) => sum + point[i], 0) / logs.length
  const [meanX, meanY] = [mean(0), mean(1)]
  const along = logs.reduce((sum, [x, y]) => sum + (x - meanX) * (y - meanY), 0)
  return along / logs.reduce((sum, [x]) => sum + (x - meanX) ** 2, 0)
}
