/** The one style sheet of all pages: light and dark, screen and paper, 400 pixels and more. */
import { DARK, LIGHT, type Palette } from './palette'

function variables(palette: Palette): string {
  return Object.entries(palette)
    .map(([name, colour]) => `--${name}:${colour}`)
    .join(';')
}

/** The style sheet. Its hash in `page.ts` is what lets it through the policy of the page. */
export function styleSheet(): string {
  // Paper is white: a page is printed in the light palette whatever the screen has.
  const rules = RULES.join('').replace(/\$(\w+)/g, (_, name: string) => `var(--${name})`)
  const dark = `@media screen and (prefers-color-scheme:dark){:root{${variables(DARK)}}}`
  return `:root{color-scheme:light dark;${variables(LIGHT)}}${dark}${rules}`
}

/** The rules; $NAME is a colour of the palette. */
const RULES: readonly string[] = [
  '*{box-sizing:border-box}',
  'body{margin:0;background:$paper;color:$ink;font:1rem/1.5 system-ui,sans-serif}',
  'main{max-width:64rem;margin:0 auto;padding:1rem 1rem 3rem}',
  'h1{font-size:1.5rem;line-height:1.25;margin:.25rem 0 .75rem;overflow-wrap:anywhere}',
  'h2{font-size:1.2rem;margin:2rem 0 .5rem}h3{font-size:1rem;margin:1.25rem 0 .25rem}',
  'h2,h3{overflow-wrap:anywhere}p{margin:.5rem 0;max-width:46rem;overflow-wrap:anywhere}',
  '.kind{color:$soft;margin:0}',
  '.answer{border-left:.4rem solid;padding:.5rem .9rem;background:$panel;font-size:1.1rem}',
  '.answer.pass{border-color:$pass}.answer.caution{border-color:$caution;border-left-style:dashed}',
  '.answer.fail{border-color:$fail;border-left-style:double;border-left-width:.6rem}',
  '.pass b{color:$pass}.caution b,.warning b{color:$caution}.fail b,.error b{color:$fail}',
  'table{border-collapse:collapse;width:100%;margin:.25rem 0}',
  'caption{text-align:left;color:$soft;padding:.25rem 0}',
  'th,td{text-align:left;vertical-align:top;padding:.3rem .6rem .3rem .4rem;border-bottom:1px solid $rule}',
  // Broken anywhere, a column may get as narrow as a letter: only cells with a word that no column has room for are.
  '.long{overflow-wrap:anywhere;min-width:8rem}.facts td{overflow-wrap:anywhere}',
  '.wide{overflow-x:auto}.wide[tabindex] td:last-child{min-width:9rem}',
  'thead th{background:$panel}.facts th{width:9rem;font-weight:600;padding-left:0}',
  'code{font-family:ui-monospace,monospace;font-size:.875em}.option{white-space:nowrap}.note{color:$soft}',
  'figure{margin:.5rem 0;overflow-x:auto}figcaption{color:$soft;max-width:46rem}',
  'svg{display:block}',
  'svg text{font-family:ui-monospace,monospace;fill:$ink}svg .soft{fill:$soft}',
  '.on{fill:$ink}.ring{fill:none;stroke:$ink;stroke-width:1.2}',
  '.thin{fill:none;stroke:$rule;stroke-width:1}',
  '.idle{fill:none;stroke:$soft;stroke-width:1;stroke-dasharray:2 3}',
  '.differs{fill:none;stroke:$mark;stroke-width:1.8}svg .named{fill:$mark}',
  '.open{fill:$paper;stroke:$ink;stroke-width:1}',
  '.wire{fill:none;stroke:$ink;stroke-width:1.5}.dots{fill:none;stroke:$ink;stroke-width:1.5;stroke-dasharray:1 3}',
  '.unknown{fill:$panel;stroke:$ink;stroke-width:1;stroke-dasharray:3 2}',
  'ul{margin:.5rem 0;padding-left:1.25rem;max-width:46rem}',
  'ul.legend{list-style:none;padding:0;margin:.25rem 0;max-width:none;display:flex;flex-wrap:wrap;gap:.25rem 1.25rem}',
  '.legend svg{display:inline-block;vertical-align:-.2em;margin-right:.4em}',
  '@media (max-width:36rem){main{padding:.75rem}th,td{padding-right:.4rem}.facts th{width:7.5rem}}',
  '@media print{main{max-width:none;padding:0}.wide{overflow:visible}svg{max-width:100%;height:auto}.answer,thead th{background:none}tr,figure{break-inside:avoid}h2,h3{break-after:avoid}}',
]
