// Systematic changes of a source file, found in its syntax tree: one operator, bound, constant, condition or statement.
import { readFileSync } from 'node:fs'
import ts from 'typescript'

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

/** Changes at one node, as pieces of text that take the place of what stands there. */
function changesAt(node, source) {
  const at = (inner, text) => ({ from: inner.getStart(source), to: inner.getEnd(), text })
  const changes = []
  if (ts.isBinaryExpression(node)) {
    const isText = [node.left, node.right].some((side) => ts.isStringLiteralLike(side) || ts.isTemplateExpression(side))
    if (!isText)
      for (const text of OPERATORS.get(node.operatorToken.kind) ?? []) changes.push(at(node.operatorToken, text))
  }
  if (ts.isNumericLiteral(node)) {
    const value = Number(node.text)
    changes.push(at(node, String(value + 1)))
    if (value > 0) changes.push(at(node, String(value - 1)))
  }
  if (node.kind === K.TrueKeyword) changes.push(at(node, 'false'))
  if (node.kind === K.FalseKeyword) changes.push(at(node, 'true'))
  if (ts.isPrefixUnaryExpression(node) && [K.ExclamationToken, K.TildeToken, K.MinusToken].includes(node.operator))
    changes.push(at(node, `(${node.operand.getText(source)})`))
  if (ts.isIfStatement(node)) changes.push(at(node.expression, 'true'), at(node.expression, 'false'))
  if (ts.isConditionalExpression(node)) changes.push(at(node.condition, `!(${node.condition.getText(source)})`))
  if (ts.isExpressionStatement(node)) changes.push(at(node, ';'))
  return changes
}

/** All mutants of a file: place, what stood there, what stands there, and the whole text. */
export function mutantsOf(path) {
  const original = readFileSync(path, 'utf8')
  const source = ts.createSourceFile(path, original, ts.ScriptTarget.ES2022, true)
  const found = []
  const visit = (node) => {
    if (ts.isTypeNode(node) || ts.isImportDeclaration(node) || ts.isInterfaceDeclaration(node)) return
    if (ts.isTypeAliasDeclaration(node) || ts.isThrowStatement(node)) return
    for (const { from, to, text } of changesAt(node, source)) {
      const { line } = source.getLineAndCharacterOfPosition(from)
      found.push({
        path,
        line: line + 1,
        what: `${original.slice(from, to).replace(/\s+/g, ' ').slice(0, 60)} → ${text.slice(0, 60)}`,
        text: original.slice(0, from) + text + original.slice(to),
      })
    }
    ts.forEachChild(node, visit)
  }
  visit(source)
  return found
}
