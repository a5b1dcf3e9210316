/**
 * The language of the catalogue's texts, its types, and how data fill it. In a text stand
 *
 *     {name}            a value; where `words` of the entry have it, the text for it, filled from the same data
 *     {name:one|many}   a number and the word that goes with it: “1 fuse”, “2 fuses”
 *     {name,}           a list; a record in it is told by the entry of that name in `items`
 *     {name,and}        a list whose last two are joined by that word: “1, 2 and 3”
 *     {name,=one|many}  a list behind the word that goes with it: “pin 3”, “pins 3, 4”; nothing for an empty list
 *     {name!}           another finding, as its code and data: its message
 */

/** A value of a parameter; a record is another finding, or stands in a list. */
export type FindingValue = string | number | FindingData | readonly (string | number | FindingData)[]

/** The parameters of a finding, by the names that stand in braces in its wording. */
export interface FindingData {
  /** A code, a number, what a document says, another finding, or a list of them. */
  readonly [name: string]: FindingValue
}

/** Texts for values of a parameter; they may ask for parameters of their own. */
export type Words = Readonly<Record<string, Readonly<Record<string, string>>>>

/** How a record in a list is told. */
export interface ItemEntry {
  /** The text for one record. */
  readonly message: string
  /** Words for values of its parameters, by name. */
  readonly words?: Words
  /** What stands between two records. */
  readonly between: string
}

/** What fills the texts of one entry. */
export interface Wording {
  readonly words?: Words
  /** Each list of records with how they are told. */
  readonly items?: Readonly<Record<string, ItemEntry>>
  /** The entries of findings that the data may hold. */
  readonly inside?: Readonly<Record<string, FindingText>>
}

/** How a finding inside another one is told. */
interface FindingText extends Pick<Wording, 'words' | 'items'> {
  readonly message: string
}

/** A finding as data of another one. */
export interface FindingInside {
  /** Code of the catalogue. */
  readonly code: string
  /** The parameters of its wording. */
  readonly data: FindingData
  /** Data hold nothing else. */
  readonly [other: string]: string | FindingData
}

/** What stands in braces in a text. */
type Braced<Text> = Text extends `${string}{${infer Inside}}${infer Rest}` ? Inside | Braced<Rest> : never

/** What stands before a mark, unless another mark stands there too: words behind a mark may hold any of them. */
type Before<Inside, Mark extends string, Other extends string> = Inside extends `${infer Name}${Mark}${string}`
  ? Name extends `${string}${Other}${string}`
    ? never
    : Name
  : never

type CountName<Inside> = Before<Inside, ':', ','>

type ListName<Inside> = Before<Inside, ',', ':'>

type FindingName<Inside> = Inside extends `${infer Name}!` ? Name : never

type PlainName<Inside> = Inside extends `${string}${':' | ',' | '!'}${string}` ? never : Inside

type WordsIn<E, Name> = E extends { readonly words: infer W } ? (Name extends keyof W ? W[Name] : never) : never

type ItemsIn<E, Name> = E extends { readonly items: infer I } ? (Name extends keyof I ? I[Name] : never) : never

type ElementOf<E, Name> = [ItemsIn<E, Name>] extends [never]
  ? [WordsIn<E, Name>] extends [never]
    ? string | number
    : keyof WordsIn<E, Name>
  : DataOf<ItemsIn<E, Name>>

/** Parameters that are not chosen among words. */
type OpenData<Inside, E> = {
  readonly [Name in PlainName<Inside> as [WordsIn<E, Name>] extends [never] ? Name & string : never]: string | number
} & Readonly<Record<CountName<Inside>, number>> & {
    readonly [Name in ListName<Inside>]: readonly ElementOf<E, Name>[]
  } & Readonly<Record<FindingName<Inside>, FindingInside>>

/** Codes whose text asks for nothing more. */
type BareWords<Texts> = { [Code in keyof Texts]: [Braced<Texts[Code]>] extends [never] ? Code : never }[keyof Texts]

