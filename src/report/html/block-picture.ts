/** Fuses outside the AND array, a line a block: the OR array as places, all others as digits. */
import { fuseAt } from '../../fuses/fuse-map'
import { fuseOf, indexInBlock, type FuseBlock } from '../../devices/device'
import { SIZE, squarePath, text, type ShownMap } from './drawing'
import { element, type Content } from './element'
import { markPath } from './marks'

/** Fuses of one line. */
const LINE = 32

export interface BlockLines {
  readonly content: Content
  readonly marks: Content
  readonly height: number
}

/** The blocks of a map from `top` down. */
export function blockLines({ decoded: { device }, fuses, differences = [] }: ShownMap, top: number): BlockLines {
  const content: Content[] = []
  let marks = ''
  let y = top
  for (const block of device.blocks) {
    if (block.use === 'array' || block.first >= fuses.length) continue
    const line = block.use === 'or' ? device.cells.length : LINE
    const at = (index: number): readonly [number, number] => [
      SIZE.left + (index % line) * SIZE.fuse,
      y + Math.floor(index / line) * SIZE.fuse,
    ]
    const states = Array.from({ length: block.count }, (_, i) => fuseAt(fuses, fuseOf(block, i)))
    content.push(text(0, y + 9, block.name.slice(0, MAX_NAME), 'start'))
    content.push(block.use === 'or' ? placesOf(states, at) : digitsOf(states, at, line))
    marks += marksIn(block, differences, at)
    y += Math.ceil(block.count / line) * SIZE.fuse + SIZE.cellGap
  }
  return { content, marks: marks === '' ? null : element('path', { class: 'differs', d: marks }), height: y - top }
}

/** Characters of a name that fit before the first fuse. */
const MAX_NAME = 13

type At = (index: number) => readonly [number, number]

/** 0 lets a term into a sum. */
function placesOf(states: readonly number[], at: At): Content {
  const d = states.map((state, i) => (state === 0 ? squarePath(at(i)[0] + 2, at(i)[1] + 2, 7) : '')).join('')
  return element('path', { class: 'on', d })
}

function digitsOf(states: readonly number[], at: At, line: number): Content {
  const lines: Content[] = []
  for (let from = 0; from < states.length; from += line) {
    const own = states.slice(from, from + line)
    const xs = own.map((_, i) => at(from + i)[0] + 2.5)
    lines.push(element('text', { x: xs.join(' '), y: at(from)[1] + 9, 'font-size': 10 }, own.join('')))
  }
  return lines
}

function marksIn(block: FuseBlock, differences: NonNullable<ShownMap['differences']>, at: At): string {
  const half = SIZE.fuse / 2
  return differences
    .map(({ fuse, role }) => ({ role, index: indexInBlock(block, fuse) }))
    .filter(({ index }) => index >= 0)
    .map(({ role, index }) => markPath(role, [at(index)[0] + half, at(index)[1] + half], half))
    .join('')
}
