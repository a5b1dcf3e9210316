/** Fuse files for the bench, made anew in every run: right in both sums, the same bytes every time. */

/** Numbers from 0 to 2^32 − 1 from a seed (xorshift, period 2^32 − 1), so that every run measures the same bytes. */
export function numbersFrom(seed) {
  let state = seed
  return () => {
    state ^= state << 13
    state ^= state >>> 17
    state ^= state << 5
    return state >>> 0
  }
}

const DIGITS_PER_ROW = 44
/** `L0000000 `, the digits, `*` and CR LF. */
const BYTES_PER_ROW = 9 + DIGITS_PER_ROW + 3

/**
 * A file of about `size` bytes: a header, QP, QF, F, G, and rows of 44 fuses, the row length of a common 24-pin part.
 */
export function fileOfSize(size) {
  const rowCount = Math.max(1, Math.round((size - 120) / BYTES_PER_ROW))
  const next = numbersFrom(0x2f6e2b1)
  const fuses = new Uint8Array(rowCount * DIGITS_PER_ROW)
  // Few fuses of a real array are connected: about one in eight here.
  for (let i = 0; i < fuses.length; i++) fuses[i] = next() % 8 === 0 ? 0 : 1
  const rows = []
  for (let row = 0; row < rowCount; row++) rows.push(listOf(fuses, row * DIGITS_PER_ROW, DIGITS_PER_ROW, 7))
  return framed(['Made by the bench', 'QP24', `QF${fuses.length}`, 'F0', 'G0', ...rows, `C${fuseSum(fuses)}`])
}

/** A file of about two kilobytes for a 16V8 in its complex mode: five of eight rows are used, the others take F0. */
export function fileOf16V8() {
  const next = numbersFrom(0x16f8)
  const fuses = new Uint8Array(2194)
  const used = []
  for (let cell = 0; cell < 8; cell++)
    for (let row = cell * 8; row < cell * 8 + 5; row++) {
      fuses.fill(1, row * 32, row * 32 + 32)
      // The first row is the output enable, always on when nothing is connected; the others take three inputs each.
      if (row % 8)
        for (const pair of [next() % 4, 4 + (next() % 4), 8 + (next() % 4)])
          fuses[row * 32 + pair * 2 + (next() & 1)] = 0
      used.push(listOf(fuses, row * 32, 32, 4))
    }
  fuses.fill(1, 2048, 2056)
  fuses.fill(1, 2120, 2194)
  const tail = [
    listOf(fuses, 2048, 8, 4),
    listOf(fuses, 2056, 64, 4),
    listOf(fuses, 2120, 8, 4),
    listOf(fuses, 2128, 64, 4),
    listOf(fuses, 2192, 2, 4),
  ]
  return framed([
    'Made by the bench for a 16V8',
    'QP20',
    'QF2194',
    'F0',
    'G0',
    'N eight sums of four products',
    ...used,
    ...tail,
    `C${fuseSum(fuses)}`,
  ])
}

function listOf(fuses, first, count, width) {
  return `L${String(first).padStart(width, '0')} ${fuses.subarray(first, first + count).join('')}`
}

const hex4 = (sum) => (sum & 0xffff).toString(16).toUpperCase().padStart(4, '0')

/** Sum of the eight-bit words of a map that holds one fuse a byte. */
function fuseSum(fuses) {
  let sum = 0
  for (let i = 0; i < fuses.length; i++) sum += fuses[i] << (i & 7)
  return hex4(sum)
}

function framed(fields) {
  const body = Buffer.from(`\x02${fields.map((field) => `${field}*\r\n`).join('')}\x03`, 'latin1')
  const sum = body.reduce((total, byte) => total + byte, 0)
  // A copy of its own: a slice of Buffer's shared pool would hand the reader an array that begins in the middle.
  return Uint8Array.from(Buffer.concat([body, Buffer.from(hex4(sum), 'latin1')]))
}
