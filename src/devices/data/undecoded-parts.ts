/**
 * Parts that are recognised by their size and whose fuses are not decoded, because no published map was found: a map
 * from memory or by guess would give plausible wrong logic.
 */
import { PLCC_28_PLS173 } from './carriers'
import type { StatedPart } from '../stated-part'

export const PAL16C1: StatedPart = {
  part: '16C1',
  title: 'One pair of complementary outputs, 16 inputs, 20 pins',
  fuseCount: 512,
  pinCount: 20,
  basis: 'memory',
  sources: ['from memory: all 16 rows feed one sum; which of pins 15 and 16 is the true one is not known'],
}

export const PAL20C1: StatedPart = {
  part: '20C1',
  title: 'One pair of complementary outputs, 20 inputs, 24 pins',
  fuseCount: 640,
  pinCount: 24,
  basis: 'memory',
  sources: ['from memory: all 16 rows feed one sum; which of pins 18 and 19 is the true one is not known'],
}

export const PAL16P8: StatedPart = {
  part: '16P8',
  aliases: ['PAL16P8', 'PAL16RP4', 'PAL16RP6', 'PAL16RP8'],
  title: 'Family 16P8, 16RP4, 16RP6, 16RP8 with programmable polarity, 20 pins',
  fuseCount: 2056,
  pinCount: 20,
  basis: 'memory',
  sources: ['from memory: eight polarity fuses behind the array of the 16L8 family'],
}

export const PAL20P8: StatedPart = {
  part: '20P8',
  aliases: ['PAL20P8', 'PAL20RP4', 'PAL20RP6', 'PAL20RP8'],
  title: 'Family 20P8, 20RP4, 20RP6, 20RP8 with programmable polarity, 24 pins',
  fuseCount: 2568,
  pinCount: 24,
  basis: 'memory',
  sources: ['from memory: eight polarity fuses behind the array of the 20L8 family'],
}

export const GAL18V10: StatedPart = {
  part: '18V10',
  aliases: ['GAL18V10'],
  title: 'Ten output cells, 20 pins',
  fuseCount: 3540,
  shorterCounts: [3476],
  pinCount: 20,
  basis: 'memory',
  sources: [
    'from memory: 96 rows of 36 columns, 20 cell fuses, 64 signature fuses; which outputs have ten terms is not known',
  ],
}

export const FPLA16X48X8: StatedPart = {
  part: '82S100',
  aliases: ['82S101', 'PLS100', 'PLS101'],
  title: 'Logic array of 48 terms, 16 inputs, 8 outputs, 28 pins',
  fuseCount: 1928,
  pinCount: 28,
  basis: 'inferred',
  sources: [
    'inferred: 48 × (32 + 8) + 8 fuses from the published geometry; the order of the fuses in a file is not published',
  ],
}

export const FPLA18X42X10: StatedPart = {
  part: 'PLS153',
  aliases: ['82S153', 'PLUS153'],
  title: 'Logic array of 42 terms, 8 inputs, 10 bidirectional pins, 20 pins',
  fuseCount: 1842,
  pinCount: 20,
  basis: 'inferred',
  sources: [
    'Philips PLS153/A product specification, Oct 1993, p. 1: geometry',
    'inferred: 42 × 36 + 32 × 10 + 10 fuses; the order of the fuses in a file is not published',
  ],
}

export const FPLA22X42X10: StatedPart = {
  part: 'PLS173',
  aliases: ['82S173', 'PLUS173'],
  title: 'Logic array of 42 terms, 12 inputs, 10 bidirectional pins, 24 pins',
  fuseCount: 2178,
  pinCount: 24,
  carriers: [PLCC_28_PLS173],
  basis: 'inferred',
  sources: [
    'Philips PLS173 product specification, p. 1: geometry',
    'inferred: 42 × 44 + 32 × 10 + 10 fuses; the order of the fuses in a file is not published',
  ],
}
