/** Packages with a contact numbering of their own. */
import type { Carrier } from '../device'

/**
 * The 28-contact carrier of 24-pin parts (GAL20V8, GAL22V10 and GAL20RA10 data sheets, pin drawings): 1, 8, 15 and 22
 * are not connected.
 */
export const PLCC_28: Carrier = {
  name: 'PLCC-28',
  dipPins: [0, 1, 2, 3, 4, 5, 6, 0, 7, 8, 9, 10, 11, 12, 0, 13, 14, 15, 16, 17, 18, 0, 19, 20, 21, 22, 23, 24],
}

/**
 * The 28-contact carrier of the PLS173 (Philips PLS173 product specification, p. 1): 5, 11, 19 and 25 are not
 * connected.
 */
export const PLCC_28_PLS173: Carrier = {
  name: 'PLCC-28',
  dipPins: [1, 2, 3, 4, 0, 5, 6, 7, 8, 9, 0, 10, 11, 12, 13, 14, 15, 16, 0, 17, 18, 19, 20, 21, 0, 22, 23, 24],
}
