/**
 * What the doc comments of the entries say: every function with its parameters, result, errors and an example; every
 * example compiles as strict as a caller can and gives what stands behind it.
 */
import { join } from 'node:path'
import ts from 'typescript'
import { describe, expect, test } from 'vitest'
import { given } from './example-names'
import { readPages, root } from './pages'

const entries = import.meta.glob('../src/*.ts')
const ENTRY_NAMES = Object.keys(entries).map((path) => /(\w+)\.ts$/.exec(path)![1]!)
const library: Record<string, unknown> = Object.assign(
  {},
  ...(await Promise.all(Object.values(entries).map((load) => load()))),
)

const OPTIONS: ts.CompilerOptions = {
  target: ts.ScriptTarget.ES2022,
  module: ts.ModuleKind.ESNext,
  moduleResolution: ts.ModuleResolutionKind.Bundler,
  strict: true,
  exactOptionalPropertyTypes: true,
  noUncheckedIndexedAccess: true,
  noEmit: true,
  types: [],
}

interface Documented {
  readonly name: string
  readonly symbol: ts.Symbol
  readonly declaration: ts.Declaration
}

const program = ts.createProgram(
  ENTRY_NAMES.map((name) => join(root, `src/${name}.ts`)),
  OPTIONS,
)
const checker = program.getTypeChecker()

/** What the entries export, at the place where it is declared. */
const exported: readonly Documented[] = ENTRY_NAMES.flatMap((entry) => {
  const source = program.getSourceFile(join(root, `src/${entry}.ts`))!
  return checker.getExportsOfModule(checker.getSymbolAtLocation(source)!).map((each) => {
    const symbol = each.flags & ts.SymbolFlags.Alias ? checker.getAliasedSymbol(each) : each
    return { name: each.name, symbol, declaration: symbol.declarations![0]! }
  })
})

const functions = exported.flatMap(({ declaration, ...rest }) =>
  ts.isFunctionDeclaration(declaration) ? [{ ...rest, declaration }] : [],
)

/** The texts of one tag. */
const tagged = (symbol: ts.Symbol, tag: string): string[] =>
  symbol
    .getJsDocTags(checker)
    .filter(({ name }) => name === tag)
    .map(({ text }) => ts.displayPartsToString(text))

/** The code of each example with what stands behind it as its value; null where nothing does. */
const examples = functions.flatMap(({ name, symbol }) =>
  tagged(symbol, 'example').map((text) => {
    const [, code, value] = /^([\s\S]*?)(?: \/\/ (.*))?$/.exec(text)!
    const [last, ...before] = code!.split(/; (?=[^;]*$)/).reverse()
    return { name, body: `${before.map((statement) => `${statement}; `).join('')}return ${last}`, value: value ?? null }
  }),
)

test('every export stands in one entry alone and has a doc comment where it is declared', () => {
  const names = exported.map(({ name }) => name)
  expect(names.length).toBeGreaterThan(100)
  expect(names.filter((name, i) => names.indexOf(name) < i)).toEqual([])
  const bare = exported.filter(({ symbol }) => symbol.getDocumentationComment(checker).length === 0)
  expect(bare.map(({ name }) => name)).toEqual([])
})

