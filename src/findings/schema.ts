/**
 * The version of the JSON documents that the package gives and takes, their key `schema`. Keys may be added under one
 * number; a key that goes, or changes its meaning, raises it.
 */
export const SCHEMA = 1 as const
