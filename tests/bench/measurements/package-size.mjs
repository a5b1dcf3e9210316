/** What the library adds to a page or a program: minified and compressed, in kilobytes of 1000 bytes. */
import { compressedSize, SIZES } from '../package-sizes.mjs'

export const packageSize = SIZES.map((size) => ({
  name: `${size.name}, compressed`,
  unit: 'kilobytes',
  goal: size.goal,
  sense: 'at most',
  measure: () => compressedSize(size),
}))
