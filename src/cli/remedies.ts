/** What a finding asks for, in the options of this program: the library names none. */
import type { Finding } from '../index'

/** Code → sentence, printed after the hint. */
const REMEDIES: Readonly<Record<string, string>> = {
  'adapter/part-unusable': 'Command: check.',
  'adapter/part-file': 'Command: check.',
  'adapter/registers': 'Commands: compare, run.',
  'capture/no-logic': 'Command: check; option: --device PART.',
  'capture/wiring-does-not-fit': 'Options: --wiring W.json, --device PART.',
  'capture/no-agreement': 'Option: --find-wiring.',
  'capture/order-fits': 'Option: --fuse-order NAME.',
  'compare/no-fuses': 'Command: check.',
  'compare/fuses-differ': 'Option: --device PART.',
  'compare/sizes-differ': 'Options: --device PART --other-device PART.',
  'compare/packages-differ': 'Option: --pins PAIRS.json.',
  'compare/candidates': 'Option: --device PART.',
  'compare/candidates-disagree': 'Option: --device PART.',
  'compare/power-up-open': 'Options: --power-up high|low, --other-power-up high|low.',
  'device/ambiguous': 'Option: --device PART.',
  'device/by-vectors': 'Option: --device PART.',
  'device/no-fuses': 'Command: check FILE --vectors OTHER.',
  'device/size-mismatch': 'Option: --device PART.',
  'device/undecoded': 'Option, for a logic array: --fuse-order NAME.',
  'device/unconfirmed-order': 'Command: devices PART; option: --fuse-order NAME.',
  'device/inferred-map': 'Command: devices PART.',
  'file/fuse-count-missing': 'Option: --device PART.',
  'readings/unusable': 'Command: check.',
}

/** Codes that have a remedy. */
export const REMEDY_CODES: readonly string[] = Object.keys(REMEDIES)

/** A finding whose hint goes on with the option of the program. */
export function withRemedy(finding: Finding): Finding {
  return Object.hasOwn(REMEDIES, finding.code)
    ? { ...finding, hint: `${finding.hint} ${REMEDIES[finding.code]}` }
    : finding
}

/** A result for a person: its findings with their remedies. */
export function withRemedies<T extends { readonly findings: readonly Finding[] }>(result: T): T {
  return { ...result, findings: result.findings.map(withRemedy) }
}
