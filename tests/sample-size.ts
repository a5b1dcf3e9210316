/** How many seeded cases a test tries: few in every run, many in the long form, `npm run test:long`. */
export function sampleSize(usual: number, long: number): number {
  return import.meta.env.MODE === 'long' ? long : usual
}
