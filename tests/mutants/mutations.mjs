// Systematic changes of a source file, found in its syntax tree: one operator, bound, constant, condition or statement.
import { readFileSync } from 'node:fs'
import ts from 'typescript'
import { hostOf } from './switches.mjs'

const K = ts.SyntaxKind

/** What each operator becomes. */
const OPERATORS = new Map([
  [K.LessThanToken, ['<=', '>=']],
  [K.LessThanEqualsToken, ['<', '>']],
  [K.GreaterThanToken, ['>=', '<=']],
  [K.GreaterThanEqualsToken, ['>', '<']],
  [K.EqualsEqualsEqualsToken, ['!==']],
  [K.ExclamationEqualsEqualsToken, ['===']],
  [K.AmpersandAmpersandToken, ['||']],
  [K.BarBarToken, ['&&']],
  [K.PlusToken, ['-']],
  [K.MinusToken, ['+']],
  [K.AsteriskToken, ['+']],
  [K.SlashToken, ['*']],
  [K.PercentToken, ['*']],
  [K.AmpersandToken, ['|']],
  [K.BarToken, ['&']],
  [K.CaretToken, ['|']],
  [K.LessThanLessThanToken, ['>>']],
  [K.GreaterThanGreaterThanToken, ['<<']],
  [K.GreaterThanGreaterThanGreaterThanToken, ['<<']],
  [K.AmpersandEqualsToken, ['|=']],
  [K.BarEqualsToken, ['&=']],
  [K.PlusEqualsToken, ['-=']],
  [K.MinusEqualsToken, ['+=']],
])

/** A number that is a name, as in `{ 0: 'low' }`, is no expression. */
const isName = (node) => node.parent.name === node

/** Names of options have the value true each, which the compiler reads and nothing else. */
function isOptionName({ parent }) {
  const holder = parent.parent?.parent
  if (!ts.isPropertyAssignment(parent) || !holder) return false
  if (ts.isVariableDeclaration(holder)) return holder.type?.typeName?.text === 'OptionNames'
  return ts.isCallExpression(holder) && holder.expression.text === 'optionsOf'
}

/** Changes at one node: the node that another takes the place of, the piece of text that changes, and the new one. */
function changesAt(node, source) {
  const changes = []
  const change = (owner, text, inner = owner) => changes.push({ owner, inner, text })
  if (ts.isBinaryExpression(node)) {
    const isText = [node.left, node.right].some((side) => ts.isStringLiteralLike(side) || ts.isTemplateExpression(side))
    if (!isText) for (const text of OPERATORS.get(node.operatorToken.kind) ?? []) change(node, text, node.operatorToken)
  }
  if (ts.isNumericLiteral(node) && !isName(node)) {
    const value = Number(node.text)
    change(node, String(value + 1))
    if (value > 0) change(node, String(value - 1))
  }
  if (node.kind === K.TrueKeyword && !isOptionName(node)) change(node, 'false')
  if (node.kind === K.FalseKeyword) change(node, 'true')
  if (ts.isPrefixUnaryExpression(node) && [K.ExclamationToken, K.TildeToken, K.MinusToken].includes(node.operator))
    change(node, `(${node.operand.getText(source)})`)
  if (ts.isIfStatement(node)) {
    change(node.expression, 'true')
    change(node.expression, 'false')
  }
  if (ts.isConditionalExpression(node)) change(node.condition, `!(${node.condition.getText(source)})`)
  if (ts.isExpressionStatement(node)) change(node, ';')
  return changes
}

/** One mutant: its place, what stood there and stands there now, the text of its node and of its whole file. */
function mutantOf(path, source, { owner, inner, text }) {
  const [from, to] = [inner.getStart(source), inner.getEnd()]
  const original = source.text
  const { line } = source.getLineAndCharacterOfPosition(from)
  return {
    path,
    source,
    line: line + 1,
    code: original.split('\n')[line].trim(),
    what: `${original.slice(from, to).replace(/\s+/g, ' ').slice(0, 60)} → ${text.slice(0, 60)}`,
    text: original.slice(0, from) + text + original.slice(to),
    changed: original.slice(owner.getStart(source), from) + text + original.slice(to, owner.getEnd()),
    owner,
    host: hostOf(owner),
  }
}

/** All mutants of a file. */
export function mutantsOf(path) {
  const source = ts.createSourceFile(path, readFileSync(path, 'utf8'), ts.ScriptTarget.ES2022, true)
  const found = []
  const visit = (node) => {
    if (ts.isTypeNode(node) || ts.isImportDeclaration(node) || ts.isInterfaceDeclaration(node)) return
    if (ts.isTypeAliasDeclaration(node) || ts.isThrowStatement(node)) return
    for (const change of changesAt(node, source)) found.push(mutantOf(path, source, change))
    ts.forEachChild(node, visit)
  }
  visit(source)
  return found
}
