// The text of a source file with all mutants of a sample in it: each place asks which mutant is on, and a mark notes
// that a test has run the statement around it. So one run of the tests can try many mutants.
import ts from 'typescript'

const K = ts.SyntaxKind
const LOOPS_AND_IF = [K.IfStatement, K.ForStatement, K.ForOfStatement, K.ForInStatement, K.WhileStatement]

/** Where a mark stands: before a statement of a list, around one that is alone, or around the body of an arrow. */
function markKind(node) {
  const { parent } = node
  if (ts.isBlock(parent) || ts.isCaseOrDefaultClause(parent)) return ts.isStatement(node) ? 'list' : null
  if (ts.isArrowFunction(parent)) return parent.body === node && !ts.isBlock(node) ? 'arrow' : null
  if (!ts.isStatement(node) || ts.isBlock(node)) return null
  return LOOPS_AND_IF.includes(parent.kind) ? 'alone' : null
}

/** The nearest node around one that can carry a mark; null for what runs as the file is loaded. */
export function hostOf(node) {
  for (let at = node; at.parent; at = at.parent) if (markKind(at)) return at
  return null
}

const marked = {
  list: (text, mark) => `;${mark};${text}`,
  arrow: (text, mark) => `(${mark}, ${text})`,
  alone: (text, mark) => `{${mark};${text}}`,
}

/** A node with a mutant in it, which takes its place while it is on. */
function switched(text, { owner, changed, number }) {
  const isOn = `globalThis.__mutant === ${number}`
  if (ts.isExpressionStatement(owner)) return `{ if (!(${isOn})) { ${text} } }`
  return `(${isOn} ? (${changed}) : (${text}))`
}

/**
 * @param source the syntax tree of the file
 * @param mutants those of this file, each with `number` and the `mark` of its host
 */
export function withSwitches(source, mutants) {
  const byOwner = grouped(mutants)
  const marks = new Map(mutants.map(({ host, mark }) => [host, mark]))
  const render = (node) => {
    const from = node.getStart(source)
    let text = ''
    let done = from
    ts.forEachChild(node, (child) => {
      const start = child.getStart(source)
      if (start < done) return
      text += source.text.slice(done, start) + render(child)
      done = child.getEnd()
    })
    text += source.text.slice(done, node.getEnd())
    for (const mutant of byOwner.get(node) ?? []) text = switched(text, mutant)
    return marks.has(node) ? marked[markKind(node)](text, `(globalThis.__reached[${marks.get(node)}] = 1)`) : text
  }
  return source.text.slice(0, source.getStart(source)) + render(source) + source.text.slice(source.getEnd())
}

function grouped(mutants) {
  const groups = new Map()
  for (const mutant of mutants) groups.set(mutant.owner, [...(groups.get(mutant.owner) ?? []), mutant])
  return groups
}
