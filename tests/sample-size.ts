/** How many seeded cases a test tries: few in every run, many in the long form, `npm run test:long`. */
export function sampleSize(usual: number, long: number): number {
  return import.meta.env.MODE === 'long' ? long : usual
}

/** Cases that only the long form tries. */
export function longOnly<T>(...cases: readonly T[]): readonly T[] {
  return cases.slice(0, sampleSize(0, cases.length))
}
