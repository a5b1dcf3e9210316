/** `devices`: the catalogue. */
import { findDevice, listDevices, renderDevice, renderDevices } from '../index'
import { printJson, Usage, type Call } from './call'

export function devices(call: Call): number {
  const { files, host } = call
  if (files.length > 1) throw new Usage('devices takes at most one PART')
  const [name] = files
  const device = name === undefined ? null : findDevice(name)
  if (name !== undefined && !device) throw new Usage(`no part ${name}; fuse-assay devices lists them`)
  if (call.options['json']) printJson(host, device ?? listDevices())
  else host.out(device ? renderDevice(device) : renderDevices(listDevices()))
  return 0
}
