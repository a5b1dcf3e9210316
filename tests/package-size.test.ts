/** The size of each entry, and of what most callers take alone, held with little slack: it grows by intent only. */
import { expect, test } from 'vitest'
import { compressedSize, ENTRY_NAMES, SIZES } from './bench/package-sizes.mjs'

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
