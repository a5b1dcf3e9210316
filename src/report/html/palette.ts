/** The colours of a page. A test computes the contrast of each pair that stands on another (WCAG 2.2, 1.4.3). */

/** Colours by what they are for. Verdicts and roles are told by words and shapes too, never by colour alone. */
export interface Palette {
  readonly paper: string
  /** Ground of tables' heads and of boxes. */
  readonly panel: string
  readonly ink: string
  readonly soft: string
  readonly rule: string
  readonly pass: string
  readonly caution: string
  readonly fail: string
  /** What differs, in pictures. */
  readonly mark: string
}

export const LIGHT: Palette = {
  paper: '#fbfaf7',
  panel: '#efede6',
  ink: '#1d2327',
  soft: '#555c60',
  rule: '#b9b5a8',
  pass: '#1f6146',
  caution: '#7a4d00',
  fail: '#a3172e',
  mark: '#8a1c7c',
}

export const DARK: Palette = {
  paper: '#14181b',
  panel: '#20272b',
  ink: '#e8e6df',
  soft: '#a9b0b3',
  rule: '#4a5358',
  pass: '#7fd0a8',
  caution: '#f0bd6a',
  fail: '#ff9aa5',
  mark: '#f0a3e6',
}

/** Colours in which words and marks stand, and the grounds on which each of them may stand. */
export const INKS = ['ink', 'soft', 'pass', 'caution', 'fail', 'mark'] as const
export const GROUNDS = ['paper', 'panel'] as const
