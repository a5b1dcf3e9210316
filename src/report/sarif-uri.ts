/** Names of files as references of RFC 3986. */

/**
 * A path as a URI or a relative reference: its characters percent-encoded, both kinds of slashes as parts of a path.
 * An absolute path, with or without the letter of a drive, becomes a `file:` URI.
 */
export function fileUri(path: string): string {
  const segments = path.replaceAll('\\', '/').replace(/^(\.\/+)+(?=.)/, '').split('/')
  const drive = /^[A-Za-z]:$/.test(segments[0]!) && segments.length > 1 ? segments.shift() : undefined
  // A surrogate by itself is no character, and has no bytes that could be encoded.
  const encoded = segments.map((segment) => encodeURIComponent(segment.replace(/\p{Surrogate}/gu, '\ufffd'))).join('/')
  if (drive !== undefined) return `file:///${drive}/${encoded}`
  if (encoded.startsWith('//')) return `file:${encoded}`
  return encoded.startsWith('/') ? `file://${encoded}` : encoded
}
