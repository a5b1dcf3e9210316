/** What must hold between the parts of a document that describes a part, once each of them has its shape. */
import { fuseOf, orTermCount, type BlockUse, type Device, type FuseBlock } from './device'

/** Takes what is wrong; paths begin below the document. */
export type Complain = (path: string, message: string) => void

/** One rule, with the keys of the document that must have their shape for it to make sense. */
export interface Rule {
  readonly needs: readonly (keyof Device)[]
  readonly check: (device: Device, complain: Complain) => void
}

/** Rules for the package, the fuses and the rows. */
export function mapRules(): readonly Rule[] {
  return [
    { needs: ['pinCount', 'groundPin', 'powerPin'], check: checkSupply },
    { needs: ['pinCount', 'groundPin', 'powerPin', 'powerDownPin', 'blocks'], check: checkPowerDown },
    { needs: ['pinCount', 'carriers'], check: checkCarriers },
    { needs: ['fuseCount', 'blocks'], check: checkCover },
    { needs: ['fuseCount', 'blocks', 'shorterCounts', 'shorterBasis'], check: checkShorter },
    { needs: ['blocks', 'array', 'cells', 'modes'], check: checkBlocks },
    { needs: ['blocks', 'array', 'cells', 'modes'], check: checkUndecoded },
    { needs: ['blocks', 'array', 'cells', 'modes', 'sharedRows'], check: checkRows },
  ]
}

/** Why a pin cannot carry a signal; null where it can. */
export function pinProblem({ pinCount, groundPin, powerPin }: Device, pin: number): string | null {
  if (pin > pinCount) return `${pin} is not a pin of a ${pinCount}-pin package`
  return pin === groundPin ? `pin ${pin} is ground` : pin === powerPin ? `pin ${pin} is the supply` : null
}

function checkSupply({ pinCount, groundPin, powerPin }: Device, complain: Complain): void {
  for (const [path, pin] of [
    ['groundPin', groundPin],
    ['powerPin', powerPin],
  ] as const)
    if (pin > pinCount) complain(path, `${pin} is not a pin of a ${pinCount}-pin package`)
  if (groundPin === powerPin) complain('powerPin', `pin ${powerPin} is ground already`)
}

function checkPowerDown(device: Device, complain: Complain): void {
  const { powerDownPin, blocks } = device
  const problem = powerDownPin === undefined ? null : pinProblem(device, powerDownPin)
  if (problem) complain('powerDownPin', problem)
  const at = blocks.findIndex(({ use }) => use === 'power-down')
  if (at >= 0 && powerDownPin === undefined) complain(`blocks[${at}]`, 'needs powerDownPin, the pin that it switches')
  if (at < 0 && powerDownPin !== undefined) complain('powerDownPin', 'needs a power-down block')
}

function checkCarriers({ carriers = [], pinCount }: Device, complain: Complain): void {
  for (const [index, { dipPins }] of carriers.entries()) {
    const path = `carriers[${index}].dipPins`
    for (const [contact, pin] of dipPins.entries()) {
      if (pin > pinCount) complain(`${path}[${contact}]`, `${pin} is not a pin of a ${pinCount}-pin package`)
      if (pin > 0 && dipPins.indexOf(pin) < contact)
        complain(`${path}[${contact}]`, `pin ${pin} has a contact already`)
    }
    // Vectors are brought to the package that has as many contacts as they have conditions.
    const same = carriers.findIndex((carrier) => carrier.dipPins.length === dipPins.length)
    if (dipPins.length === pinCount || same < index)
      complain(path, `another package has ${dipPins.length} contacts too, so that the two cannot be told apart`)
  }
}

/** Every fuse lies in one block and in no other. */
function checkCover({ fuseCount, blocks }: Device, complain: Complain): void {
  const taken = new Uint8Array(fuseCount)
  // Far more fuses than there are: the first that lies twice is enough, and gaps are no matter.
  const heaped = blocks.reduce((sum, { count }) => sum + count, 0) > 2 * fuseCount
  for (const [index, block] of blocks.entries()) {
    const path = `blocks[${index}]`
    const { count, run = 1, step = run } = block
    const last = fuseOf(block, count - 1)
    const twice = markBlock(taken, block, heaped)
    if (step < run) complain(`${path}.step`, `${step} is less than the run of ${run}`)
    else if (last >= fuseCount)
      complain(path, `reaches fuse ${last}; the last of ${fuseCount} fuses is ${fuseCount - 1}`)
    else if (twice !== null) complain(path, `fuse ${twice} lies in another block already`)
  }
  const bare = taken.indexOf(0)
  if (bare >= 0 && !heaped) complain('blocks', `fuse ${bare} lies in no block`)
}

/** Marks the fuses of a block, with `once` up to the first that was marked before; gives that one. */
function markBlock(taken: Uint8Array, block: FuseBlock, once: boolean): number | null {
  let twice: number | null = null
  for (let i = 0; i < block.count && !(once && twice !== null); i++) {
    const fuse = fuseOf(block, i)
    if (taken[fuse]) twice ??= fuse
    taken[fuse] = 1
  }
  return twice
}

/** What a shorter map may leave out: nothing of what decides the logic. */
const LEFT_OUT: readonly BlockUse[] = ['signature', 'power-down', 'undecoded']

