/** What differences of a captured table look like: an inverter on a line, or a wiring that is not the one stated. */
import { onesInWord } from '../../logic/words'
import type { TruthTable } from '../table/truth-table'
import { judgedRows, type Capture, type CaptureCollector } from './capture'
import { placeOf, namedPlace, type Naming } from './capture-remarks'
import type { CaptureComparison } from './compare-capture'

/** Fewest rows that say something of a wiring, and fewest that show an inverter: those of two inputs. */
const FEWEST_ROWS = { agreement: 32, opposite: 4 } as const

/**
 * Agreement beyond chance below which a wiring is doubted. Cohen's coefficient (J. Cohen, Educ. Psychol. Meas. 20,
 * 1960) is 1 for equal tables and 0 for tables that have nothing to do with each other.
 */
const LEAST_AGREEMENT = 0.1

/** Rows of one output in which both sides have a level: all, those alike, and those of a 1 on either side. */
interface Levels {
  readonly pin: number
  rows: number
  alike: number
  captured: number
  expected: number
}

function levelsOf(capture: Capture, expected: TruthTable, i: number): Levels {
  const { table } = capture
  const levels: Levels = { pin: table.outputs[i]!.pin, rows: 0, alike: 0, captured: 0, expected: 0 }
  const judged = judgedRows(capture)
  for (let word = 0; word < judged.length; word++) {
    const known = judged[word]! & ~table.open[i]![word]! & ~expected.open[i]![word]!
    const [found, wanted] = [table.ones[i]![word]!, expected.ones[i]![word]!]
    levels.rows += onesInWord(known)
    levels.alike += onesInWord(known & ~(found ^ wanted))
    levels.captured += onesInWord(known & found)
    levels.expected += onesInWord(known & wanted)
  }
  return levels
}

/** Rows in which two columns with so many ones would agree by chance. */
function chanceOf({ rows, captured, expected }: Levels): number {
  return rows === 0 ? 0 : (captured * expected + (rows - captured) * (rows - expected)) / rows
}

const isOpposite = ({ rows, alike, captured }: Levels): boolean =>
  rows >= FEWEST_ROWS.opposite && alike === 0 && captured > 0 && captured < rows

/** What the differing outputs look like. A wiring that was searched for is not doubted. */
export function remarkCauses(
  capture: Capture,
  { expected, comparison }: { readonly expected: TruthTable; readonly comparison: CaptureComparison },
  {
    naming,
    searched,
    findings,
  }: { readonly naming: Naming; readonly searched: boolean; readonly findings: CaptureCollector },
): void {
  if (comparison.relation !== 'different') return
  const all = capture.table.outputs.map((_, i) => levelsOf(capture, expected, i))
  const opposite = all.filter(isOpposite)
  for (const { pin, rows } of opposite)
    findings.add('capture/opposite-level', placeOf(pin, naming), { ...namedPlace(pin, naming), rows })
  if (searched || opposite.length > 0 || capture.table.rowCount < FEWEST_ROWS.agreement) return
  const sum = (value: (levels: Levels) => number): number => all.reduce((whole, each) => whole + value(each), 0)
  const [levels, agreeing, chance] = [sum(({ rows }) => rows), sum(({ alike }) => alike), sum(chanceOf)]
  // Constant columns agree by chance alone, and say nothing.
  if (chance >= levels || agreeing - chance > LEAST_AGREEMENT * (levels - chance)) return
  findings.add('capture/no-agreement', {}, { agreeing, levels, chance: Math.round(chance) })
}
