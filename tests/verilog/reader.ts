/**
 * A reader of the small part of Verilog (IEEE 1364-2001) that an exported module may use, written from the standard's
 * grammar (annex A) and knowing nothing of the library. Whatever lies outside is an error, also what a tool would only
 * warn of: a name that is used before it is declared, a second driver, a character that is not ASCII.
 */

export type Expression =
  | { readonly kind: 'constant'; readonly value: '0' | '1' | 'x' | 'z' }
  | { readonly kind: 'name'; readonly name: string }
  | { readonly kind: 'not'; readonly of: Expression }
  | { readonly kind: '&' | '|' | '^'; readonly left: Expression; readonly right: Expression }
  | { readonly kind: '?'; readonly condition: Expression; readonly left: Expression; readonly right: Expression }

export type Statement =
  | {
      readonly kind: 'if'
      readonly condition: Expression
      readonly then: Statement
      readonly otherwise: Statement | null
    }
  | { readonly kind: '<='; readonly target: string; readonly value: Expression }

export type Direction = 'input' | 'output' | 'inout'

export interface Module {
  readonly name: string
  readonly ports: ReadonlyMap<string, Direction>
  readonly wires: readonly string[]
  readonly regs: readonly string[]
  readonly assigns: readonly { readonly target: string; readonly value: Expression }[]
  readonly initials: readonly { readonly target: string; readonly value: Expression }[]
  readonly always: readonly {
    readonly events: readonly { readonly rising: boolean; readonly name: string }[]
    readonly body: Statement
  }[]
}

const WORDS = 'module endmodule input output inout wire reg assign initial always or posedge if else'.split(' ')

type Token = { readonly text: string; readonly line: number }

