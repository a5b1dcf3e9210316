/** A file while it is written: bytes in one array that grows, since a large map has a field a row. */
import type { FuseMap } from '../fuses/fuse-map'

export interface ByteSink {
  bytes: Uint8Array
  /** Bytes written so far. */
  length: number
}

/** An empty sink with room for `expected` bytes. */
export function startSink(expected: number): ByteSink {
  return { bytes: new Uint8Array(expected), length: 0 }
}

/** Makes room for `count` more bytes; doubles, so that writing stays linear. */
function makeRoom(sink: ByteSink, count: number): void {
  const needed = sink.length + count
  if (needed <= sink.bytes.length) return
  const bytes = new Uint8Array(Math.max(needed, sink.bytes.length * 2))
  bytes.set(sink.bytes)
  sink.bytes = bytes
}

/** Writes ASCII text. */
export function putText(sink: ByteSink, text: string): void {
  makeRoom(sink, text.length)
  const { bytes, length } = sink
  for (let i = 0; i < text.length; i++) bytes[length + i] = text.charCodeAt(i)
  sink.length += text.length
}

/** Writes the states of fuses [from, to) as digits. */
export function putDigits(sink: ByteSink, { bits }: FuseMap, from: number, to: number): void {
  makeRoom(sink, to - from)
  const { bytes } = sink
  for (let i = from; i < to; i++) bytes[sink.length++] = 0x30 | ((bits[i >>> 3]! >>> (i & 7)) & 1)
}
