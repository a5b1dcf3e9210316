/** New files of every kind: none replaces a file unasked, and none ever replaces what was read. */
import { text, Usage, type Call } from './call'
import { outputFailure } from './session'

/** A name to write to, with the option that gave it. */
export interface Target {
  readonly option: string
  readonly path: string
}

/** The name that an option gives, checked before any work is done; null without the option. */
export function targetOption(call: Call, option: string): Target | null {
  const path = text(call, option)
  return path === undefined ? null : checkedTarget(call, { option, path })
}

/** Names to write to by the options that give them; two that are one file are refused. */
export function targetOptions(call: Call, ...options: readonly string[]): readonly Target[] {
  const targets = options.flatMap((option) => targetOption(call, option) ?? [])
  const twice = targets.find(({ path }, i) => targets.slice(0, i).some((other) => other.path === path))
  if (twice) throw new Usage(`--${twice.option} ${twice.path} is to be written twice; give another name`)
  return targets
}

/** Writes what each option asks for. Returns lines that say so, after an empty one; nothing without any. */
export function writeTargets(
  call: Call,
  targets: readonly Target[],
  contents: Readonly<Record<string, () => Uint8Array | string>>,
): string {
  for (const target of targets) writeTarget(call, target, contents[target.option]!())
  return targets.length === 0 ? '' : `\n${targets.map(({ path }) => `${path}: written.\n`).join('')}`
}

/** A name to write to that may be used. */
export function checkedTarget(call: Call, target: Target): Target {
  const { option, path } = target
  if (path === '' || path === '-') throw new Usage(`--${option} needs the name of a file to write`)
  refuseInputs(call, target, call.inputs)
  const kind = call.host.kind(path)
  if (kind === 'folder') throw new Usage(`--${option} ${path} is a folder; give the name of a file`)
  if (kind === 'link' || kind === 'other')
    throw new Usage(`--${option} ${path} is no regular file, and is not written to; give another name`)
  if (kind === 'file' && call.options['replace'] !== true) throw new Usage(exists(target))
  return target
}

function exists({ option, path }: Target): string {
  return `--${option} ${path} exists; give another name, or --replace`
}

function refuseInputs({ host }: Call, { option, path }: Target, inputs: Iterable<string>): void {
  for (const input of inputs)
    if (input === path || host.same(input, path))
      throw new Usage(`--${option} ${path} would overwrite what is read; give another name`)
}

/** Writes a new file whole, or not at all. */
export function writeTarget(call: Call, target: Target, content: Uint8Array | string): void {
  const { option, path } = target
  refuseInputs(call, target, call.host.reads)
  try {
    const bytes = typeof content === 'string' ? new TextEncoder().encode(content) : content
    call.host.write(path, bytes, call.options['replace'] === true)
  } catch (error) {
    if ((error as { readonly code?: string }).code === 'EEXIST') throw new Usage(exists(target))
    throw outputFailure(`--${option} ${path}`, error) ?? new Usage(`${path} cannot be written; choose another place`)
  }
}