function tokensOf(source: string): Token[] {
  const tokens: Token[] = []
  source.split('\n').forEach((whole, index) => {
    const line = index + 1
    if (!/^[ -~]*$/.test(whole)) throw new SyntaxError(`line ${line}: a character that is not printable ASCII`)
    let rest = whole.replace(/\/\/.*$/, '')
    while ((rest = rest.trimStart()) !== '') {
      const found = /^(?:[A-Za-z_][A-Za-z0-9_$]*|1'b[01xz](?![A-Za-z0-9_?])|<=|[()~&|^?:;,=@])/.exec(rest)
      if (!found) throw new SyntaxError(`line ${line}: ${rest}`)
      // Operators of two signs that the subset does not have must not pass as two operators.
      if (/^(?:&&|\|\||~&|~\||~\^|\^~|==)/.test(rest))
        throw new SyntaxError(`line ${line}: operator ${rest.slice(0, 2)}`)
      tokens.push({ text: found[0], line })
      rest = rest.slice(found[0].length)
    }
  })
  return tokens
}

/** What has been declared so far, and what has a driver. */
class Scope {
  readonly ports = new Map<string, Direction>()
  readonly wires: string[] = []
  readonly regs: string[] = []
  readonly driven = new Set<string>()

  declare(name: string, list: string[] | null, direction?: Direction): void {
    if (this.ports.has(name) || this.wires.includes(name) || this.regs.includes(name))
      throw new SyntaxError(`${name} is declared twice`)
    if (direction) this.ports.set(name, direction)
    list?.push(name)
  }

  use(name: string): string {
    if (!this.ports.has(name) && !this.wires.includes(name) && !this.regs.includes(name))
      throw new SyntaxError(`${name} is used before it is declared`)
    return name
  }

  /** A net that a continuous assignment drives. */
  drive(name: string): string {
    this.use(name)
    if (this.regs.includes(name) || this.ports.get(name) === 'input')
      throw new SyntaxError(`${name} cannot be assigned continuously`)
    if (this.driven.has(name)) throw new SyntaxError(`${name} has two drivers`)
    this.driven.add(name)
    return name
  }

  variable(name: string): string {
    if (!this.regs.includes(this.use(name))) throw new SyntaxError(`${name} is no variable`)
    return name
  }
}

/** Reads the text of one module. Throws SyntaxError for anything outside the subset. */
export function readModule(source: string): Module {
  const tokens = tokensOf(source)
  const scope = new Scope()
  let at = 0
  const peek = (): string => tokens[at]?.text ?? ''
  const fail = (wanted: string): never => {
    throw new SyntaxError(`line ${tokens[at]?.line ?? 'last'}: ${wanted} wanted, not ${peek() || 'the end'}`)
  }
  const take = (text: string): void => {
    if (peek() !== text) fail(text)
    at++
  }
  const accept = (text: string): boolean => {
    if (peek() !== text) return false
    at++
    return true
  }
  const name = (): string => {
    const text = peek()
    if (!/^[A-Za-z_]/.test(text) || WORDS.includes(text)) fail('a name')
    at++
    return text
  }
  const list = <T>(item: () => T, separator: string): T[] => {
    const items = [item()]
    while (accept(separator)) items.push(item())
    return items
  }

  const primary = (): Expression => {
    if (accept('(')) {
      const inner = expression()
      take(')')
      return inner
    }
    const constant = /^1'b([01xz])$/.exec(peek())
    if (!constant) return { kind: 'name', name: scope.use(name()) }
    at++
    return { kind: 'constant', value: constant[1] as '0' | '1' | 'x' | 'z' }
  }
  /** An operator of one operand stands before a primary, never before another operator (annex A.8.3). */
  const unary = (): Expression => (accept('~') ? { kind: 'not', of: primary() } : primary())
  /** Operators of two operands by rising precedence (table 5-4). */
  const binary = (kinds: readonly ('|' | '^' | '&')[]): Expression => {
    const [kind, ...tighter] = kinds
    if (!kind) return unary()
    let left = binary(tighter)
    while (accept(kind)) left = { kind, left, right: binary(tighter) }
    return left
  }
  const expression = (): Expression => {
    const condition = binary(['|', '^', '&'])
    if (!accept('?')) return condition
    const left = expression()
    take(':')
    return { kind: '?', condition, left, right: expression() }
  }

  const statement = (): Statement => {
    if (accept('if')) {
      take('(')
      const condition = expression()
      take(')')
      const then = statement()
      return { kind: 'if', condition, then, otherwise: accept('else') ? statement() : null }
    }
    const target = scope.variable(name())
    take('<=')
    const value = expression()
    take(';')
    return { kind: '<=', target, value }
  }

  take('module')
  const moduleName = name()
  take('(')
  list(() => {
    const direction = peek() as Direction
    if (!['input', 'output', 'inout'].includes(direction)) fail('a direction')
    at++
    take('wire')
    scope.declare(name(), null, direction)
  }, ',')
  take(')')
  take(';')

  const assigns: { target: string; value: Expression }[] = []
  const initials: { target: string; value: Expression }[] = []
  const always: Module['always'][number][] = []
  const assignment = (target: string): { target: string; value: Expression } => {
    take('=')
    const value = expression()
    take(';')
    return { target, value }
  }
  const items: Readonly<Record<string, () => void>> = {
    wire: () => (list(() => scope.declare(name(), scope.wires), ','), take(';')),
    reg: () => (list(() => scope.declare(name(), scope.regs), ','), take(';')),
    assign: () => void assigns.push(assignment(scope.drive(name()))),
    initial: () => {
      const made = assignment(scope.variable(name()))
      if (made.value.kind !== 'constant') fail('a constant')
      initials.push(made)
    },
    always: () => {
      take('@')
      take('(')
      const events = list(() => ({ rising: accept('posedge'), name: scope.use(name()) }), 'or')
      take(')')
      // Synthesis takes edges or levels, not both (IEEE 1364.1-2002, 5.2).
      if (new Set(events.map(({ rising }) => rising)).size > 1) fail('edges only or levels only')
      always.push({ events, body: statement() })
    },
  }
  while (peek() !== 'endmodule') {
    const item = items[peek()] ?? fail('an item of a module')
    at++
    item()
  }
  take('endmodule')
  if (at < tokens.length) fail('the end')
  const undriven = [
    ...scope.wires,
    ...[...scope.ports].filter(([, direction]) => direction !== 'input').map(([port]) => port),
  ].filter((net) => !scope.driven.has(net))
  if (undriven.length > 0) throw new SyntaxError(`${undriven.join(', ')}: nothing drives it`)
  return { name: moduleName, ports: scope.ports, wires: scope.wires, regs: scope.regs, assigns, initials, always }
}
