/** Generated and damaged documents: steps, wirings, boards and parts, as parsed JSON. */
import type { Random } from '../jesd3/reference'

export type Json = null | boolean | number | string | readonly Json[] | { readonly [key: string]: Json }

/** Values that tend to be forgotten. */
const ODD: readonly Json[] = [
  null, true, false, 0, 1, -1, 2, 3, 19, 20, 0.5, 1e308, -1e308, 4294967296, 9007199254740993, '', '0', '1', 'X', 'Z',
  'H', 'L', '2', '__proto__', 'constructor', 'toString', 'length', '\u0000', '\u001b[31m', '\u202e', 'é', '😀', '*',
  [], {}, [[]], [0], [1, 2], { pin: 1 }, 'x'.repeat(200), '0x10', '0x0-0xFFFFFFFF',
]

type Path = readonly (string | number)[]

function pathsOf(value: Json, path: Path = []): Path[] {
  if (typeof value !== 'object' || value === null) return [path]
  return [path, ...Object.entries(value).flatMap(([key, inner]) => pathsOf(inner, [...path, key]))]
}

/** A copy with what stands at a path changed; `undefined` takes it out. */
export function changedAt(value: Json, path: Path, change: (old: Json) => Json | undefined): Json {
  const [key, ...rest] = path
  if (key === undefined) return change(value) ?? null
  if (Array.isArray(value)) {
    return (value as readonly Json[]).flatMap((item, i) => {
      if (i !== Number(key)) return [item]
      if (rest.length > 0) return [changedAt(item, rest, change)]
      const changed = change(item)
      return changed === undefined ? [] : [changed]
    })
  }
  return Object.fromEntries(
    Object.entries(value as object).flatMap(([name, item]: [string, Json]) => {
      if (name !== key) return [[name, item]]
      if (rest.length > 0) return [[name, changedAt(item, rest, change)]]
      const changed = change(item)
      return changed === undefined ? [] : [[name, changed]]
    }),
  )
}

/** Every document with one thing taken out. */
export function lessened(value: Json): Json[] {
  return pathsOf(value)
    .filter((path) => path.length > 0)
    .map((path) => changedAt(value, path, () => undefined))
}

/** One thing changed: replaced, taken out, doubled, moved by one, or renamed. */
export function damagedDocument(value: Json, random: Random): Json {
  const path = random.pick(pathsOf(value))
  return changedAt(value, path, (old) => {
    const kind = random.below(6)
    if (kind === 0) return path.length > 0 ? undefined : old
    if (kind === 1 && Array.isArray(old)) return [...(old as readonly Json[]), ...(old as readonly Json[])]
    if (kind === 2 && typeof old === 'number') return old + random.below(3) - 1
    if (kind === 3 && typeof old === 'object' && old !== null && !Array.isArray(old))
      return { ...old, [random.pick(['x', '__proto__', '1', '99', 'toString', 'pins'])]: random.pick(ODD) }
    return random.pick(ODD)
  })
}

const several = (random: Random, most: number, one: () => Json): Json[] =>
  Array.from({ length: random.below(most + 1) }, one)

/** Some pins from `first` on with a word each: most parts have inputs at 2 to 9 and outputs from 14. */
const pinned = (random: Random, words: readonly Json[], first: number): Json =>
  Object.fromEntries(several(random, 4, () => 0).map(() => [String(first + random.below(6)), random.pick(words)]))

export function stepsDocument(random: Random): Json {
  const step = (): Json => ({
    ...(random.below(3) ? { set: pinned(random, [0, 1, '0', '1', 'X', 'Z'], 2) } : {}),
    ...(random.below(12) ? {} : { load: pinned(random, [0, 1], 14) }),
    ...(random.below(3) ? {} : { pulse: [random.pick(['clock', 'clock', 'clock', 2])] }),
    ...(random.below(4) ? {} : { repeat: 1 + random.below(5) }),
    ...(random.below(6) ? {} : { expect: pinned(random, ['H', 'L', 'Z', 'X'], 15) }),
    ...(random.below(6) ? {} : { note: random.pick(['a note', '\u001b[2J', '\u202e']) }),
  })
  return {
    ...(random.below(2) ? { start: random.pick(['unknown', 'power-up']) } : {}),
    pins: { clock: 1, ...(random.below(2) ? { a: 2, é: 3 } : {}) },
    ...(random.below(3) ? {} : { watch: [2, ...several(random, 3, () => 3 + random.below(6))] }),
    ...(random.below(3) ? {} : { timeStep: random.pick([4, 10, 100]) }),
    steps: [{ set: { 1: 0, 2: 1 } }, step(), ...several(random, 5, step)],
  }
}

export function wiringDocument(random: Random, addressLines: number): Json {
  const pins = Array.from({ length: 24 }, (_, i) => i + 1)
  const take = (): Json => {
    const pin = pins.splice(random.below(pins.length), 1)[0]!
    return random.below(4) ? pin : { pin, inverted: random.below(2) === 1 }
  }
  return {
    address: Array.from({ length: addressLines }, () => (random.below(8) ? take() : null)),
    data: Array.from({ length: 1 + random.below(8) }, () => (random.below(8) ? take() : null)),
    ...(random.below(3) ? {} : { held: { [String(pins[0])]: random.below(2) } }),
    ...(random.below(4) ? {} : { width: 8 }),
    ...(random.below(3) ? {} : { off: random.pick([0, 1, null]) }),
    ...(random.below(4) ? {} : { badRows: [random.below(8), [1, 3], '0x2-0x5'] }),
  }
}

/** Boards of up to three parts, whose files are `0.jed` and `1.jed`. */
export function boardDocument(random: Random): Json {
  const nets = ['A', 'B', 'C', 'D', 'E', 'F', 'W', 'G']
  const net = (): string => random.pick(nets)
  const used = new Set<string>()
  const part = (name: string): Json => {
    const pins = Object.fromEntries(
      several(random, 10, () => 0).map(() => [String(1 + random.below(20)), net()]),
    ) as Record<string, string>
    for (const one of Object.values(pins)) used.add(one)
    return { name, file: random.pick(['0.jed', '1.jed']), device: random.pick(['16V8', '14L4', '16L8']), pins }
  }
  const parts = [part('U1'), ...(random.below(2) ? [part('U2')] : []), ...(random.below(4) ? [] : [part('U3')])]
  return {
    parts,
    outside: [...used].map((one, i) => {
      const direction = random.pick(['input', 'input', 'output', 'output', 'both', 'supply', 'ground'])
      const isHeld = direction === 'input' && random.below(5) === 0
      return { pin: i + 1, net: one, direction, ...(isHeld ? { held: random.below(2) } : {}) }
    }),
    diodes: several(random, 4, () => 0).map((_, i) => {
      const at = random.below(nets.length)
      const other = (at + 1 + random.below(nets.length - 1)) % nets.length
      return { name: `D${i}`, anode: nets[at]!, cathode: nets[other]! }
    }),
    resistors: several(random, 3, () => 0).map((_, i) => ({
      name: `R${i}`,
      net: net(),
      to: random.pick(['supply', 'ground']),
      ...(random.below(2) ? { ohms: random.pick([0, 1, 4700, 1e9]) } : {}),
    })),
    ...(random.below(3) ? {} : { wires: [[net(), net()]] }),
    ...(random.below(3) ? {} : { internalPullUps: true }),
  }
}
