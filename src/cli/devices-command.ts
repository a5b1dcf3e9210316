/** `devices`: the catalogue. */
import { deviceFamilies, listDevices } from '../index'
import { renderDevice, renderDevices } from '../report'
import { inAskedOrder, partHint, partNamed, printJson, text, textOptions, Usage, type Call } from './call'

export function devices(call: Call): number {
  const { files, host } = call
  if (files.length > 1) throw new Usage('devices takes at most one PART')
  const [name] = files
  const found = name === undefined ? null : partNamed(host, name)
  if (!found && text(call, 'fuse-order') !== undefined) throw new Usage('--fuse-order needs a PART')
  const device = found && inAskedOrder(call, found)
  if (name !== undefined && !device) throw new Usage(`no part ${name}; ${partHint(name)}`)
  if (call.options['json']) printJson(host, device ?? listDevices())
  else host.out(device ? renderDevice(device, textOptions(call)) : renderDevices(deviceFamilies(), textOptions(call)))
  return 0
}
