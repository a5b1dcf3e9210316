/** More of Node, for the tests of the package as a whole. */
declare module 'node:process' {
  /** The program that runs this test, so that the programs it starts are run by the same Node. */
  export const execPath: string
}
