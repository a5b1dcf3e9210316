/** What holds of every answer, whatever was given: each returns the first thing that does not, or null. */
import { findingCatalogue, findingWords, type Finding, type Verdict } from '../../src/index'
import { wordsInData } from '../finding-words'

const CATALOGUE = findingCatalogue()

/** Controls but line ends, and what changes the direction of writing. */
// eslint-disable-next-line no-control-regex
const STEERING = /[\0-\x09\x0b\x0c\x0e-\x1f\x7f-\x9f\u061c\u200e\u200f\u2028-\u202e\u2066-\u2069\ufeff]|\r(?!\n)/

export function brokenText(text: string, what: string): string | null {
  const found = STEERING.exec(text)
  return found && `${what} has U+${found[0].charCodeAt(0).toString(16).padStart(4, '0')} at ${found.index}`
}

/** A document that JSON carries whole: no NaN, no undefined in a list, nothing in a circle. */
export function brokenJson(value: unknown): string | null {
  const seen: unknown[] = []
  const walk = (item: unknown, path: string): string | null => {
    if (typeof item === 'number') return Number.isFinite(item) ? null : `${path} is ${item}`
    if (typeof item === 'function' || typeof item === 'symbol' || typeof item === 'bigint')
      return `${path} is a ${typeof item}`
    if (typeof item !== 'object' || item === null || ArrayBuffer.isView(item)) return null
    if (seen.includes(item)) return `${path} is in a circle`
    seen.push(item)
    for (const [key, inner] of Object.entries(item)) {
      const broken = walk(inner, `${path}.${key}`)
      if (broken) return broken
    }
    seen.pop()
    return null
  }
  return walk(value, 'result')
}

/** Most findings that are listed by default, and the closing entry. */
const MOST_FINDINGS = 3 * 100 + 1

export function brokenFindings(findings: readonly Finding[], size: number, most = MOST_FINDINGS): string | null {
  if (findings.length > most) return `${findings.length} findings are listed`
  for (const { code, severity, message, hint, clause, data, position } of findings) {
    if (!Object.hasOwn(CATALOGUE, code)) return `no finding is named ${code}`
    if (CATALOGUE[code].severity !== severity) return `${code} is ${severity}`
    const text = message + hint + clause
    if (/\{\w+[:,!}]|undefined|\bNaN\b|\[object /.test(text)) return `${code} says: ${text}`
    const broken = brokenText(text, code)
    if (broken) return broken
    if (text.length > 2000) return `${code} has ${text.length} characters`
    const again = findingWords(code, JSON.parse(JSON.stringify(data)) as Finding['data'])
    if (again.message !== message || again.hint !== hint) return `${code} says something else after JSON`
    const [words] = wordsInData(data)
    if (words !== undefined) return `${code} has words in its data: ${words}`
    if (position && !(position.offset >= 0 && position.offset <= size && position.line >= 1 && position.column >= 1))
      return `${code} at ${JSON.stringify(position)} of ${size}`
  }
  return null
}

export function brokenVerdict(verdict: Verdict, findings: readonly Finding[]): string | null {
  const has = (severity: Finding['severity']): boolean =>
    findings.some((finding) => finding.severity === severity || Number(finding.data[severity] ?? 0) > 0)
  const worst: Verdict = has('error') ? 'fail' : has('warning') ? 'caution' : 'pass'
  return verdict === worst ? null : `${verdict} with findings that make it ${worst}`
}

/** Messages of the engine, not of a check of arguments. */
const ENGINE =
  /is not (a function|iterable|defined|a constructor|an object)|^Cannot |Maximum call stack|^Invalid |^Reduce of|out of memory|^Class |circular|^Offset|^Start offset|digits\(\)/

/** True for an error that a check of arguments threw: it names the argument. */
export function isDocumented(error: unknown): boolean {
  return (error instanceof TypeError || error instanceof RangeError) && !ENGINE.test(error.message)
}

export function firstBroken(...tests: readonly (() => string | null)[]): string | null {
  for (const test of tests) {
    const broken = test()
    if (broken) return broken
  }
  return null
}
