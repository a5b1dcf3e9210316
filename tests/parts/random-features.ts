/** What a run over random designs really exercised, so that a generator gone dull is noticed. */
import { enableTerms, type Design, type Term } from './design'
import { termLimits, type PartTable } from './encoder'

/** Features of a design that a part need not offer. */
export function featuresOf(table: PartTable, design: Design): string[] {
  const { outputs, reset, clockedPreset } = design
  const reads = (term: Term): boolean => term.some((literal) => outputs.some(({ pin }) => pin === Math.abs(literal)))
  const features = outputs.flatMap((output) => {
    const limits = termLimits(table, output.pin, output.kind)
    return [
      `${output.kind} active ${output.activeHigh ? 'high' : 'low'}`,
      ...(enableTerms(output).some(({ length }) => length > 0) ? ['enable row'] : []),
      ...(output.terms.length === limits.first ? ['full block'] : []),
      ...((output.otherTerms ?? []).length > 0 ? ['second sum'] : []),
      ...(output.terms.some(reads) ? ['feedback'] : []),
      ...(output.clock ? ['clock row'] : []),
      ...(output.clock && reads(output.clock) ? ['clocked by an output'] : []),
      ...(output.reset?.length ? ['reset row'] : []),
      ...(output.preset?.length ? ['preset row'] : []),
      ...(output.reset?.length === 0 && output.preset?.length === 0 ? ['bypass'] : []),
    ]
  })
  const shared = [...(reset ? ['reset of all'] : []), ...(clockedPreset ? ['preset of all'] : [])]
  return [...new Set([...features, ...shared])].filter((feature) => !feature.startsWith('input')).sort()
}

/** Everything that a part in a mode offers, from its table. */
export function featuresOffered(table: PartTable): string[] {
  const kinds = Object.entries(table.kinds).filter(([kind]) => kind !== 'input')
  const levels = (activeHigh: boolean | undefined): string[] =>
    activeHigh === undefined ? ['high', 'low'] : [activeHigh ? 'high' : 'low']
  const wirings = kinds.map(([, wiring]) => wiring)
  const features = [
    ...kinds.flatMap(([kind, { activeHigh }]) => levels(activeHigh).map((level) => `${kind} active ${level}`)),
    'full block',
    ...(table.cells.some(({ pin }) => table.columns.includes(pin)) ? ['feedback'] : []),
    ...(wirings.some(({ enable }) => enable === 'row' || (typeof enable === 'object' && 'rowAndLowPin' in enable))
      ? ['enable row']
      : []),
    ...(wirings.some(({ firstSum }) => firstSum !== undefined) ? ['second sum'] : []),
    ...(wirings.some(({ clockRow }) => clockRow !== undefined)
      ? ['clock row', 'clocked by an output', 'reset row', 'preset row']
      : []),
    ...(table.registers?.bypass ? ['bypass'] : []),
    ...(table.resetFuse === undefined ? [] : ['reset of all', 'preset of all']),
  ]
  return features.sort()
}
