/** Colours of pages: the contrast of every ink on every ground, by the arithmetic of WCAG 2.2. */
import { expect, test } from 'vitest'
import { DARK, GROUNDS, INKS, LIGHT } from '../../src/report/html/palette'
import { styleSheet } from '../../src/report/html/style'

/** Relative luminance (WCAG 2.2, definitions): sRGB channels made linear, 0.2126 R + 0.7152 G + 0.0722 B. */
function luminance(colour: string): number {
  const [r, g, b] = [1, 3, 5].map((at) => {
    const channel = parseInt(colour.slice(at, at + 2), 16) / 255
    return channel <= 0.04045 ? channel / 12.92 : ((channel + 0.055) / 1.055) ** 2.4
  }) as [number, number, number]
  return 0.2126 * r + 0.7152 * g + 0.0722 * b
}

function contrast(a: string, b: string): number {
  const [high, low] = [luminance(a), luminance(b)].sort((x, y) => y - x) as [number, number]
  return (high + 0.05) / (low + 0.05)
}

test('the arithmetic: white on black is 21 to 1, #767676 on white 4.54 to 1', () => {
  expect(contrast('#ffffff', '#000000')).toBeCloseTo(21, 5)
  expect(contrast('#767676', '#ffffff')).toBeCloseTo(4.54, 2)
})

test.each(
  Object.entries({ light: LIGHT, dark: DARK }).flatMap(([look, palette]) =>
    INKS.flatMap((ink) => GROUNDS.map((ground) => ({ look, ink, ground, palette }))),
  ),
)('$look: $ink on $ground has 4.5 to 1 at least', ({ ink, ground, palette }) => {
  expect(contrast(palette[ink], palette[ground])).toBeGreaterThanOrEqual(4.5)
})

test('the style sheet names no colour but those, and words and marks stand in inks alone', () => {
  const rules = styleSheet().replace(/:root\{[^}]*\}/g, '')
  expect(rules).not.toMatch(/#[0-9a-f]{3,8}\b|\brgb|\bhsl|\b(black|white(?!-space)|red|green|blue|gray|grey)\b/i)
  const used = [...rules.matchAll(/(?:^|[{;])(color|fill|background|stroke|border-color):var\(--(\w+)\)/g)]
  expect(used.length).toBeGreaterThan(10)
  const words = used.filter(([, property]) => property === 'color').map(([, , name]) => name)
  expect(words.filter((name) => !(INKS as readonly string[]).includes(name!))).toEqual([])
  const grounds = used.filter(([, property]) => property === 'background').map(([, , name]) => name)
  expect(grounds.filter((name) => !(GROUNDS as readonly string[]).includes(name!))).toEqual([])
})

/** What pictures draw in a colour that is no ink: lines of a grid, and grounds of boxes and rings, framed in ink. */
const QUIET = ['.open{fill', '.thin{stroke', '.unknown{fill']

test('shapes and words of pictures stand in inks, but for the grid behind them', () => {
  const shapes = [...styleSheet().matchAll(/(\.[a-z]+|svg text)\{([^}]*)\}/g)].flatMap(([, kind, rule]) =>
    [...rule!.matchAll(/(fill|stroke):var\(--(\w+)\)/g)].map(([, property, name]) => [`${kind}{${property}`, name!]),
  )
  expect(shapes.length).toBeGreaterThan(10)
  const quiet = shapes.filter(([, name]) => !(INKS as readonly string[]).includes(name!)).map(([shape]) => shape)
  expect(quiet.sort()).toEqual(QUIET)
})

test('paper gets the light palette: the dark one is for screens alone', () => {
  expect(styleSheet()).toContain(`@media screen and (prefers-color-scheme:dark){:root{--paper:${DARK.paper};`)
  expect(styleSheet().indexOf(LIGHT.paper)).toBeLessThan(styleSheet().indexOf('@media'))
})