function checkShorter({ fuseCount, blocks, shorterCounts, shorterBasis }: Device, complain: Complain): void {
  if (shorterBasis !== undefined && !shorterCounts?.length) complain('shorterBasis', 'needs shorterCounts')
  for (const [index, count] of (shorterCounts ?? []).entries()) {
    const path = `shorterCounts[${index}]`
    if (count >= fuseCount) complain(path, `${count} is not less than the ${fuseCount} fuses of the whole map`)
    else if (index > 0 && count <= shorterCounts![index - 1]!) complain(path, `${count} does not ascend`)
    for (const block of blocks) {
      const before = block.first < count
      if (before && block.use !== 'undecoded' && fuseOf(block, block.count - 1) >= count)
        complain(path, `fuse ${count} lies within the block ${block.name}`)
      if (!before && !LEFT_OUT.includes(block.use))
        complain(path, `leaves out the block ${block.name}, on which the logic hangs`)
    }
  }
}

/** Uses of which a part can have several blocks. */
const REPEATED: readonly BlockUse[] = ['array', 'undecoded']

function checkBlocks(device: Device, complain: Complain): void {
  const { blocks, modes } = device
  if (modes.length === 0) return
  const { rows, columns } = device.array
  if (columns % 2 === 1 || columns === 0) complain('array.columns', `${columns} columns are not pairs`)
  for (const [index, block] of blocks.entries()) {
    const path = `blocks[${index}]`
    if (!REPEATED.includes(block.use) && blocks.findIndex(({ use }) => use === block.use) < index)
      complain(path, `a part has one block of the use ${block.use}`)
    const problem = countProblem(device, block)
    if (problem) complain(`${path}.count`, problem)
    if (block.names && block.names.length !== block.count)
      complain(`${path}.names`, `has ${block.names.length} names for ${block.count} fuses`)
  }
  const held = blocks.filter(({ use }) => use === 'array').reduce((sum, { count }) => sum + count, 0)
  if (rows === 0 || held !== rows * columns)
    complain('array', `${rows} rows of ${columns} columns are ${rows * columns} fuses; the array blocks hold ${held}`)
}

function countProblem({ array, cells, modes }: Device, { use, count }: FuseBlock): string | null {
  const mustBe = (wanted: number, what: string): string | null =>
    count === wanted ? null : `${count} fuses for ${wanted} ${what}`
  switch (use) {
    case 'array':
      return count % array.columns === 0 ? null : `${count} fuses are no whole rows of ${array.columns}`
    case 'or':
      return cells.length > 0 && count % cells.length === 0 && count / cells.length <= array.rows
        ? null
        : `${count} fuses are not one for each of ${cells.length} cells a term, of at most ${array.rows} terms`
    case 'polarity':
    case 'cell-select':
      return mustBe(cells.length, 'cells')
    case 'term-disable':
      return mustBe(array.rows, 'rows')
    case 'mode-select':
      return mustBe(modes[0]!.select.length, 'values of the first mode’s select')
    case 'signature':
      return count % 8 === 0 ? null : `${count} fuses are no whole bytes`
    case 'power-down':
      return mustBe(1, 'pin')
    case 'undecoded':
      return null
  }
}

/** Without modes nothing is decoded, and nothing can be said of it. */
function checkUndecoded({ modes, cells, array, blocks }: Device, complain: Complain): void {
  if (modes.length > 0) {
    if (cells.length === 0) complain('cells', 'a part with modes has cells')
    return
  }
  if (cells.length > 0) complain('cells', 'a part without modes has no cells')
  if (array.rows > 0 || array.columns > 0) complain('array', 'a part without modes has 0 rows and 0 columns')
  for (const [index, { use }] of blocks.entries())
    if (use !== 'undecoded') complain(`blocks[${index}].use`, 'in a part without modes all blocks are undecoded')
}

interface Rows {
  readonly path: string
  readonly owner: string
  readonly from: number
  readonly count: number
}

/** Every row belongs to one cell, to the OR array, or to all registers. */
function checkRows(device: Device, complain: Complain): void {
  const { array, cells, sharedRows, modes } = device
  if (modes.length === 0 || cells.length === 0) return
  const terms = Math.floor(orTermCount(device))
  const owners: Rows[] = [
    ...(terms > 0 ? [{ path: 'blocks', owner: 'the OR array', from: 0, count: terms }] : []),
    ...(sharedRows
      ? [{ path: 'sharedRows.reset', owner: 'the shared reset', from: sharedRows.reset, count: 1 }]
      : []),
    ...(sharedRows
      ? [{ path: 'sharedRows.clockedPreset', owner: 'the shared preset', from: sharedRows.clockedPreset, count: 1 }]
      : []),
    ...cells.map(({ pin, firstRow, rowCount }, i) => ({
      path: `cells[${i}]`,
      owner: `the cell of pin ${pin}`,
      from: firstRow,
      count: rowCount,
    })),
  ]
  const inside = owners.filter(({ path, from, count }) => {
    if (count > 0 && from + count > array.rows)
      complain(path, `reaches row ${from + count - 1}; the last of ${array.rows} rows is ${array.rows - 1}`)
    return count > 0 && from + count <= array.rows
  })
  let next = 0
  let last: Rows | null = null
  for (const rows of inside.sort((a, b) => a.from - b.from)) {
    if (last && rows.from < next) complain(rows.path, `row ${rows.from} belongs to ${last.owner} already`)
    else if (rows.from > next) complain('array.rows', `row ${next} belongs to no cell`)
    if (rows.from + rows.count > next) last = rows
    next = Math.max(next, rows.from + rows.count)
  }
  if (inside.length === owners.filter(({ count }) => count > 0).length && next < array.rows)
    complain('array.rows', `row ${next} belongs to no cell`)
}
