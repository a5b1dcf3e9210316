/**
 * Bytes in memory of their own, which a caller can save as they are: `Uint8Array<ArrayBuffer>`, written so that
 * compilers before TypeScript 5.7, where `Uint8Array` takes no argument, read it as `Uint8Array`.
 */
export type SavedBytes = ReturnType<typeof Uint8Array.of>
