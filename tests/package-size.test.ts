/** The size of each entry, and of what most callers take alone, held with little slack: it grows by intent only. */
import { expect, test } from 'vitest'
import { bundle } from './bench/bundle.mjs'
import { compressedSize, ENTRY_NAMES, moduleOf, SIZES } from './bench/package-sizes.mjs'

/** A bundle takes a second or two, several on a busy machine. */
const TIMEOUT = 60_000

test('every entry has a size', () => {
  const named = SIZES.flatMap(({ name }) => /^the entry (\w+)$/.exec(name)?.[1] ?? [])
  expect(named.sort()).toEqual([...ENTRY_NAMES])
})

test.each(SIZES)(
  '$name takes at most $most kB',
  async (size) => {
    const kilobytes = await compressedSize(size)
    expect(kilobytes).toBeLessThanOrEqual(size.most)
    // A bound far above what is there holds nothing.
    expect(kilobytes).toBeGreaterThan(size.most * 0.95)
  },
  TIMEOUT,
)

/**
 * A chunk of the package is loaded whole, and a source lies in the chunks of every entry whose imports lead to it. Where
 * one function of a large source was used, an entry loaded three times what it ran (report, 285 kB of sources).
 */
test.each(ENTRY_NAMES)(
  'the imports of the entry %s lead to less than 15 kB of sources that it does not use',
  async (entry) => {
    const { contributions, reached } = await bundle(`export * from ${moduleOf(entry)}`)
    const sources = Object.entries(reached).filter(([path]) => path.includes('src/'))
    const unused = sources.filter(([path]) => !contributions[path])
    expect(sources.length).toBeGreaterThan(50)
    expect(unused.reduce((sum, [, bytes]) => sum + bytes, 0)).toBeLessThan(15_000)
  },
  TIMEOUT,
)
