/** The parts of a board from their fuse files, and the board laid out on them. */
import type { UnusablePart } from '../../findings/adapter-findings'
import { insideOf } from '../../findings/finding'
import { chosenDevice } from '../../inspect/chosen-device'
import { check, type Checked } from '../check/verify'
import type { Board } from './board'
import { layOut, type Network, type ReadPart } from './board-network'
import { remarkWiring, type AdapterCollector, type PartSupply } from './board-wiring'

/** Reads and decodes the files of all parts. `path` names the board in complaints. */
export function inspectParts({ parts }: Board, path: string): Checked[] {
  return parts.map(({ file, device, fuseOrder, fileName }, i) => {
    const chosen = chosenDevice(device, `${path}.parts[${i}].device`, fuseOrder)
    return check(file, {
      ...(chosen ? { device: chosen } : {}),
      ...(fuseOrder === undefined || chosen ? {} : { fuseOrder }),
      ...(fileName === undefined ? {} : { name: fileName }),
    })
  })
}

/** Why the logic of a file is not known; null where it is. */
export function unusable({ decoded, inspection: { file, complete }, report }: Checked): UnusablePart | null {
  if (file.fuses && !complete) return { why: 'incomplete' }
  if (decoded?.logic) return null
  if (report.candidates.length > 1) return { why: 'ambiguous', candidates: report.candidates }
  const [finding] = report.findings
  return finding ? { why: 'found', finding: insideOf(finding) } : { why: 'unknown-part' }
}

/** What a board is called in complaints, and where its findings go. */
interface BoardUse {
  readonly path: string
  readonly findings: AdapterCollector
}

/** The board as nets, with what its wiring shows; null where a part's logic is not known. */
export function networkOf(board: Board, inspections: readonly Checked[], { path, findings }: BoardUse): Network | null {
  inspections.forEach((inspection, i) => {
    const { name: part } = board.parts[i]!
    const reason = unusable(inspection)
    const { verdict, findings: own } = inspection.report
    if (reason !== null) findings.add('adapter/part-unusable', {}, { part, ...reason })
    else if (verdict !== 'pass')
      findings.add('adapter/part-file', {}, { whose: 'part', part, verdict, finding: insideOf(own[0]!) })
  })
  if (inspections.some((inspection) => unusable(inspection) !== null)) return null
  const read = inspections.map(({ decoded }, i) =>
    readPartOf(decoded!, Object.keys(board.parts[i]!.pins), `${path}.parts[${i}].pins`),
  )
  const network = layOut(board, read)
  remarkWiring(
    network,
    read.map(({ supply }) => supply),
    findings,
  )
  return network
}

function readPartOf(
  { device, logic }: NonNullable<Checked['decoded']>,
  pins: readonly string[],
  path: string,
): ReadPart & { readonly supply: PartSupply } {
  const beyond = pins.find((pin) => Number(pin) > logic!.pinCount)
  if (beyond !== undefined)
    throw new RangeError(`${path}.${beyond}: a ${device.part} has pins 1 to ${logic!.pinCount}`)
  return { device: device.part, logic: logic!, supply: { power: device.powerPin, ground: device.groundPin } }
}
