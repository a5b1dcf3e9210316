/**
 * The cases of grading vectors, making them, and telling maps apart: a file, what is done with it, and what that
 * finds. As in `make.mjs`, to which they belong, nothing of the library is used.
 */

const AS_14L4 = { device: '14L4' }
const AS_16R4 = { device: '16R4' }

/** Files made with the helpers of `make.mjs`. */
export function gradeCases({ frame, fuseSum, lists, run, small, complementOfPin2 }) {
  /**
   * A map of which all fuses are 0 but `ones`. It has no vectors and no pin count: rows that hold both columns of a
   * pin are constant 0.
   */
  const bare = (count, ones) =>
    frame(['Sample*', `QF${count}*`, 'G0*', 'F0*', ...lists(ones), `C${fuseSum(ones)}*`])
  /**
   * A 16R4 (PAL16R4 data sheet, logic diagram: 64 rows of 32 columns, pin 17 is the register of rows 16 to 23, its
   * feedback columns 10 and 11): row 16 holds one of these columns alone.
   */
  const alone = (column) =>
    bare(
      2048,
      run(16 * 32, 32).filter((fuse) => fuse !== 16 * 32 + column),
    )
  return {
    'grade-no-vectors': {
      why: 'The file has no vectors.',
      job: 'grade',
      text: small({ vectors: [], vectorCount: [] }),
      options: AS_14L4,
      verdict: 'caution',
      findings: [['grade/no-vectors', null]],
    },
    'grade-vectors-fail': {
      why: 'The vector expects a low at pin 14, which is high.',
      job: 'grade',
      text: small({ vectors: ['V1 NNNNNNNNNNNNNLHHHNNN*'] }),
      options: AS_14L4,
      verdict: 'fail',
      findings: [['grade/vectors-fail', null, { vector: 1 }]],
    },
    'grade-steps-limit': {
      why: 'A single step is allowed, which does not even run the vector.',
      job: 'grade',
      text: small(),
      options: { ...AS_14L4, maxSteps: 1 },
      verdict: 'caution',
      findings: [['grade/steps-limit', null]],
    },
    'grade-left-out': {
      why: 'Fuse 5892 of this part lets it use less current; what that does to levels is not modelled.',
      job: 'grade',
      text: bare(5893, [0]),
      verdict: 'caution',
      findings: [
        ['grade/no-vectors', null],
        ['grade/left-out', null],
      ],
    },
    'exercise-start-unknown': {
      why: 'The register of pin 17 takes its own complement at every clock, so that no clock makes it known, and faults at it are missed.',
      job: 'exercise',
      text: alone(10),
      options: AS_16R4,
      verdict: 'caution',
      findings: [
        ['exercise/start-unknown', null],
        ['exercise/missed', null],
      ],
    },
    'exercise-steps-limit': {
      why: 'A single step is allowed, with which no vector is made, and none is graded.',
      job: 'exercise',
      text: small({ ...complementOfPin2, vectors: [], vectorCount: [] }),
      options: { ...AS_14L4, maxSteps: 1 },
      verdict: 'caution',
      findings: [
        ['grade/no-vectors', null],
        ['grade/steps-limit', null],
        ['exercise/steps-limit', null],
      ],
    },
    'exercise-missed': {
      why: 'One vector may be made; pin 17 is the complement of pin 2, which takes two.',
      job: 'exercise',
      text: small({ ...complementOfPin2, vectors: [], vectorCount: [] }),
      options: { ...AS_14L4, maxVectors: 1 },
      verdict: 'caution',
      findings: [['exercise/missed', null]],
    },
    'distinguish-equal': {
      why: 'Another fuse is open in a row that is constant 0 either way.',
      job: 'distinguish',
      text: bare(448, [0]),
      other: bare(448, [1]),
      options: AS_14L4,
      verdict: 'caution',
      findings: [['distinguish/equal', null]],
    },
    'distinguish-steps-limit': {
      why: 'A single step is allowed, with which nothing is compared.',
      job: 'distinguish',
      text: bare(448, [0]),
      other: bare(448, [1]),
      options: { ...AS_14L4, maxSteps: 1 },
      verdict: 'caution',
      findings: [
        ['distinguish/not-found', null],
        ['distinguish/steps-limit', null],
      ],
    },
    'distinguish-not-found': {
      why: 'One register keeps what it holds and the other inverts it; no vector can expect a level that nobody knows.',
      job: 'distinguish',
      text: alone(10),
      other: alone(11),
      options: AS_16R4,
      verdict: 'caution',
      findings: [['distinguish/not-found', null]],
    },
  }
}
