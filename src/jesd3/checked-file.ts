/** A fuse file as read, as an argument. */
import { madeBy } from '../arguments/arguments'
import type { FuseFile } from './fuse-file'

const READ = { keys: ['bytes', 'fields', 'checksums', 'findings', 'fuses'], maker: 'what readFuseFile returned' }

/** What `readFuseFile` returned; throws TypeError for anything else. */
export function checkedFile(file: FuseFile, path: string): FuseFile {
  return madeBy(file, path, READ)
}
