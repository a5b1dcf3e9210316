/** Shapes by which pictures mark a differing fuse: one a group of roles, so that nobody needs the colour. */
import type { Role } from '../../devices/fuse-role'
import { round } from './drawing'
import { element, type Markup } from './element'

/** Corners around the middle of a fuse, in units of its half width. */
type Shape = readonly (readonly [number, number])[]

const DIAMOND: Shape = [[0, -1.25], [1.25, 0], [0, 1.25], [-1.25, 0]]
const TENT: Shape = [[0, -1.3], [1.3, 1], [-1.3, 1]]
const FUNNEL: Shape = [[-1.3, -1], [1.3, -1], [0, 1.3]]
const COMB: Shape = [[-0.6, -1.1], [0.6, -1.1], [1.3, 0], [0.6, 1.1], [-0.6, 1.1], [-1.3, 0]]
const FLAG: Shape = [[-1, -1.2], [1.3, 0], [-1, 1.2]]
const BOX: Shape = [[-1, -1], [1, -1], [1, 1], [-1, 1]]

const SHAPES: Readonly<Record<Role, Shape>> = {
  and: DIAMOND,
  or: DIAMOND,
  'output-enable': TENT,
  reset: COMB,
  preset: COMB,
  clock: COMB,
  polarity: FLAG,
  configuration: BOX,
  'term-disable': BOX,
  signature: FUNNEL,
  'power-down': BOX,
  reserved: FUNNEL,
}

/** The outline of a role's shape around a point. */
export function markPath(role: Role, [x, y]: readonly [number, number], half: number): string {
  const corners = SHAPES[role].map(([dx, dy]) => `${round(x + dx * half)} ${round(y + dy * half)}`)
  return `M${corners.join('L')}Z`
}

/** A shape of a picture, as its path within 16 by 16, with its class and what it means. */
export interface LegendEntry {
  readonly path: string
  readonly kind: string
  readonly words: string
}

/** A list that says what shapes mean. The words say it all: the shapes are left out for those who hear the page. */
export function legend(entries: readonly LegendEntry[]): Markup {
  return element(
    'ul',
    { class: 'legend' },
    entries.map(({ path, kind, words }) =>
      element(
        'li',
        {},
        element(
          'svg',
          { width: 16, height: 16, viewBox: '0 0 16 16', 'aria-hidden': 'true', focusable: 'false' },
          element('path', { class: kind, d: path }),
        ),
        words,
      ),
    ),
  )
}
