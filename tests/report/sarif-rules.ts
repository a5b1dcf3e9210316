/**
 * Rules of SARIF 2.1.0, for the objects that the library writes: the schema of the OASIS Standard of 27 March 2020
 * (sarif-schema-2.1.0.json; every object but a property bag has `additionalProperties: false`) and what the text of
 * the standard says besides. Written from the standard's clauses, which are named; it shares nothing with `src`.
 */

type Rule = (value: unknown, path: string) => string[]

const no = (path: string, what: string): string[] => [`${path}: ${what}`]
const isObject = (value: unknown): value is Record<string, unknown> =>
  typeof value === 'object' && value !== null && !Array.isArray(value)

const text: Rule = (value, path) => (typeof value === 'string' ? [] : no(path, 'is no string'))
const flag: Rule = (value, path) => (typeof value === 'boolean' ? [] : no(path, 'is no boolean'))
const anything: Rule = () => []
const wholeFrom =
  (least: number): Rule =>
  (value, path) =>
    Number.isSafeInteger(value) && (value as number) >= least ? [] : no(path, `is no whole number from ${least}`)
const among =
  (...words: readonly string[]): Rule =>
  (value, path) =>
    words.includes(value as string) ? [] : no(path, `${JSON.stringify(value)} is none of ${words.join(', ')}`)
const list =
  (entry: Rule, { least = 0, unique = false } = {}): Rule =>
  (value, path) => {
    if (!Array.isArray(value)) return no(path, 'is no list')
    const texts = value.map((each) => JSON.stringify(each))
    return [
      ...(value.length < least ? no(path, `has fewer than ${least} entries`) : []),
      ...(unique && new Set(texts).size < texts.length ? no(path, 'has an entry twice') : []),
      ...value.flatMap((each, i) => entry(each, `${path}[${i}]`)),
    ]
  }
const bag: Rule = (value, path) => (isObject(value) ? [] : no(path, 'is no property bag'))
const textsByName: Rule = (value, path) =>
  isObject(value) ? Object.entries(value).flatMap(([key, each]) => text(each, `${path}.${key}`)) : bag(value, path)
const object =
  (known: Readonly<Record<string, Rule>>, needed: readonly string[] = []): Rule =>
  (value, path) =>
    isObject(value)
      ? [
          ...needed.filter((key) => !(key in value)).map((key) => `${path}.${key}: is missing`),
          ...Object.entries(value).flatMap(([key, each]) =>
            Object.hasOwn(known, key) ? known[key]!(each, `${path}.${key}`) : no(`${path}.${key}`, 'is not known'),
          ),
        ]
      : no(path, 'is no object')

/** RFC 3986, 4.1 and appendix A: the characters of a URI reference, and percent signs only before two digits. */
const uriReference: Rule = (value, path) =>
  typeof value === 'string' && /^(?:[A-Za-z0-9\-._~:/?#[\]@!$&'()*+,;=]|%[0-9A-Fa-f]{2})*$/.test(value)
    ? // 4.2: the first segment of a relative reference holds no colon.
      /^[A-Za-z][A-Za-z0-9+.-]*:/.test(value) || !/^[^/]*:/.test(value)
      ? []
      : no(path, `${value} begins like a scheme`)
    : no(path, `${String(value)} is no URI reference`)

/** 3.11.5: braces stand doubled, but for placeholders, which need arguments. */
const message = object({
  text: (value, path) =>
    typeof value === 'string' && value !== '' && !/[{}]/.test(value.replace(/\{\{|\}\}/g, ''))
      ? []
      : no(path, `${JSON.stringify(value)} is no message text`),
})

const artifactLocation = object({ uri: uriReference, index: wholeFrom(-1) })
const region: Rule = (value, path) => {
  const { startColumn, endColumn, byteOffset } = value as Record<string, number>
  return [
    ...object({
      startLine: wholeFrom(1),
      startColumn: wholeFrom(1),
      endColumn: wholeFrom(1),
      byteOffset: wholeFrom(0),
      byteLength: wholeFrom(0),
    })(value, path),
    // 3.30.8: the end of a region does not lie before its start.
    ...(endColumn! < startColumn! ? no(path, 'ends before it starts') : []),
    ...(byteOffset === undefined ? no(path, 'has no offset') : []),
  ]
}
const location = object({
  id: wholeFrom(0),
  physicalLocation: object({ artifactLocation, region }, ['artifactLocation']),
  message,
})
const LEVEL = among('none', 'note', 'warning', 'error')
const result = object(
  {
    ruleId: text,
    ruleIndex: wholeFrom(-1),
    level: LEVEL,
    message,
    locations: list(location),
    relatedLocations: list(location, { unique: true }),
    partialFingerprints: textsByName,
    properties: bag,
  },
  ['message'],
)
const rule = object(
  {
    id: text,
    shortDescription: message,
    help: message,
    defaultConfiguration: object({ level: LEVEL }),
    properties: bag,
  },
  ['id'],
)
const run = object(
  {
    tool: object({ driver: object({ name: text, version: text, rules: list(rule, { unique: true }) }, ['name']) }, [
      'driver',
    ]),
    invocations: list(
      object(
        {
          executionSuccessful: flag,
          toolExecutionNotifications: list(
            object({ level: LEVEL, message, locations: list(location, { unique: true }) }, ['message']),
          ),
        },
        ['executionSuccessful'],
      ),
    ),
    artifacts: list(
      object({ location: artifactLocation, roles: list(among('analysisTarget'), { unique: true }) }),
      { unique: true },
    ),
    defaultEncoding: text,
    newlineSequences: list(text, { least: 1, unique: true }),
    columnKind: among('utf16CodeUnits', 'unicodeCodePoints'),
    results: list(result),
    properties: anything,
  },
  ['tool'],
)
const log = object({ $schema: uriReference, version: among('2.1.0'), runs: list(run) }, ['version', 'runs'])

/** What is wrong with the numbers by which a log refers to itself. */
function wrongReferences(document: any): string[] {
  return document.runs.flatMap(({ tool, artifacts, results }: any) => {
    const { rules } = tool.driver
    const ids = rules.map(({ id }: any) => id)
    const places = (result: any): any[] =>
      [...result.locations, ...(result.relatedLocations ?? [])].map(
        (each: any) => each.physicalLocation.artifactLocation,
      )
    return [
      ...(new Set(ids).size < ids.length ? ['a rule is there twice'] : []),
      ...results.flatMap((result: any, i: number) => [
        // 3.27.6: the rule at ruleIndex is that of ruleId.
        ...(rules[result.ruleIndex]?.id === result.ruleId ? [] : [`results[${i}]: the rule of its index is another`]),
        // 3.4.5: the artifact at the index has the same URI.
        ...places(result)
          .filter(({ uri, index }) => artifacts[index]?.location.uri !== uri)
          .map(({ uri }) => `results[${i}]: the artifact of its index is not ${uri}`),
        ...(new Set((result.relatedLocations ?? []).map(({ id }: any) => id)).size ===
        (result.relatedLocations ?? []).length
          ? []
          : [`results[${i}]: a related location has the number of another`]),
      ]),
    ]
  })
}

/** Everything that is wrong with a log; empty where nothing is. */
export function sarifErrors(document: unknown): string[] {
  const errors = log(document, 'log')
  return errors.length > 0 ? errors : wrongReferences(document)
}
