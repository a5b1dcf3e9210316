/**
 * Logic in the signs of ISO 80000-2: ¬ not, ∧ and, ∨ or. p19 is the level at pin 19, q19 the state of its register,
 * q19⁺ the next one.
 */
import { madeBy } from '../arguments/arguments'
import { isContradiction, type Cube, type Expression, type Literal, type Logic, checkedLogic } from './logic'

function literalText(logic: Logic, literal: Literal): string {
  const signal = logic.signals[literal >>> 1]!
  const inverted = (literal & 1) === 1
  if (signal.kind === 'pin') return `${inverted ? '¬' : ''}p${signal.pin}`
  return `${inverted !== signal.inverted ? '¬' : ''}q${logic.cells[signal.cell]!.name}`
}

function cubeText(logic: Logic, cube: Cube, alone: boolean): string {
  if (cube.literals.length === 0) return '1'
  const text = cube.literals.map((literal) => literalText(logic, literal)).join(' ∧ ')
  return alone || cube.literals.length === 1 ? text : `(${text})`
}

/** A sum without its terms that are constant 0; `0` when nothing is left, `1` when a term is constant 1. */
function sumText(logic: Logic, sum: readonly Cube[]): string {
  const live = sum.filter((cube) => !isContradiction(cube))
  if (live.some((cube) => cube.literals.length === 0)) return '1'
  return live.length === 0 ? '0' : live.map((cube) => cubeText(logic, cube, live.length === 1)).join(' ∨ ')
}

/**
 * An expression over pin and register names.
 *
 * @param logic the logic that the expression is of
 * @param expression the expression, such as the data of a cell
 * @returns text in the signs ¬ ∧ ∨ ⊕
 * @throws TypeError for what is no logic or no expression
 * @example expressionText(logic, { sums: [], inverted: true }) // '1'
 */
export function expressionText(logic: Logic, expression: Expression): string {
  checkedLogic(logic, 'logic')
  madeBy(expression, 'expression', { keys: ['sums', 'inverted'], maker: 'an expression of the logic' })
  const sums = expression.sums.length === 0 ? ['0'] : expression.sums.map((sum) => sumText(logic, sum))
  const text = sums.length === 1 ? sums[0]! : sums.map((sum) => `(${sum})`).join(' ⊕ ')
  if (!expression.inverted) return text
  if (text === '0' || text === '1') return text === '0' ? '1' : '0'
  return /^[pq]\w+$/.test(text) ? `¬${text}` : `¬(${text})`
}
