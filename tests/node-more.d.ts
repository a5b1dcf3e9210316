/** More of Node, for the tests of the package as a whole. */
declare module 'node:process' {
  /** The program that runs this test, so that the programs it starts are run by the same Node. */
  export const execPath: string
}
declare module 'node:process' {
  /** Settings of a run from outside: how many seeded cases the tests try. */
  export const env: Readonly<Record<string, string | undefined>>
}
