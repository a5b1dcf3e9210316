/** Every public entry point that takes content: how its inputs are made, and what must hold of its answer. */
import { deviceErrors, explain, inspect, readDevice, readFuseFile, verify, writeFuseFile, compare, compareReadings, retarget, type Device, type Finding, type Verdict } from '../../src/index'
import { analyse, describe, hazardsOf, runSteps, tableCsv, tableImage, truthTable, valueChangeDump, verilogModule, type StepList } from '../../src/logic'
import { renderComparison, renderDescription, renderHazards, renderReadings, renderReport, renderSequence, renderTable } from '../../src/report'
import { pinCells } from '../../src/logic/logic'
import { seeded, textFrom, type Random } from '../jesd3/reference'
import { brokenReading, brokenRewriting } from '../jesd3/properties'
import { stepsDocument } from './documents'
import { encoded, roughened, type EntryPoint, type Input } from './entry-point'
import { anyFile, DECODED_PARTS, mapFile, namedPart, pairOfFiles } from './files'
import { brokenFindings, brokenJson, brokenText, brokenVerdict, firstBroken, isDocumented } from './invariants'
import { PART_DOCUMENTS } from './part-seeds'
import { PROGRAM } from './program'
import { granted } from '../granted'
import { VECTOR_ENTRIES } from './vector-entries'

function parsed(bytes: Uint8Array): unknown {
  try {
    return JSON.parse(new TextDecoder().decode(bytes))
  } catch {
    return undefined
  }
}

/** Options as a caller may state them. */
function readOptions(random: Random): { device?: string; maxFindings?: number; maxFuses?: number } {
  return {
    ...(random.below(2) ? { device: random.pick(DECODED_PARTS).part } : {}),
    ...(random.below(4) ? {} : { maxFindings: 1 + random.below(4) }),
    ...(random.below(6) ? {} : { maxFuses: random.pick([1, 8, 3000]) }),
  }
}

const total = (contents: readonly Uint8Array[]): number => contents.reduce((sum, { length }) => sum + length, 0)

interface Answer {
  readonly verdict: Verdict
  readonly findings: readonly Finding[]
}

/** An answer with a verdict and its text. */
function brokenAnswer(answer: Answer, text: string, { contents }: Input): string | null {
  return firstBroken(
    () => brokenJson(answer),
    () => brokenFindings(answer.findings, total(contents)),
    () => brokenVerdict(answer.verdict, answer.findings),
    () => (text.length > 400_000 ? `a text of ${text.length} characters` : null),
  )
}

/** `work` without the errors that wrong use has. */
function unlessDocumented(work: () => string | null): string | null {
  try {
    return work()
  } catch (error) {
    if (isDocumented(error)) return null
    throw error
  }
}

const one = (random: Random): readonly Uint8Array[] => [anyFile(random)]

