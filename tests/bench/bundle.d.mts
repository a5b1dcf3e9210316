/** Types of bundle.mjs, for the tests that use it too. */
export function bundle(source: string, options?: { readonly leaveOut?: RegExp }): Promise<{ readonly code: string; readonly contributions: Readonly<Record<string, number>>; readonly reached: Readonly<Record<string, number>> }>
