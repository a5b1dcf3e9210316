/** A row or an address as it is printed, and as a wiring takes it back: `0x1234`. */
export function hexAddress(address: number): string {
  return `0x${address.toString(16).toUpperCase().padStart(4, '0')}`
}
