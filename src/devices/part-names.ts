/**
 * Part numbers as they are printed on chips. How makers mark version, power, package and range is common practice, no
 * published source holds all of it.
 */

/** A name in capitals, with the blanks and dashes between its leading letters and the number left out. */
export function plainPartName(name: string): string {
  return name
    .trim()
    .toUpperCase()
    .replace(/[®™]|\(R\)/g, '')
    .replace(/\s+/g, ' ')
    .replace(/^[A-Z]+(?:[ -][A-Z]+)*[ -]*(?=\d)/, (letters) => letters.replace(/[ -]/g, ''))
}

/** A maker's letters: before the name of a family (AMPAL, DMPAL, TIBPAL), or before a number of Signetics (N, S). */
const MAKER = /^(?:(?:AM|DM|TIB)(?=PAL)|[NS](?=82S))/

/**
 * What may stand behind a part number with its letters: a speed grade behind a dash or a blank, and behind a slash the
 * programming or screening. The dash may also be followed by words, as in the titles of files.
 */
const GRADE = /(?:-.*|\/[A-Z0-9]{1,5}| \d{1,3}[A-Z]{0,4}(?:\/[A-Z0-9]{1,5})?)$/

/** The number with its family and the letters behind, without maker and speed grade: `PAL16L8AM` of `AMPAL16L8AM-2`. */
export function partNumber(name: string): string {
  return plainPartName(name).replace(MAKER, '').replace(GRADE, '')
}

/** Packages, most letters first: skinny and plain DIPs, chip carriers, flat packs, small outlines. */
const PACKAGE = '(?:[JN][ST]|NL|F[KN]|[DFJNPSTW])'

/**
 * Letters behind a number that leave the fuse map as it is: version (A to E), power (H L Q Z), then range (C I M) and
 * package in either order.
 */
export function isSameMap(suffix: string): boolean {
  return new RegExp(`^[A-E]?[HLQZ]{0,2}(?:[CIM]?${PACKAGE}?|${PACKAGE}[CIM])$`).test(suffix)
}