describe('every exported function', () => {
  const lacking = (has: (each: (typeof functions)[number]) => boolean): string[] =>
    functions.filter((each) => !has(each)).map(({ name }) => name)

  test('says what each parameter is', () => {
    const lacks = lacking(({ symbol, declaration }) => {
      const names = tagged(symbol, 'param').map((text) => text.split(' ')[0])
      return declaration.parameters.every(({ name }) => names.includes(name.getText()))
    })
    expect(lacks).toEqual([])
  })

  test('says what it returns, where it returns something', () => {
    const isVoid = (declaration: ts.FunctionDeclaration): boolean => declaration.type?.getText() === 'void'
    expect(lacking(({ symbol, declaration }) => isVoid(declaration) || tagged(symbol, 'returns').length > 0)).toEqual(
      [],
    )
  })

  test('says what it throws, where it takes something', () => {
    const lacks = lacking(
      ({ symbol, declaration }) => declaration.parameters.length === 0 || tagged(symbol, 'throws').length > 0,
    )
    expect(lacks).toEqual([])
  })

  test('gives null for what is not there alone; what it refuses has the one form of refusals', () => {
    const parts = (type: ts.Type): readonly ts.Type[] => (type.isUnion() ? type.types : [type])
    const given = functions.map(({ name, declaration }) => {
      const [signature] = checker.getTypeAtLocation(declaration).getCallSignatures()
      return { name, types: parts(signature!.getReturnType()) }
    })
    const mayBe = (is: (type: ts.Type) => unknown): string[] =>
      given.filter(({ types }) => types.some(is)).map(({ name }) => name)
    // No such part, no state that all fuses share; and work of the caller's own.
    const ABSENT = ['findDevice', 'uniformState', 'withinLimit']
    expect(mayBe(({ flags }) => flags & (ts.TypeFlags.Null | ts.TypeFlags.Undefined)).sort()).toEqual(ABSENT)
    const refusing = given.flatMap(({ types }) => types.filter((type) => type.getProperty('refused')))
    expect(refusing.length).toBeGreaterThan(10)
    for (const type of refusing) {
      const reason = checker.getTypeOfSymbol(type.getProperty('reason')!)
      expect(checker.typeToString(checker.getTypeOfSymbol(type.getProperty('refused')!))).toBe('true')
      expect(parts(reason).every((each) => each.isStringLiteral()), checker.typeToString(type)).toBe(true)
    }
  })

  test('has an example', () => {
    expect(functions.length).toBeGreaterThan(70)
    expect(lacking(({ symbol }) => tagged(symbol, 'example').length > 0)).toEqual([])
  })
})

test('every property of every exported interface says what it is', () => {
  const interfaces = exported.flatMap(({ name, declaration }) =>
    ts.isInterfaceDeclaration(declaration) ? [{ name, members: declaration.members.filter(ts.isPropertySignature) }] : [],
  )
  const silent = interfaces.flatMap(({ name, members }) =>
    members
      .filter((member) => checker.getSymbolAtLocation(member.name)!.getDocumentationComment(checker).length === 0)
      .map((member) => `${name}.${member.name.getText()}`),
  )
  expect(interfaces.length).toBeGreaterThan(100)
  expect(silent).toEqual([])
})

describe('every example', () => {
  test('compiles', () => {
    const path = join(root, 'tests/every-example.ts')
    const imports = ENTRY_NAMES.map((entry) => {
      const source = program.getSourceFile(join(root, `src/${entry}.ts`))!
      const values = checker.getExportsOfModule(checker.getSymbolAtLocation(source)!).map(({ name }) => name)
      return `import { ${values.filter((name) => name in library).join(', ')} } from '../src/${entry}'`
    })
    const lines = [
      ...imports,
      "import { given } from './example-names'",
      `const { ${Object.keys(given).join(', ')} } = given`,
      ...examples.map(({ body }, i) => `export const example${i} = () => { ${body.replaceAll('\n', ' ')} }`),
    ]
    const host = ts.createCompilerHost(OPTIONS)
    const read = host.readFile.bind(host)
    host.readFile = (name) => (name === path ? lines.join('\n') : read(name))
    // What the entries need is parsed already.
    const parse = host.getSourceFile.bind(host)
    host.getSourceFile = (name, ...given) => program.getSourceFile(name) ?? parse(name, ...given)
    const whole = ts.createProgram([path, join(root, 'tests/node.d.ts')], OPTIONS, host)
    const mistakes = ts.getPreEmitDiagnostics(whole, whole.getSourceFile(path)).map(({ start, file, messageText }) => {
      const { line } = file!.getLineAndCharacterOfPosition(start!)
      return `${lines[line]}: ${ts.flattenDiagnosticMessageText(messageText, ' ')}`
    })
    expect(mistakes).toEqual([])
  })

  test.each(examples)('of $name gives what stands behind it', ({ body, value }) => {
    const names = { ...library, ...given }
    const { outputText } = ts.transpileModule(`function example() { ${body} }`, { compilerOptions: OPTIONS })
    const run = new Function(...Object.keys(names), `${outputText}; return example()`)
    const found: unknown = run(...Object.values(names))
    if (value === null) expect(found).toBeDefined()
    else expect(found).toEqual(new Function(`return (${value})`)())
  })

  test('takes only names that the page of the library explains', () => {
    const page = readPages().find(({ path }) => path === 'src/README.md')!.text
    expect(Object.keys(given).filter((name) => !page.includes(`\`${name}\``))).toEqual([])
  })
})
