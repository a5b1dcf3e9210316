/**
 * The cases of several reads of one chip: a file, further ones, and what comparing them yields. As in `make.mjs`, to
 * which
 * they belong, nothing of the library is used.
 */

/** Files made with the helpers of `make.mjs`. */
export function readingsCases({ frame, fuseSum, lists }) {
  /** A read in which the fuses `ones` are open. */
  const read = (ones, { count = 448, sum = `C${fuseSum(ones)}*` } = {}) =>
    frame(['Read*', `QF${count}*`, 'F0*', ...lists(ones), sum])
  const two = read([0, 1])
  return {
    'readings-fuses-move': {
      why: 'Fuse 1 is open in the first of three reads only, fuse 30 in the second only.',
      text: two,
      reads: [read([0, 30]), read([0])],
      verdict: 'fail',
      findings: [['readings/fuses-move', null, { fuse: 1 }]],
    },
    'readings-clustered': {
      why: 'Fuses 5, 33 and 61 differ: rows of a 14L4 are 28 fuses, so that all are in column 5.',
      text: two,
      reads: [read([0, 1, 5, 33, 61])],
      options: { device: '14L4' },
      verdict: 'fail',
      findings: [
        ['readings/fuses-move', null, { fuse: 5 }],
        ['readings/clustered', null],
      ],
    },
    'readings-steady': {
      why: 'Two reads of the same 448 fuses.',
      text: two,
      reads: [two],
      verdict: 'pass',
      findings: [['readings/steady', null]],
    },
    'readings-all-alike': {
      why: 'Two reads of which every fuse is connected.',
      text: read([]),
      reads: [read([])],
      verdict: 'caution',
      findings: [
        ['readings/all-alike', null],
        ['readings/steady', null],
      ],
    },
    'readings-sum-contradicts': {
      why: 'The second read states the fuse checksum 0004; its fuses 0 and 1 sum to 0003.',
      text: two,
      reads: [read([0, 1], { sum: 'C0004*' })],
      verdict: 'caution',
      findings: [
        ['readings/sum-contradicts', null],
        ['readings/steady', null],
      ],
    },
    'readings-sizes-differ': {
      why: 'One read has 448 fuses, the other 384.',
      text: two,
      reads: [read([0, 1], { count: 384 })],
      verdict: 'fail',
      findings: [['readings/sizes-differ', null]],
    },
    'readings-unusable': {
      why: 'The second read gives four of 448 fuses and no default.',
      text: two,
      reads: [frame(['Read*', 'QF448*', 'L0 1100*'])],
      verdict: 'fail',
      findings: [['readings/unusable', null]],
    },
  }
}
