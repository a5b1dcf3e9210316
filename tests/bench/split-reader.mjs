/**
 * The reader that anyone would write in ten minutes, as the thing to be faster than: split at the asterisks, a regular
 * expression a kind of field, one byte a fuse, both sums. It gives no positions, no findings and no account of what it
 * could not read.
 */
export function splitReader(bytes) {
  const text = Buffer.from(bytes.buffer, bytes.byteOffset, bytes.length).toString('latin1')
  const start = text.indexOf('\x02')
  const end = text.indexOf('\x03')
  const [title, ...fields] = text.slice(start + 1, end).split('*')
  let fuses = new Uint8Array(0)
  let pinCount = null
  let security = null
  let statedFuseSum = null
  const notes = []
  for (const field of fields) {
    let parts
    if ((parts = /^\s*L\s*(\d+)\s+([01\s]*)$/.exec(field))) {
      let at = Number(parts[1])
      for (const digit of parts[2].replace(/\s+/g, '')) fuses[at++] = digit === '1' ? 1 : 0
    } else if ((parts = /^\s*QF\s*(\d+)\s*$/.exec(field))) fuses = new Uint8Array(Number(parts[1]))
    else if ((parts = /^\s*QP\s*(\d+)\s*$/.exec(field))) pinCount = Number(parts[1])
    else if ((parts = /^\s*F\s*([01])\s*$/.exec(field))) fuses.fill(Number(parts[1]))
    else if ((parts = /^\s*G\s*([01])\s*$/.exec(field))) security = Number(parts[1])
    else if ((parts = /^\s*C\s*([0-9A-Fa-f]{4})\s*$/.exec(field))) statedFuseSum = parseInt(parts[1], 16)
    else if ((parts = /^\s*N(.*)$/s.exec(field))) notes.push(parts[1].trim())
  }
  let fuseSum = 0
  for (let i = 0; i < fuses.length; i++) fuseSum += fuses[i] << (i & 7)
  let sum = 0
  for (let i = start; i <= end; i++) sum += bytes[i]
  const statedSum = parseInt(text.slice(end + 1, end + 5), 16)
  return {
    title,
    notes,
    pinCount,
    security,
    fuses,
    fuseSumFits: (fuseSum & 0xffff) === statedFuseSum,
    sumFits: (sum & 0xffff) === statedSum,
  }
}
