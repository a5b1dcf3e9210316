/** The catalogue's findings of several reads of one chip; `catalogue.ts` says what the entries mean. */
import type { Catalogue } from './finding'

const BARE = 'common practice, no published source'

/** What several reads of one chip can show. */
export const READINGS_FINDINGS = {
  'readings/unusable': {
    severity: 'error',
    message: 'Read {number} gives no complete fuse map.',
    hint: 'Check that file by itself and see what is wrong first.',
    clause: '3-A, fuse information fields',
  },
  'readings/sum-contradicts': {
    severity: 'warning',
    message:
      'Read {number} states the fuse checksum {stated}, and its fuses sum to {computed}: the file was changed after it was written.',
    hint: 'Leave this read out, or read again: a difference in it says nothing about the chip.',
    clause: '3-A, fuse checksum',
  },
  'readings/sizes-differ': {
    severity: 'error',
    message: 'The reads have {sizes,and} fuses: they are not reads of one part under one setting.',
    hint: 'Choose the same part in the programmer for every read.',
    clause: BARE,
  },
  'readings/fuses-move': {
    severity: 'error',
    message: '{count:fuse is|fuses are} not the same in all {reads} reads: {up} toward 1, {down} toward 0, {both} back and forth.',
    hint: 'Clean the contacts, check the supply of the programmer, and read again; do not erase anything on the strength of these reads.',
    clause: BARE,
  },
  'readings/clustered': {
    severity: 'warning',
    message: 'All {count} of them lie in {where} {index}.',
    hint: 'A contact, or a line of the chip that is fading.',
    clause: BARE,
    words: { where: { row: 'row', column: 'column' } },
  },
  'readings/all-alike': {
    severity: 'warning',
    message: 'All fuses of every read are {state}: that is a blank, protected or unread chip, and no conclusion.',
    hint: 'Read again, choose the exact type, and see whether the chip is protected.',
    clause: BARE,
    words: { state: { 0: 'connected (0)', 1: 'open (1)' } },
  },
  'readings/steady': {
    severity: 'note',
    message: 'All {reads} reads give the same {count} fuses.',
    hint: 'Steady reads are a good sign; that they are right ones they do not show.',
    clause: BARE,
  },
} as const satisfies Catalogue
