/** All parts that are known, and how a part is found by its name or by the size of a map. */
import { madeBy, stringOf, wholeNumber } from '../arguments/arguments'
import { hasPackage, takesMap, type Device } from './device'
import { PAL16L8, PAL16R4, PAL16R6, PAL16R8 } from './data/pals-20-pin'
import { PAL20L8, PAL20R4, PAL20R6, PAL20R8 } from './data/pals-24-pin'
import { GAL20RA10 } from './data/ra10-24-pin'
import { PAL10H8, PAL10L8, PAL12H6, PAL12L6, PAL14H4, PAL14L4, PAL16H2, PAL16L2 } from './data/small-pals-20-pin'
import { PAL12L10, PAL14L8, PAL16L6, PAL18L4, PAL20L2, PAL8L14 } from './data/small-pals-24-pin'
import {
  FPLA16X48X8,
  FPLA18X42X10,
  FPLA22X42X10,
  GAL18V10,
  PAL16C1,
  PAL16P8,
  PAL20C1,
  PAL20P8,
} from './data/undecoded-parts'
import { GAL22V10, GAL26CV12 } from './data/v10-family'
import { GAL16V8 } from './data/v8-20-pin'
import { GAL20V8 } from './data/v8-24-pin'
import { PAL20L10, PAL20X10, PAL20X4, PAL20X8 } from './data/xor-pals-24-pin'
import { nearestWords } from '../arguments/nearest'
import { isSameMap, partNumber } from './part-names'
import { partOf, type StatedPart } from './stated-part'

/** Parts that a person looks for together. */
export interface DeviceFamily {
  /** What the parts have in common. */
  readonly title: string
  /** The parts. */
  readonly devices: readonly Device[]
}

/** Filled at the first call, so that a part is one object however often it is asked for. */
let families: readonly DeviceFamily[] | null = null

/**
 * Every part of the catalogue, by families. A new part is a data file and its name here.
 *
 * @returns families in the order in which they are listed, each with its parts
 * @example deviceFamilies()[1]?.title // 'PALs of 20 pins'
 */
export function deviceFamilies(): readonly DeviceFamily[] {
  return (families ??= statedFamilies().map(([title, parts]) => ({ title, devices: parts.map(partOf) })))
}

function statedFamilies(): readonly (readonly [title: string, parts: readonly StatedPart[]])[] {
  return [
    ['Output cells with settings of their own', [GAL16V8, GAL20V8, GAL22V10, GAL26CV12, GAL20RA10]],
    ['PALs of 20 pins', [PAL16L8, PAL16R4, PAL16R6, PAL16R8]],
    ['PALs of 24 pins', [PAL20L8, PAL20R4, PAL20R6, PAL20R8]],
    ['PALs of 24 pins and ten outputs', [PAL20L10, PAL20X4, PAL20X8, PAL20X10]],
    ['Small PALs of 20 pins', [PAL10H8, PAL10L8, PAL12H6, PAL12L6, PAL14H4, PAL14L4, PAL16H2, PAL16L2]],
    ['Small PALs of 24 pins', [PAL12L10, PAL14L8, PAL16L6, PAL18L4, PAL20L2, PAL8L14]],
    ['Known by their size alone, not decoded', [PAL16C1, PAL20C1, PAL16P8, PAL20P8, GAL18V10]],
    ['Logic arrays, with an order of fuses of your choice', [FPLA16X48X8, FPLA18X42X10, FPLA22X42X10]],
  ]
}

/**
 * Every part of the catalogue.
 *
 * @returns a list in the order of the families
 * @example listDevices().map(({ part }) => part).includes('16V8') // true
 */
export function listDevices(): readonly Device[] {
  return deviceFamilies().flatMap(({ devices }) => devices)
}

/**
 * The part of a name, or null. Names are taken as they stand on chips, without regard to case: with a maker's letters
 * in front, with letters of version, power, range and package behind, and with a speed grade behind a dash or a blank.
 *
 * @param name a name as printed on a chip
 * @returns the data of the part, or null for a name of none
 * @throws TypeError for anything but a string
 * @example findDevice('gal16v8d-15lp')?.part // '16V8'
 * @example findDevice('GAL 16V8')?.part // '16V8'
 */
export function findDevice(name: string): Device | null {
  const number = partNumber(stringOf(name, 'name'))
  const bare = number.replace(/^[A-Z]+/, '')
  const isNamed = ({ part, aliases, otherParts }: Device): boolean =>
    [part, ...aliases].some((known) => number.startsWith(known) && isSameMap(number.slice(known.length))) &&
    !otherParts?.some((other) => bare.startsWith(other))
  return listDevices().find(isNamed) ?? null
}

/**
 * The parts whose names come nearest to one that names none; empty where all are far.
 *
 * @param name a name that is of no part
 * @returns names of parts
 * @throws TypeError for anything but a string
 * @example nearestParts('GAL16V9') // ['16V8']
 */
export function nearestParts(name: string): readonly string[] {
  const devices = listDevices()
  const near = nearestWords(
    partNumber(stringOf(name, 'name')),
    devices.flatMap(({ part, aliases }) => [part, ...aliases]),
  )
  return devices
    .filter(({ part, aliases }) => [part, ...aliases].some((known) => near.includes(known)))
    .map(({ part }) => part)
}

const SIZE = {
  keys: ['fuseCount', 'pinCount'],
  maker: 'an object with fuseCount and pinCount, each a number or null',
}

/**
 * Names of the parts that a map can be for, sorted. A pin count that the file does not state excludes nothing.
 *
 * @param size number of fuses and of pins; null for one that is not known
 * @returns names of parts, sorted; empty where none fits
 * @throws TypeError for another kind of size
 * @example candidatesFor({ fuseCount: 448, pinCount: 20 }) // ['14H4', '14L4']
 */
export function candidatesFor(size: {
  readonly fuseCount: number | null
  readonly pinCount: number | null
}): readonly string[] {
  const { fuseCount, pinCount } = madeBy(size, 'size', SIZE)
  for (const [name, count] of Object.entries({ fuseCount, pinCount }))
    if (count !== null) wholeNumber(count, `size.${name}`, [0])
  return listDevices()
    .filter(
      (device) =>
        fuseCount !== null && takesMap(device, fuseCount) && (pinCount === null || hasPackage(device, pinCount)),
    )
    .map(({ part }) => part)
    .sort()
}