export const ENTRY_POINTS: Readonly<Record<string, EntryPoint>> = {
  readFuseFile: {
    make: one,
    check({ contents: [bytes], choice }, answered) {
      const { maxFindings = 100 } = readOptions(seeded(choice))
      const file = readFuseFile(bytes!, { maxFindings })
      const { findings } = explain(file).findings
      answered(findings)
      return firstBroken(
        () => brokenReading(bytes!),
        () => brokenFindings(findings, bytes!.length),
        () => (textFrom(writeFuseFile(file)) === textFrom(bytes!) ? null : 'written again it is another file'),
      )
    },
  },
  verify: {
    make: one,
    check(input, answered) {
      const report = verify(input.contents[0]!, readOptions(seeded(input.choice)))
      const text = renderReport(report)
      answered([report, text])
      return brokenAnswer(report, text, input)
    },
  },
  inspect: {
    make: one,
    check({ contents: [bytes], choice }, answered) {
      const inspection = inspect(bytes!, readOptions(seeded(choice)))
      answered(inspection.kind)
      return null
    },
  },
  rewrite: {
    make: one,
    check: ({ contents: [bytes] }) => brokenRewriting(bytes!),
  },
  compare: {
    make: pairOfFiles,
    check(input, answered) {
      const [a, b] = input.contents
      const { device, maxFindings } = readOptions(seeded(input.choice))
      const comparison = compare(a!, b!, {
        ...(device === undefined ? {} : { device }),
        ...(maxFindings === undefined ? {} : { maxFindings }),
        maxNodes: 20_000,
        maxStates: 500,
      })
      const text = renderComparison(comparison)
      answered([comparison, text])
      const { relation, verdict } = comparison
      return firstBroken(
        () => brokenJson(comparison),
        () => brokenFindings(comparison.findings, total(input.contents)),
        () => (relation === 'different' && verdict !== 'fail' ? `different, and ${verdict}` : null),
        () => (textFrom(a!) === textFrom(b!) && relation === 'different' ? 'a file differs from itself' : null),
      )
    },
  },
  compareReadings: {
    make: (random) => [...pairOfFiles(random), ...(random.below(2) ? [anyFile(random)] : [])],
    check(input, answered) {
      return unlessDocumented(() => {
        const report = compareReadings(input.contents)
        const text = renderReadings(report)
        answered([report, text])
        return firstBroken(
          () => brokenJson(report),
          () => brokenFindings(report.findings, total(input.contents)),
        )
      })
    },
  },
  retarget: {
    make: (random) => [mapFile(random)],
    check({ contents: [bytes], choice }, answered) {
      const random = seeded(choice)
      return unlessDocumented(() => {
        const { bytes: made, ...moved } = retarget(bytes!, { ...namedPart(bytes!), to: random.pick(DECODED_PARTS).part })
        answered(moved)
        const isProved = moved.proof !== null && ['identical', 'equivalent'].includes(moved.proof.relation)
        return made && !isProved ? 'written without proof' : brokenJson(moved)
      })
    },
  },
  decode: {
    make: (random) => [mapFile(random)],
    check({ contents: [bytes], choice }, answered) {
      const random = seeded(choice)
      const inspection = inspect(bytes!, namedPart(bytes!))
      if (inspection.kind !== 'decoded') return null
      const { decoded } = inspection
      const { logic } = decoded
      const report = verify(bytes!, namedPart(bytes!))
      const facts = analyse(logic, { maxNodes: 5000 })
      const description = granted(describe(decoded))
      const hazards = hazardsOf(logic, { maxNodes: 5000 })
      const table = truthTable(decoded, { maxInputs: 8, outputs: [random.pick(pinCells(logic)).pin!] })
      const texts = [renderDescription(description, report), renderHazards(hazards), granted(verilogModule(decoded))]
      if (!('refused' in table)) texts.push(tableCsv(table), renderTable(table))
      answered([facts, description, hazards, texts])
      return firstBroken(
        () => brokenJson([facts, description, hazards]),
        ...texts.map((text, i) => () => brokenText(text.replaceAll('\t', ' '), `text ${i}`)),
        () => brokenJson('refused' in table ? table : tableImage(table)),
      )
    },
  },
  runSteps: {
    make: (random) => [mapFile(random), encoded(roughened(stepsDocument(random), random))],
    check({ contents: [bytes, steps] }, answered) {
      const inspection = inspect(bytes!, namedPart(bytes!))
      if (inspection.kind !== 'decoded') return null
      return unlessDocumented(() => {
        const run = granted(runSteps(inspection.decoded, parsed(steps!) as StepList, { maxSteps: 200 }))
        const texts = [renderSequence(run), valueChangeDump(run)]
        answered([run, texts])
        return brokenJson(run)
      })
    },
  },
  readDevice: {
    make: (random) => [encoded(roughened(random.pick(PART_DOCUMENTS), random)), anyFile(random)],
    check({ contents: [part, bytes] }, answered) {
      const document = parsed(part!)
      const errors = deviceErrors(document)
      answered(errors)
      for (const { path, message } of errors) {
        if (/NaN|\[object |is undefined/.test(path + message)) return `an error says: ${path}: ${message}`
        if (message.length > 1000) return `an error of ${message.length} characters`
      }
      let device: Device
      try {
        device = readDevice(document)
      } catch (error) {
        if (!isDocumented(error)) throw error
        return errors.length > 0 ? null : 'refused without an error'
      }
      if (errors.length > 0) return 'taken with errors'
      const report = verify(bytes!, { device })
      return firstBroken(
        () => brokenJson(report),
        () => brokenFindings(report.findings, bytes!.length),
      )
    },
  },
  ...VECTOR_ENTRIES,
  ...PROGRAM,
}
