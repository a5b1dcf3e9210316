/** Seeded damage to files: flipped, lost, doubled and moved bytes, pieces of other files, cuts. */
import { readdirSync, readFileSync } from 'node:fs'
import { framed, latin1, type Random } from './reference'

const FOLDER = new URL('../../vectors/', import.meta.url)

/** The published and the shown fuse files, and one that uses every field of the standard and its extensions. */
export const GOOD: readonly (readonly [name: string, bytes: Uint8Array])[] = [
  ...['published', 'demo']
    .flatMap((folder) => readdirSync(new URL(folder, FOLDER)).map((name) => `${folder}/${name}`))
    .filter((name) => name.endsWith('.jed'))
    .sort()
    .map((name) => [name, Uint8Array.from(readFileSync(new URL(name, FOLDER)))] as const),
  [
    'every field',
    framed(
      'Title*\r\nQP4*QF40*QV3*\r\nG0*F1*X0*\r\nN note*D x*J0 0*A25*B*\r\nL0 1011 0001\r\n1101*\r\nL32 1*K16 A5*E101*\r\nC0A2F*UH12*UAtext*\r\n' +
        'P 4 3 2 1*\r\nS0101*R5BCD34A7*T01*\r\nV1 01HL*V3 C1ZX*\r\nV2 PN01*\r\n',
    ),
  ],
]

/** Bytes that mean something, so that damage hits more than notes. */
const TELLING = latin1('\x02\x03*\r\n \t01LCFQVKEUGNPX9Aa\x00\x7f\x80\xaa\xb1\xff')

export type Damage = (bytes: Uint8Array, random: Random, other: Uint8Array) => Uint8Array

function spliced(bytes: Uint8Array, from: number, to: number, piece: Uint8Array | readonly number[]): Uint8Array {
  return Uint8Array.from([...bytes.subarray(0, from), ...piece, ...bytes.subarray(to)])
}

function stretch(length: number, random: Random): [from: number, to: number] {
  const from = random.below(length + 1)
  return [from, Math.min(length, from + random.below(40))]
}

export const DAMAGE: Readonly<Record<string, Damage>> = {
  'a bit flipped': (bytes, random) => {
    const at = random.below(bytes.length)
    return bytes.length ? spliced(bytes, at, at + 1, [bytes[at]! ^ (1 << random.below(8))]) : bytes
  },
  'a byte replaced': (bytes, random) => {
    const at = random.below(bytes.length)
    return spliced(bytes, at, at + 1, [random.pick(TELLING)])
  },
  'a stretch lost': (bytes, random) => spliced(bytes, ...stretch(bytes.length, random), []),
  'bytes put in': (bytes, random) => {
    const at = random.below(bytes.length + 1)
    return spliced(
      bytes,
      at,
      at,
      Array.from({ length: 1 + random.below(6) }, () => random.pick(TELLING)),
    )
  },
  'a stretch doubled': (bytes, random) => {
    const [from, to] = stretch(bytes.length, random)
    return spliced(bytes, to, to, bytes.slice(from, to))
  },
  'a piece of another file put in': (bytes, random, other) => {
    const at = random.below(bytes.length + 1)
    return spliced(bytes, at, at, other.slice(...stretch(other.length, random)))
  },
  cut: (bytes, random) => bytes.slice(0, random.below(bytes.length + 1)),
  'the head lost': (bytes, random) => bytes.slice(random.below(bytes.length)),
}
