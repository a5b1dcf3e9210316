/** More of Node, for the tests of the package as a whole. */
declare module 'node:process' {
  /** The program that runs this test, so that the programs it starts are run by the same Node. */
  export const execPath: string
}
declare module 'node:process' {
  /** Settings of a run from outside: how many seeded cases the tests try. */
  export const env: Readonly<Record<string, string | undefined>>
}
declare module 'node:inspector' {
  /** Calls return at once: what is asked of the own thread is answered before `post` ends. */
  export class Session {
    connect(): void
    post(method: string, params?: object): void
    post<Result>(method: string, answer: (error: unknown, result: Result) => void): void
  }
}
declare module 'node:crypto' {
  export function createHash(algorithm: string): {
    update(text: string): { digest(encoding: 'base64'): string }
  }
}
declare module 'node:vm' {
  /** A realm of its own, with these names and the language's. */
  export function createContext(names: object): Record<string, unknown>
  export function runInContext(code: string, context: object): unknown
}
