/** Types of package-sizes.mjs, for the test that holds the sizes. */
export interface PackageSize {
  readonly name: string
  readonly source: string
  readonly leaveOut?: RegExp
  readonly goal: number
  readonly most: number
}

export function moduleOf(entry: string): string
export const ENTRY_NAMES: readonly string[]
export const SIZES: readonly PackageSize[]
export function compressedSize(size: PackageSize): Promise<number>
