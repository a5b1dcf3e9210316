/** Fuse files from a grammar, from real maps, and damaged ones. */
import { readdirSync, readFileSync } from 'node:fs'
import { listDevices, setFuse, writeFuseFile, type FuseMap } from '../../src/index'
import { DAMAGE } from '../jesd3/damage'
import { framed, latin1, textFrom, type Random } from '../jesd3/reference'
import { hostileVectors, randomMap } from '../vectors/random-maps'

const FOLDER = new URL('../../vectors/', import.meta.url)

/** Every fuse file of vectors/, in the order of their names. */
export const SEED_FILES: readonly Uint8Array[] = readdirSync(FOLDER, { recursive: true })
  .filter((name) => name.endsWith('.jed'))
  .sort()
  .map((name) => Uint8Array.from(readFileSync(new URL(name, FOLDER))))
  .filter(({ length }) => length < 20_000)

export const DECODED_PARTS = listDevices().filter(({ modes }) => modes.length > 0)

const digits = (random: Random, most: number): string => random.text(random.below(most + 1), '01')
const number = (random: Random): string =>
  random.pick(['0', '1', '7', '8', '31', '32', '448', '2048', '2194', '00020', '33554433', '99999999999999999999', ''])

/** What each field may hold; here and there something that it may not. */
const FIELDS: Readonly<Record<string, (random: Random) => string>> = {
  QF: number,
  QP: (random) => random.pick(['20', '24', '4', '0', '999999', '']),
  QV: number,
  F: (random) => random.pick(['0', '1', '2', '', 'x']),
  G: (random) => random.pick(['0', '1', '']),
  L: (random) => `${number(random)}${random.pick([' ', '\r\n', ''])}${digits(random, 40)}`,
  K: (random) => `${number(random)} ${random.text(random.below(8), '0123456789ABCDEFx')}`,
  C: (random) => random.text(random.pick([4, 4, 3, 0]), '0123456789ABCDEF'),
  V: (random) => `${number(random)} ${random.text(random.pick([20, 20, 4, 0]), '01CDFHKLNPUXZB23')}`,
  P: (random) => Array.from({ length: random.below(21) }, () => String(1 + random.below(24))).join(' '),
  X: (random) => random.pick(['0', '1', '']),
  U: (random) => random.pick(['', 'H12', 'Atext', digits(random, 24), 'HXY']),
  E: (random) => digits(random, 8),
  N: (random) => random.text(random.below(12), ' aZ\xe9\r\n\x1b\x00'),
  J: (random) => `${number(random)} ${number(random)}`,
  A: number,
  S: (random) => digits(random, 8),
  R: (random) => random.text(8, '0123456789ABCDEF'),
  T: number,
  D: number,
  '': (random) => random.text(random.below(6), 'abWYZ \x02\x03\x80\xff'),
}

/** Fields in any order, in a frame that now and then is none. */
export function grammarFile(random: Random): Uint8Array {
  const names = Object.keys(FIELDS)
  const field = (): string => {
    const name = random.pick(names)
    return `${name}${FIELDS[name]!(random)}${random.pick(['*', '*', '*\r\n', '*\n', ''])}`
  }
  const size = random.below(2) ? `QF${random.pick(['8', '32', '448', '2194'])}*F${random.below(2)}*` : ''
  const body = `title*\r\n${size}${Array.from({ length: random.below(14) }, field).join('')}`
  return random.below(6) ? framed(body, random.below(3) ? undefined : random.text(4, '0123456789abcdefG')) : latin1(body)
}

/** A whole file of a random map of a part, with vectors of any kind. */
export function mapFile(random: Random, part = random.pick(DECODED_PARTS)): Uint8Array {
  const fuses: FuseMap = randomMap(part, (bound) => random.below(bound))
  for (let flips = random.below(3); flips > 0; flips--) setFuse(fuses, random.below(fuses.length), random.below(2) as 0 | 1)
  const count = random.below(6)
  const vectors = hostileVectors(part.pinCount, count, (bound) => random.below(bound)).map((conditions, i) => ({
    number: i + 1,
    conditions,
    offset: null,
  }))
  return writeFuseFile({ fuses, vectors, pinCount: part.pinCount, notes: [`Device ${part.part}`] })
}

/** Any of the three kinds, sound or damaged up to four times. */
export function anyFile(random: Random): Uint8Array {
  const kind = random.below(4)
  let bytes = kind === 0 ? grammarFile(random) : kind === 1 ? mapFile(random) : random.pick(SEED_FILES)
  for (let times = random.below(5) - (kind === 1 ? 2 : 0); times > 0; times--)
    bytes = random.pick(Object.values(DAMAGE))(bytes, random, random.pick(SEED_FILES))
  return bytes
}

/** A file and a neighbour of it: the same, one fuse away, or anything. */
export function pairOfFiles(random: Random): [Uint8Array, Uint8Array] {
  const first = random.below(2) ? mapFile(random) : anyFile(random)
  const kind = random.below(4)
  if (kind === 0) return [first, first]
  if (kind === 1) return [first, anyFile(random)]
  if (kind === 2) return [first, random.pick(Object.values(DAMAGE))(first, random, first)]
  const text = textFrom(first)
  const lists = [...text.matchAll(/L\d+ [01]+/g)]
  const list = lists.length ? random.pick(lists) : null
  const bytes = first.slice()
  if (list) {
    const at = list.index + list[0].length - 1
    bytes[at] = bytes[at]! ^ 1
  }
  return [first, bytes]
}

/** The part that a generated file names in its note, so that a map of a shared size is decoded too. */
export function namedPart(bytes: Uint8Array): { device?: string } {
  const [, part] = /Device (\w+)\*/.exec(textFrom(bytes)) ?? []
  return part === undefined ? {} : { device: part }
}
