/** The files that a call means: names as given, and what lies in folders. */
import { cannotRead } from './call'
import { Usage, type Session } from './session'

/** Names that a fuse file has: common practice, no published source. */
const FUSE_FILE = /\.(jed|jedec|jdc)$/i

/** Most files of one call: each is remembered until the last line is printed. */
const MAX_FILES = 10_000

/** Deepest folder that is entered below the one that is named. */
const MAX_DEPTH = 16

export interface NamedFiles {
  readonly names: readonly string[]
  /** True where a folder was named, whatever it held. */
  readonly folder: boolean
}

/** Folders stand for the fuse files in them and in the folders below; links are not followed there. */
export function namedFiles(host: Session, given: readonly string[]): NamedFiles {
  const folders = given.filter((name) => name !== '-' && host.kind(name) === 'folder')
  const names: string[] = []
  for (const name of given) {
    if (!folders.includes(name)) names.push(name)
    else {
      const before = names.length
      addFolder(host, name.replace(/(?<=.)[/\\]$/, ''), { names, depth: 0 })
      if (names.length === before)
        throw new Usage(`${name}: no file in it ends in .jed, .jedec or .jdc; name the files`)
    }
  }
  if (names.length > MAX_FILES)
    throw new Usage(`more than ${MAX_FILES} files; name fewer, or the folders one after the other`)
  return { names, folder: folders.length > 0 }
}

function addFolder(host: Session, folder: string, into: { readonly names: string[]; readonly depth: number }): void {
  const { names, depth } = into
  for (const name of listOrStop(host, folder)) {
    if (names.length > MAX_FILES) return
    const path = folder === '/' ? `/${name}` : `${folder}/${name}`
    const kind = host.kind(path)
    if (kind === 'folder' && depth < MAX_DEPTH) addFolder(host, path, { names, depth: depth + 1 })
    else if (kind !== 'folder' && kind !== 'other' && FUSE_FILE.test(name)) names.push(path)
  }
}

function listOrStop(host: Session, folder: string): readonly string[] {
  try {
    return [...host.list(folder)].sort()
  } catch (error) {
    throw new Usage(cannotRead(folder, error))
  }
}
