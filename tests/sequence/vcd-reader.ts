/**
 * A strict reader of value change dumps, of the four-state form of IEEE Std 1364-2001, clause 18, written from the
 * grammar in 18.2 and nothing of the library. What the clause does not allow, or what this project's dumps should not
 * hold (a value that does not change, a time without order), is an error.
 */

export interface Variable {
  readonly name: string
  readonly kind: 'wire' | 'reg'
  readonly code: string
  /** Changes in the order of time. */
  readonly changes: readonly { readonly time: number; readonly value: string }[]
}

export interface Dump {
  readonly version: string
  readonly timescale: string
  readonly scope: string
  readonly variables: readonly Variable[]
  readonly end: number
}

interface Open extends Variable {
  readonly changes: { time: number; value: string }[]
}

/** Words of the dump, one by one. */
class Words {
  private at = 0
  private readonly words: readonly string[]

  constructor(text: string) {
    this.words = text.split(/[ \t\n]+/).filter(Boolean)
  }

  next(): string {
    const word = this.words[this.at++]
    if (word === undefined) throw new Error('the dump ends too early')
    return word
  }

  get isAtEnd(): boolean {
    return this.at === this.words.length
  }

  peek(): string | undefined {
    return this.words[this.at]
  }

  /** What stands up to the next $end. */
  untilEnd(): string[] {
    const found: string[] = []
    for (let word = this.next(); word !== '$end'; word = this.next()) found.push(word)
    return found
  }
}

export function readDump(text: string): Dump {
  if (/[^\n\x20-\x7e]/.test(text)) throw new Error('a dump is printable ASCII')
  const words = new Words(text)
  const { head, variables } = readDeclarations(words)
  const end = readChanges(words, variables)
  return { ...head, variables, end }
}

function readDeclarations(words: Words): {
  readonly head: Pick<Dump, 'version' | 'timescale' | 'scope'>
  readonly variables: Open[]
} {
  const once = new Map<string, string>()
  const variables: Open[] = []
  let depth = 0
  for (;;) {
    const keyword = words.next()
    const content = words.untilEnd()
    if (keyword === '$enddefinitions') break
    if (keyword === '$upscope') depth--
    else if (keyword === '$var') {
      if (depth !== 1) throw new Error('a variable outside a scope')
      variables.push(readVariable(content, variables))
    } else {
      if (!['$version', '$timescale', '$scope'].includes(keyword) || once.has(keyword))
        throw new Error(`${keyword} is not expected`)
      if (keyword === '$scope') depth++
      once.set(keyword, content.join(' '))
    }
  }
  if (depth !== 0) throw new Error('a scope is left open')
  const timescale = once.get('$timescale') ?? ''
  if (!/^1(0|00)? ?(s|ms|us|ns|ps|fs)$/.test(timescale)) throw new Error(`no timescale: ${timescale}`)
  const scope = /^module ([A-Za-z_][A-Za-z0-9_$]*)$/.exec(once.get('$scope') ?? '')?.[1]
  if (scope === undefined) throw new Error('no scope')
  return { head: { version: once.get('$version') ?? '', timescale, scope }, variables }
}

function readVariable(content: readonly string[], others: readonly Variable[]): Open {
  const [kind, size, code, name, ...more] = content
  if ((kind !== 'wire' && kind !== 'reg') || size !== '1' || more.length > 0)
    throw new Error(`not a variable of one bit: ${content.join(' ')}`)
  if (!/^[!-~]+$/.test(code ?? '') || others.some((other) => other.code === code))
    throw new Error(`no code of its own: ${content.join(' ')}`)
  if (!/^[A-Za-z_][A-Za-z0-9_$]*$/.test(name ?? '') || others.some((other) => other.name === name))
    throw new Error(`no name of its own: ${content.join(' ')}`)
  return { name: name!, kind, code: code!, changes: [] }
}

/** Simulation commands; the last time. */
function readChanges(words: Words, variables: readonly Open[]): number {
  const byCode = new Map(variables.map((variable) => [variable.code, variable]))
  let time = -1
  let isDumped = false
  const change = (word: string): void => {
    const variable = byCode.get(word.slice(1))
    const value = word[0]!
    if (!variable || !'01xz'.includes(value)) throw new Error(`not a value change: ${word}`)
    const before = variable.changes.at(-1)
    if (before?.time === time) throw new Error(`two values at one time: ${word}`)
    if (before?.value === value) throw new Error(`no change: ${word}`)
    variable.changes.push({ time, value })
  }
  while (!words.isAtEnd) {
    const word = words.next()
    if (word === '$dumpvars') {
      if (time !== 0 || isDumped) throw new Error('$dumpvars stands at the start')
      words.untilEnd().forEach(change)
      isDumped = true
      if (variables.some(({ changes }) => changes.length === 0)) throw new Error('$dumpvars gives every variable')
    } else if (/^#\d+$/.test(word)) {
      const now = Number(word.slice(1))
      if (now <= time) throw new Error(`time goes back: ${word}`)
      if (!words.isAtEnd && words.peek()!.startsWith('#')) throw new Error(`nothing happens at ${word}`)
      time = now
    } else {
      if (!isDumped) throw new Error('a change before $dumpvars')
      change(word)
    }
  }
  return time
}

/** Value of a variable at a time. */
export function valueAt({ changes }: Variable, time: number): string {
  return changes.filter((change) => change.time <= time).at(-1)!.value
}
