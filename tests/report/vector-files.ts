/** The files of vectors/, and those of them that have another to be compared with. */
import { readdirSync, readFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'

const VECTORS = fileURLToPath(new URL('../../vectors/', import.meta.url))

export const files: readonly string[] = readdirSync(VECTORS, { recursive: true })
  .map((name) => String(name).replaceAll('\\', '/'))
  .filter((name) => name.endsWith('.jed'))
  .sort()

export const pairs: readonly { readonly name: string; readonly other: string }[] = files.flatMap((name) => {
  const other = name.replace(/\.jed$/, '.other.jed')
  return files.includes(other) ? [{ name, other }] : []
})

export const bytesOf = (name: string): Uint8Array => readFileSync(`${VECTORS}/${name}`)
