/**
 * What a linter would hold, held by tests: the direction of imports, a library free of its host, the package's form.
 */
import { execFileSync } from 'node:child_process'
import { existsSync, readdirSync, readFileSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import ts from 'typescript'
import { describe, expect, test } from 'vitest'
import { COMMANDS } from '../src/cli/commands'
import { bundle } from './bench/bundle.mjs'

const root = fileURLToPath(new URL('..', import.meta.url))

/** Paths below the repository, with slashes on every system. */
const posix = (path: string): string => path.split('\\').join('/')

function filesUnder(folder: string): string[] {
  const names = readdirSync(join(root, folder), { recursive: true }).map((name) => posix(join(folder, name)))
  return names.filter(
    (path) => !/(^|\/)(node_modules|dist|\.git)\//.test(path) && ts.sys.fileExists(join(root, path)),
  )
}

/**
 * What belongs to the repository. An unpacked archive has no git; there it is all that the package manager and the
 * build did not make.
 */
function repositoryFiles(): string[] {
  if (!existsSync(join(root, '.git'))) return filesUnder('.')
  // A checkout that belongs to another user is as good as one's own for listing names.
  const names = execFileSync('git', ['-c', 'safe.directory=*', 'ls-files', '-z'], { cwd: root, encoding: 'utf8' })
  return names.split('\0').filter((name) => name !== '' && existsSync(join(root, name)))
}

const sources = filesUnder('src').filter((path) => path.endsWith('.ts'))
/** What uses the library as others do, and may touch its host. */
const isUser = (path: string): boolean => /^src\/(browser|cli)\//.test(path)
const library = sources.filter((path) => !isUser(path))
/** The names of the files directly in src: what the package offers, each by a subpath of its own. */
const entries = library.filter((path) => /^src\/[\w-]+\.ts$/.test(path)).map((path) => path.slice(4, -3))
const testSources = filesUnder('tests').filter((path) => /\.(ts|mts|mjs|cjs)$/.test(path))

const builtFiles = (): string[] => readdirSync(join(root, 'dist')).map((name) => `dist/${name}`)

const readText = (path: string): string => readFileSync(join(root, path), 'utf8')
const readJson = (path: string): Record<string, any> => JSON.parse(readText(path)) as Record<string, any>

const parsed = new Map<string, ts.SourceFile>()

/** A file as a tree. It is kept, since most tests here look at all files. */
function syntaxOf(path: string): ts.SourceFile {
  const known = parsed.get(path)
  if (known) return known
  const file = ts.createSourceFile(path, readText(path), ts.ScriptTarget.Latest, true)
  parsed.set(path, file)
  return file
}

const listed = new Map<ts.Node, readonly ts.Node[]>()

/** Every node of a file, kept as well. */
function allNodesOf(file: ts.SourceFile): readonly ts.Node[] {
  const known = listed.get(file) ?? nodesBelow(file, () => false)
  listed.set(file, known)
  return known
}

/** Every node below `node`; what stands below a node that `closed` names is not looked at. */
function nodesBelow(node: ts.Node, closed: (node: ts.Node) => boolean): readonly ts.Node[] {
  const found: ts.Node[] = []
  const visit = (child: ts.Node): void => {
    found.push(child)
    if (!closed(child)) ts.forEachChild(child, visit)
  }
  ts.forEachChild(node, visit)
  return found
}

/** Every node below `node` for which `wanted` holds. */
function nodesOf<T extends ts.Node>(
  node: ts.Node,
  wanted: (node: ts.Node) => node is T,
  closed?: (node: ts.Node) => boolean,
): T[] {
  const nodes = ts.isSourceFile(node) && !closed ? allNodesOf(node) : nodesBelow(node, closed ?? (() => false))
  return nodes.filter(wanted)
}

/** `path:line what`, as a person looks for it. */
function place(node: ts.Node, what: string): string {
  const file = node.getSourceFile()
  return `${file.fileName}:${file.getLineAndCharacterOfPosition(node.getStart()).line + 1} ${what}`
}

/** All import paths of a file: of values, of types, of exports that pass on, and dynamic ones. */
function importsOf(path: string): string[] {
  return ts.preProcessFile(readText(path), true, true).importedFiles.map(({ fileName }) => fileName)
}

describe('layers', () => {
  /** The order of the folders; each may import those before it. */
  const LAYERS = [
    'arguments',
    'findings',
    'fuses',
    'jesd3',
    'logic',
    'devices',
    'inspect',
    'analyses',
    'jobs',
    'report',
    'entries',
    'browser',
    'cli',
  ]

  /** The folders of jobs in order: each may import those before it. */
  const JOBS = ['vectors', 'check', 'table', 'steps', 'compare', 'readings', 'retarget', 'grade', 'exercise', 'distinguish', 'capture', 'board']

  /** The place of a file, or of what is imported; what lies directly in src is an entry. */
  const layerOf = (path: string): number => {
    const [, folder, isBelow] = /^src\/([\w-]+)(\/)?/.exec(path) ?? []
    return LAYERS.indexOf(folder && !isBelow ? 'entries' : (folder ?? ''))
  }

  test('every file of src lies in one of them', () => {
    expect(sources.filter((path) => layerOf(path) < 0)).toEqual([])
    expect(new Set(sources.map(layerOf)).size).toBe(LAYERS.length)
  })

  test('a folder imports only the folders before it', () => {
    const upward = library.flatMap((path) =>
      importsOf(path)
        .filter((specifier) => {
          const target = layerOf(posix(join(dirname(path), specifier)))
          return target < 0 || target > layerOf(path)
        })
        .map((specifier) => `${path} imports ${specifier}`),
    )
    expect(upward).toEqual([])
  })

  test('a job imports only the jobs before it', () => {
    const jobOf = (path: string): number => JOBS.indexOf(/^src\/jobs\/(\w+)\//.exec(path)?.[1] ?? '')
    const jobFiles = library.filter((path) => path.startsWith('src/jobs/'))
    expect(jobFiles.filter((path) => jobOf(path) < 0)).toEqual([])
    const back = jobFiles.flatMap((path) =>
      importsOf(path)
        .filter((specifier) => jobOf(posix(join(dirname(path), specifier))) > jobOf(path))
        .map((specifier) => `${path} imports ${specifier}`),
    )
    expect(back).toEqual([])
  })

  test('the program and the page import public entries, their own files and Node, and nothing else', () => {
    const isPublic = (specifier: string): boolean => entries.some((entry) => specifier === `../${entry}`)
    const others = sources
      .filter(isUser)
      .flatMap((path) =>
        importsOf(path).filter((specifier) => !isPublic(specifier) && !/^(\.\/[\w-]+|node:[\w/]+)$/.test(specifier)),
      )
    expect(others).toEqual([])
  })
})

describe('a library free of its host', () => {
  /**
   * Names that only a host gives, or that differ from run to run. TextEncoder (WHATWG Encoding Standard) every
   * platform has.
   */
  const HOST = new Set(
    'process Buffer Date console fetch require module __dirname __filename global globalThis window self document navigator location localStorage performance crypto setTimeout setInterval setImmediate queueMicrotask XMLHttpRequest WebSocket Worker Blob File FileReader TextDecoder URL AbortController AbortSignal structuredClone alert eval'.split(
      ' ',
    ),
  )

  /** True where an identifier stands for a value, and does not only name a property or a type's member. */
  function isValue(node: ts.Identifier): boolean {
    const { parent } = node
    if (ts.isPropertyAccessExpression(parent)) return parent.expression === node
    if (ts.isShorthandPropertyAssignment(parent)) return true
    return (
      !(ts.isPropertyAssignment(parent) && parent.name === node) &&
      !ts.isTypeElement(parent) &&
      !(ts.isBindingElement(parent) && parent.propertyName === node)
    )
  }

  test('no import from outside src', () => {
    expect(library.flatMap((path) => importsOf(path).filter((specifier) => !/^\.\.?\//.test(specifier)))).toEqual([])
  })

  test('nothing that the host gives', () => {
    const used = library.flatMap((path) =>
      nodesOf(syntaxOf(path), ts.isIdentifier)
        .filter((node) => HOST.has(node.text) && isValue(node))
        .map((node) => place(node, node.text)),
    )
    expect(used).toEqual([])
  })

  test('no randomness', () => {
    const random = library.flatMap((path) =>
      nodesOf(syntaxOf(path), ts.isPropertyAccessExpression)
        .filter((node) => node.getText() === 'Math.random')
        .map((node) => place(node, 'Math.random')),
    )
    expect(random).toEqual([])
  })

  test('what is built needs no module but its own chunks', () => {
    const built = builtFiles().filter((path) => /\.c?js$/.test(path) && !path.startsWith('dist/cli'))
    for (const entry of entries) for (const kind of ['js', 'cjs']) expect(built).toContain(`dist/${entry}.${kind}`)
    const foreign = built.flatMap((path) => {
      const code = readText(path)
      // A diode has an anode: only a module's name begins with it.
      expect(code, path).not.toMatch(/["'`]node:/)
      return ts
        .preProcessFile(code, true, true)
        .importedFiles.filter(({ fileName }) => !/^\.\/chunk-\w+\.c?js$/.test(fileName))
        .map(({ fileName }) => `${path} needs ${fileName}`)
    })
    expect(foreign).toEqual([])
  })
})

describe('a library without its program', () => {
  const commands = Object.keys(COMMANDS).join('|')
  /**
   * An option; the program with a command; a command in quotes, or one that a reader is told to use. The words of
   * commands are English words too, so that they are looked for only where a command is meant.
   */
  const PROGRAM = new RegExp(
    [
      String.raw`(^|[^\w-])--[a-z]`,
      String.raw`fuse-assay[ ](${commands}|FILE)\b`,
      '[“"`]' + `(${commands})` + '[”"`]',
      String.raw`\b([Uu]se|[Tt]ry|[Rr]un|[Cc]all|[Ss]ee)[ ](${commands})\b`,
    ].join('|'),
  )

  test('the words of the program are found', () => {
    for (const text of ['with --device PART', 'fuse-assay check tells', 'Use readings on it', 'what “show” prints'])
      expect(text).toMatch(PROGRAM)
    for (const text of ['$version fuse-assay $end', 'compare it fuse by fuse', 'a--b'])
      expect(text).not.toMatch(PROGRAM)
  })

  test('no text names an option or a command', () => {
    const isText = (node: ts.Node): node is ts.LiteralLikeNode =>
      ts.isStringLiteral(node) || ts.isNoSubstitutionTemplateLiteral(node) || isTemplatePart(node)
    const named = library.flatMap((path) =>
      nodesOf(syntaxOf(path), isText)
        .filter((node) => PROGRAM.test(node.text))
        .map((node) => place(node, node.text)),
    )
    expect(named).toEqual([])
  })

  function isTemplatePart(node: ts.Node): node is ts.TemplateLiteralLikeNode {
    return ts.isTemplateHead(node) || ts.isTemplateMiddle(node) || ts.isTemplateTail(node)
  }
})

describe('exports', () => {
  test('are all named', () => {
    const unnamed = sources.flatMap((path) => [
      ...nodesOf(syntaxOf(path), ts.isExportAssignment).map((node) => place(node, 'export default')),
      ...nodesOf(
        syntaxOf(path),
        (node): node is ts.Node => node.kind === ts.SyntaxKind.DefaultKeyword && !ts.isDefaultClause(node.parent),
      ).map((node) => place(node, 'default')),
      ...nodesOf(syntaxOf(path), ts.isExportSpecifier)
        .filter(({ name }) => name.text === 'default')
        .map((node) => place(node, 'as default')),
    ])
    expect(unnamed).toEqual([])
  })

  test.each(entries)('the entry %s only passes names on', (entry) => {
    const passesOn = (statement: ts.Statement): boolean =>
      ts.isExportDeclaration(statement) &&
      !!statement.moduleSpecifier &&
      !!statement.exportClause &&
      ts.isNamedExports(statement.exportClause)
    expect(
      syntaxOf(`src/${entry}.ts`)
        .statements.filter((statement) => !passesOn(statement))
        .map((node) => place(node, node.getText())),
    ).toEqual([])
  })
})

describe('no work at import', () => {
  const isWork = (node: ts.Node): node is ts.Node =>
    ts.isCallExpression(node) ||
    ts.isNewExpression(node) ||
    ts.isTaggedTemplateExpression(node) ||
    ts.isAwaitExpression(node)
  /** What runs later: functions, and fields of objects that a class makes. */
  const isFunction = (node: ts.Node): boolean =>
    ts.isFunctionLike(node) ||
    (ts.isPropertyDeclaration(node) && !node.modifiers?.some(({ kind }) => kind === ts.SyntaxKind.StaticKeyword))

  test('no statement at the top level of a library file calls anything', () => {
    const work = library.flatMap((path) =>
      syntaxOf(path).statements.flatMap((statement) => {
        if (ts.isFunctionDeclaration(statement)) return []
        const calls = nodesOf(statement, isWork, isFunction)
        return ts.isExpressionStatement(statement) && calls.length === 0
          ? [place(statement, statement.getText())]
          : calls.map((node) => place(node, node.getText()))
      }),
    )
    expect(work).toEqual([])
  })

  /** Names that only the data of devices hold, and codes that only later steps find. */
  const LATER = ['PTD', 'product term disable', 'device/', 'registered output']

  test.each(['src/index.ts', 'dist/index.js'])(
    'a bundle that takes the reader from %s holds nothing of devices and checks',
    async (from) => {
      const { code } = await bundle(`export { readFuseFile } from ${JSON.stringify(posix(join(root, from)))}`)
      expect(code).toContain('file/cut-short')
      expect(LATER.filter((text) => code.includes(text))).toEqual([])
      const whole = builtFiles().map(readText).join('\n')
      expect(LATER.filter((text) => !whole.includes(text))).toEqual([])
    },
  )

  test('the reader is bundled from arguments, findings, fuses and jesd3 alone', async () => {
    const { contributions } = await bundle(
      `export { readFuseFile } from ${JSON.stringify(posix(join(root, 'src/index.ts')))}`,
    )
    const folders = Object.entries(contributions)
      .filter(([path, bytes]) => bytes > 0 && path.includes('src/'))
      .map(([path]) => /src\/([\w-]+)/.exec(path)![1]!)
    expect([...new Set(folders)].sort()).toEqual(['arguments', 'findings', 'fuses', 'jesd3'])
  })
})

describe('the package', () => {
  const manifest = readJson('package.json')

  test('needs nothing at run time', () => {
    const kinds = [
      'dependencies',
      'peerDependencies',
      'optionalDependencies',
      'bundledDependencies',
      'bundleDependencies',
    ]
    expect(kinds.filter((kind) => kind in manifest)).toEqual([])
  })

  test('is developed with three tools of exact versions', () => {
    const { devDependencies } = manifest
    expect(Object.keys(devDependencies).sort()).toEqual(['tsup', 'typescript', 'vitest'])
    expect(Object.values<string>(devDependencies).filter((version) => !/^\d+\.\d+\.\d+$/.test(version))).toEqual([])
  })

  test('is locked without naming where packages were fetched', () => {
    expect(readText('package-lock.json')).not.toContain('"resolved"')
    expect(readJson('package-lock.json')['packages'][''].devDependencies).toEqual(manifest['devDependencies'])
  })

  test('offers every entry by a subpath, types for both kinds of modules, and nothing else', () => {
    const subpath = (entry: string): readonly [string, unknown] => [
      entry === 'index' ? '.' : `./${entry}`,
      {
        import: { types: `./dist/${entry}.d.ts`, default: `./dist/${entry}.js` },
        require: { types: `./dist/${entry}.d.cts`, default: `./dist/${entry}.cjs` },
      },
    ]
    expect(manifest['exports']).toEqual({
      ...Object.fromEntries(entries.map(subpath)),
      './package.json': './package.json',
    })
  })

  test('has no side effects and runs on every supported Node', () => {
    expect(manifest).toMatchObject({ sideEffects: false, engines: { node: '>=20' } })
  })
})

describe('the repository', () => {
  const files = repositoryFiles()

  test('has at its top only what belongs there', () => {
    const belongs = [
      'src',
      'tests',
      'vectors',
      'package.json',
      'package-lock.json',
      'tsconfig.json',
      'tsup.config.ts',
      'README.md',
      'DEVELOPERS.md',
    ]
    const top = [...new Set(files.map((path) => path.split('/')[0]!))]
    expect(top).toContain('src')
    expect(top.filter((name) => !name.startsWith('.') && !belongs.includes(name))).toEqual([])
  })

  test('has no source file of more than 400 lines, the data of devices aside', () => {
    const lines = (path: string): number => readText(path).trimEnd().split('\n').length
    expect(
      sources
        .filter((path) => !path.startsWith('src/devices/data/') && lines(path) > 400)
        .map((path) => `${path}: ${lines(path)}`),
    ).toEqual([])
  })

  test('has functions of at most 12 lines by the median, and 45 for nine in ten', () => {
    const lengths = sources.flatMap((path) => {
      const file = syntaxOf(path)
      const lineOf = (at: number): number => file.getLineAndCharacterOfPosition(at).line
      // Arrows of one line are expressions, not functions to be read by themselves.
      return nodesOf(file, (node): node is ts.FunctionLikeDeclaration => ts.isFunctionLike(node) && 'body' in node)
        .filter(({ body }) => body !== undefined)
        .map((node) => lineOf(node.end) - lineOf(node.getStart()) + 1)
        .filter((length) => length > 1)
    })
    const sorted = lengths.sort((a, b) => a - b)
    expect(sorted[sorted.length >> 1]).toBeLessThanOrEqual(12)
    expect(sorted[Math.floor(0.9 * sorted.length)]).toBeLessThanOrEqual(45)
  })

  test('has no source line of more than 120 characters, lines that hold one text alone aside', () => {
    const isText = (line: string): boolean =>
      /^\s*\[?([\w'-]+: |[?:+] |return |=> )?(['"`]).*\2[,;)]*\]?,?$/.test(line)
    const long = sources.flatMap((path) =>
      readText(path)
        .split('\n')
        .flatMap((line, i) => (line.length > 120 && !isText(line) ? [`${path}:${i + 1}`] : [])),
    )
    expect(long).toEqual([])
  })

  test('names no place on a machine and no place where packages are fetched', () => {
    // Each expression is written so that it does not fit its own text.
    const foreign = [
      /[/](work|home|tmp|root|Users)[/]/,
      /[.][.][/]shared/,
      /[A-Z]:\\Users/,
      /registry[.]\w+[.]\w+/,
      /npmjs[.](org|com)/,
      /yarnpkg[.]com/,
    ]
    const naming = files.flatMap((path) => {
      const text = readFileSync(join(root, path), 'latin1')
      return foreign.flatMap((pattern) => (pattern.test(text) ? [`${path}: ${pattern.exec(text)![0]}`] : []))
    })
    expect(naming).toEqual([])
  })
})

describe('the tests', () => {
  test('leave none out and compare with nothing that was recorded', () => {
    const LEFT_OUT = /^(skip|skipIf|runIf|todo|fails|xit|xtest|xdescribe|fit|fdescribe|to\w*Snapshot)$/
    const found = testSources.flatMap((path) =>
      nodesOf(syntaxOf(path), ts.isIdentifier)
        .filter(
          (node) =>
            LEFT_OUT.test(node.text) ||
            (node.text === 'only' && /\b(test|it|describe)\.only$/.test(node.parent.getText())),
        )
        .map((node) => place(node, node.text)),
    )
    expect(testSources).toContain('tests/architecture.test.ts')
    expect(found).toEqual([])
    expect(filesUnder('tests').filter((path) => path.endsWith('.snap'))).toEqual([])
  })
})
