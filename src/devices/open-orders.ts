/** Parts whose fuses are known by number and meaning and not by order (`fuse-orders.ts` has the orders). */

/** Catalogue names of these parts. */
export const OPEN_ORDERS: readonly string[] = ['82S100', 'PLS153', 'PLS173']

/** True for a part that is decoded only in an order that the caller names. */
export function hasOpenOrder(part: string): boolean {
  return OPEN_ORDERS.includes(part)
}
