/** All parts that are known, and how a part is found by its name or by the size of a map. */
import { takesMap, type Device } from './device'
import { PAL14H4, PAL14L4 } from './small-pals-20-pin'
import { GAL16V8 } from './v8-20-pin'

/** Every part of the catalogue, by name. A new part is a data file and its line here. */
export function listDevices(): readonly Device[] {
  return [PAL14H4, PAL14L4, GAL16V8]
}

/**
 * The part of a name, or null. Names are taken without regard to case, with the prefixes of the trade that the part
 * lists, up to three letters behind (speed, power, package) and a speed grade after a dash: `gal16v8d-15lp`.
 */
export function findDevice(name: string): Device | null {
  const wanted = name.trim().toUpperCase().replace(/-.*$/, '')
  return listDevices().find(({ part, aliases, otherParts }) => [part, ...aliases].some((known) => isName(wanted, known)) && !otherParts?.includes(wanted)) ?? null
}

function isName(wanted: string, known: string): boolean {
  return wanted.startsWith(known) && /^[A-Z]{0,3}$/.test(wanted.slice(known.length))
}

/** Names of the parts that a map can be for, sorted. A pin count that the file does not state excludes nothing. */
export function candidatesFor(size: { readonly fuseCount: number | null; readonly pinCount: number | null }): readonly string[] {
  return listDevices()
    .filter((device) => size.fuseCount !== null && takesMap(device, size.fuseCount) && (size.pinCount === null || size.pinCount === device.pinCount))
    .map(({ part }) => part)
    .sort()
}
