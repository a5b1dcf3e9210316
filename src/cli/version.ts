/** The version of the package, which the build puts in. */
declare const __VERSION__: string

export const VERSION: string = __VERSION__
