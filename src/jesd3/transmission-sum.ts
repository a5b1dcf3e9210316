/**
 * The transmission checksum (3-A, "Transmission checksum"): the 7-bit values of all bytes from STX through ETX,
 * modulo 65536.
 */
import type { Span } from './fuse-file'

/**
 * Sum of the 7-bit values of `bytes[start, end)` modulo 65536. Four bytes are added at a time in two pairs of 16-bit
 * lanes; a lane takes 512 values of 127 before it could overflow.
 */
export function sumBytes(bytes: Uint8Array, { start, end }: Span): number {
  let sum = 0
  let i = start
  for (; i < end && (bytes.byteOffset + i) & 3; i++) sum += bytes[i]! & 0x7f
  const count = (end - i) >>> 2
  const words = count > 0 ? new Uint32Array(bytes.buffer, bytes.byteOffset + i, count) : []
  for (let w = 0; w < count;) {
    const stop = Math.min(w + 256, count)
    let lanes = 0
    for (; w < stop; w++) {
      const four = words[w]! & 0x7f7f7f7f
      lanes += (four & 0x00ff00ff) + ((four >>> 8) & 0x00ff00ff)
    }
    sum += (lanes & 0xffff) + (lanes >>> 16)
  }
  for (i += count * 4; i < end; i++) sum += bytes[i]! & 0x7f
  return sum & 0xffff
}