type Choice<Name extends string, Texts, E> =
  | ([BareWords<Texts>] extends [never] ? never : Readonly<Record<Name, BareWords<Texts>>>)
  | {
      [Code in Exclude<keyof Texts, BareWords<Texts>>]: Readonly<Record<Name, Code>> & TextData<Braced<Texts[Code]>, E>
    }[Exclude<keyof Texts, BareWords<Texts>>]

/** Parameters that are one of several codes, each with the parameters that its own text asks for. */
type Choices<Inside, E> = {
  [Name in PlainName<Inside> as [WordsIn<E, Name>] extends [never] ? never : Name & string]: (
    data: Choice<Name & string, WordsIn<E, Name>, E>,
  ) => void
}

type TextData<Inside, E> = OpenData<Inside, E> & AllOf<Choices<Inside, E>>

type AllOf<Functions> = [keyof Functions] extends [never]
  ? unknown
  : Functions[keyof Functions] extends (data: infer All) => void
    ? All
    : never

type TextsOf<E> = E[keyof E & ('message' | 'hint' | 'clause')]

/** The data that the wording of an entry asks for: no name less, and none misspelt. */
export type DataOf<E> = [Braced<TextsOf<E>>] extends [never]
  ? Readonly<Record<string, never>>
  : TextData<Braced<TextsOf<E>>, E>

const BRACES = /\{(\w+)(?:!|,(\w*)(?:=([^|}]*)(?:\|([^}]*))?)?|:([^|}]*)\|([^}]*))?\}/g

/** A text with its parameters filled in; what data lack stays in braces. Data may come from outside: own keys alone. */
export function fill(text: string, data: FindingData, wording: Wording): string {
  return withArticles(text, data).replace(BRACES, (whole, name: string, ...marks: (string | undefined)[]) => {
    const [last, lead, leads, one, many] = marks
    if (!Object.hasOwn(data, name)) return whole
    const value = data[name]!
    if (many !== undefined) return `${String(value)} ${String(value === 1 ? one : many)}`
    if (!Array.isArray(value)) return said(value as string | number | FindingData, name, { data, wording })
    const told = value.map((each: string | number | FindingData) => said(each, name, { data, wording }))
    const listed = joined(told, ownOf(wording.items, name)?.between ?? ', ', last)
    if (lead === undefined || told.length === 0) return listed
    return `${told.length === 1 ? lead : (leads ?? lead)} ${listed}`
  })
}

/** “an” before a part number that is spoken with a vowel: an 82S100, an 18V10. */
function withArticles(text: string, data: FindingData): string {
  return text.replace(/\b([Aa]) (?=\{(\w+)\})/g, (article, letter: string, name: string) =>
    Object.hasOwn(data, name) && /^(8|18\D)/.test(String(data[name])) ? `${letter}n ` : article,
  )
}

/** One value of a parameter in words. */
function said(
  value: string | number | FindingData,
  name: string,
  { data, wording }: { readonly data: FindingData; readonly wording: Wording },
): string {
  if (typeof value !== 'object') {
    const words = ownOf(ownOf(wording.words, name), String(value))
    return words === undefined ? String(value) : fill(words, data, wording)
  }
  const item = ownOf(wording.items, name)
  const entry = item ?? ownOf(wording.inside, String(value?.['code']))
  const own = item ? value : value?.['data']
  if (!entry || typeof own !== 'object' || !own) return JSON.stringify(value)
  return fill(entry.message, own as FindingData, entry)
}

function joined(told: readonly string[], between: string, last: string | undefined): string {
  if (!last || told.length < 2) return told.join(between)
  return `${told.slice(0, -1).join(between)} ${last} ${told.at(-1)!}`
}

function ownOf<T>(record: Readonly<Record<string, T>> | undefined, key: string): T | undefined {
  return record && Object.hasOwn(record, key) ? record[key] : undefined
}
