/** The part that a caller names or describes: by name, as data, in an order of fuses where its own is open. */
import { findDevice, listDevices, nearestParts } from '../devices/catalogue'
import type { Device } from '../devices/device'
import { checkedDevice, readDevice } from '../devices/device-document'
import { deviceInOrder, fuseOrders } from '../devices/fuse-orders'
import { OPEN_ORDERS } from '../devices/open-orders'

/** Most names that a refusal offers. */
const MAX_OFFERED = 3

/**
 * The device that an option names or is; undefined for none. Data of the caller's own is checked; `fuseOrder` names the
 * order of the fuses of a part that has no established one. Throws TypeError for anything else and for data that
 * describes no part, RangeError for an unknown name or order, naming the argument.
 */
export function chosenDevice(
  device: string | Device | undefined,
  name: string,
  fuseOrder?: string,
): Device | undefined {
  const chosen = namedDevice(device, name)
  if (fuseOrder === undefined) return chosen
  const orderName = name.replace(/\w+$/, 'fuseOrder')
  if (typeof fuseOrder !== 'string') throw new TypeError(`${orderName} must be the name of an order`)
  const parts = chosen ? [chosen.part] : OPEN_ORDERS
  const known = [...new Set(parts.flatMap((part) => fuseOrders(part).map((order) => order.name)))]
  if (chosen && (!isCatalogued(chosen) || known.length === 0))
    throw new RangeError(`${orderName}: the order of the fuses of this ${chosen.part} is not open`)
  if (!known.includes(fuseOrder)) throw new RangeError(`${orderName}: “${fuseOrder}” is none of ${known.join(', ')}`)
  return chosen && deviceInOrder(chosen.part, fuseOrder)
}

function namedDevice(device: string | Device | undefined, name: string): Device | undefined {
  if (device === undefined) return undefined
  if (typeof device === 'object' && device !== null)
    return isCatalogued(device) ? device : checkedDevice(device, name)
  if (typeof device !== 'string') throw new TypeError(`${name} must be the name of a part or its data`)
  const found = findDevice(device)
  if (!found) throw new RangeError(`${name}: no part “${device}” in the catalogue${nearWords(device)}`)
  return found
}

function nearWords(name: string): string {
  const near = nearestParts(name).slice(0, MAX_OFFERED)
  return near.length === 0 ? '' : `; near it: ${near.join(', ')}`
}

function isCatalogued(device: Device): boolean {
  return listDevices().includes(device)
}

/** True for data that the library did not make. */
export function isUserDefined(device: Device): boolean {
  if (isCatalogued(device)) return false
  const { part, fuseOrder } = device
  if (!fuseOrders(part).some(({ name }) => name === fuseOrder)) return true
  // Reading brings the keys of both into one order.
  return JSON.stringify(readDevice(deviceInOrder(part, fuseOrder!))) !== JSON.stringify(readDevice(device))
}

/** The part of a name, in the order asked for where its own is open. */
export function partInOrder(part: string, fuseOrder: string | undefined): Device {
  const open = fuseOrder !== undefined && fuseOrders(part).some(({ name }) => name === fuseOrder)
  return open ? deviceInOrder(part, fuseOrder) : listDevices().find((device) => device.part === part)!
}
