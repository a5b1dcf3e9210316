/** Shapes by which pictures mark things; a differing fuse has one a group of roles, so that nobody needs the colour. */
import type { Role } from '../../devices/fuse-role'
import { round } from './drawing'
import { element, type Markup } from './element'

/** Corners around the middle of a fuse, in units of its half width. */
type Shape = readonly (readonly [number, number])[]

const SHAPES = {
  diamond: [[0, -1.25], [1.25, 0], [0, 1.25], [-1.25, 0]],
  tent: [[0, -1.3], [1.3, 1], [-1.3, 1]],
  funnel: [[-1.3, -1], [1.3, -1], [0, 1.3]],
  comb: [[-0.6, -1.1], [0.6, -1.1], [1.3, 0], [0.6, 1.1], [-0.6, 1.1], [-1.3, 0]],
  flag: [[-1, -1.2], [1.3, 0], [-1, 1.2]],
  pennant: [[1, -1.2], [-1.3, 0], [1, 1.2]],
  box: [[-1, -1], [1, -1], [1, 1], [-1, 1]],
} as const satisfies Readonly<Record<string, Shape>>

export type ShapeName = keyof typeof SHAPES

const SHAPE_OF: Readonly<Record<Role, ShapeName>> = {
  and: 'diamond',
  or: 'diamond',
  'output-enable': 'tent',
  reset: 'comb',
  preset: 'comb',
  clock: 'comb',
  polarity: 'flag',
  configuration: 'box',
  'term-disable': 'box',
  signature: 'funnel',
  'power-down': 'box',
  reserved: 'funnel',
}

/** The outline of a shape around a point. */
export function shapePath(name: ShapeName, [x, y]: readonly [number, number], half: number): string {
  const corners = SHAPES[name].map(([dx, dy]) => `${round(x + dx * half)} ${round(y + dy * half)}`)
  return `M${corners.join('L')}Z`
}

/** The outline of a role's shape around a point. */
export function markPath(role: Role, at: readonly [number, number], half: number): string {
  return shapePath(SHAPE_OF[role], at, half)
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
