/** A power-down fuse, of which no publication says what its states do: what that leaves of a proof. */
import { fuseAt, type Bit, type FuseMap } from '../../fuses/fuse-map'
import { netlistOf, pinsBehind } from '../../logic/netlist'
import type { Decoded } from '../../devices/decode'
import { blockOf } from '../../devices/device'
import { differentRemark, isSamePart, type PairResult, type Remark } from './compare-parts'
import { undecidedOutput, type ComparedOutput } from './compare-logic'
import type { DecodedPair } from './sides'

/** State of the power-down fuse; null where the map has none. */
function stateOf({ device, fuseCount }: Decoded, map: FuseMap): Bit | null {
  const block = blockOf(device, 'power-down', fuseCount)
  return block ? fuseAt(map, block.first) : null
}

/** True where a term of the part uses the pin. */
function usesPin({ logic }: Decoded, pin: number): boolean {
  return logic !== null && netlistOf(logic).readPins.has(pin)
}

/**
 * A result of two maps of one part that has a power-down fuse. Where both state it and differ, the pin that it turns
 * into a control input is not the same input on both sides, so that only what is shown without it stands. Where one
 * side leaves the fuse out, that is said.
 */
export function withPowerDown(
  result: PairResult,
  { a, b }: DecodedPair,
  maps: { readonly intended: FuseMap; readonly readback: FuseMap },
): PairResult {
  const pin = a.device.powerDownPin
  if (pin === undefined || !isSamePart(a, b)) return result
  const [first, second] = [stateOf(a, maps.intended), stateOf(b, maps.readback)]
  if (first === second) return result
  if (first === null || second === null)
    return withRemark(result, {
      code: 'compare/power-down-one-sided',
      place: {},
      data: { pin, side: first === null ? 'intended' : 'readback', state: (first ?? second)! },
    })
  if (!usesPin(a, pin) && !usesPin(b, pin)) return result
  const { first: fuse } = blockOf(a.device, 'power-down')!
  const hangs = (output: ComparedOutput): boolean => [a, b].some((side) => hangsOn(side, output, pin))
  const outputs = (result.logic?.outputs ?? []).map((output) =>
    hangs(output) ? undecidedOutput(output, 'power-down') : output,
  )
  const different = outputs.filter(({ relation }) => relation === 'different').map((output) => output.pin)
  return withRemark(
    {
      ...result,
      relation: different.length > 0 ? 'different' : 'undecided',
      logic: result.logic && { ...result.logic, outputs },
      remarks: [
        ...result.remarks.filter(
          ({ code, place }) =>
            code !== 'compare/different' &&
            !(
              code === 'compare/opposite-level' && outputs.some((output) => output.pin === place.pin && hangs(output))
            ),
        ),
        ...(different.length > 0 ? [differentRemark(different)] : []),
      ],
    },
    {
      code: 'compare/power-down-differs',
      place: { fuse },
      data: { pin, fuse, intended: first, readback: second },
    },
  )
}

/** True where the pin can have a part in what an output does. */
function hangsOn({ logic }: Decoded, output: ComparedOutput, pin: number): boolean {
  if (!logic) return true
  const index = logic.cells.findIndex((cell) =>
    output.cell === undefined ? cell.pin === output.pin : cell.name === output.cell,
  )
  return index >= 0 && pinsBehind(logic, index).has(pin)
}

function withRemark(result: PairResult, remark: Remark): PairResult {
  return { ...result, remarks: [...result.remarks, remark] }
}
