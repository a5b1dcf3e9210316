/** What goes to the new file besides its fuses, by invented designs. */
import { describe, expect, test } from 'vitest'
import {
  findDevice,
  fuseDigits,
  fuseMapFrom,
  readFuseFile,
  retarget,
  simulate,
  writeFuseFile,
  type Device,
  type FuseFileContent,
} from '../../src/index'
import { encode } from '../parts/encoder'
import type { Design } from '../parts/design'
import { granted, refusal } from '../granted'

/** Pin 22 is ¬(p2 ∧ p3) in a 20V8. */
const GATE: Design = {
  part: '20V8',
  mode: 'complex',
  outputs: [{ pin: 22, kind: 'combinational', activeHigh: false, enable: 'always', terms: [[2, 3]] }],
}

function gate(more: Partial<FuseFileContent>): Uint8Array {
  return writeFuseFile({ fuses: fuseMapFrom(encode(GATE).join('')), ...more })
}

const vector = (conditions: string, number = 1): { number: number; conditions: string; offset: null } => ({
  number,
  conditions,
  offset: null,
})

describe('vectors', () => {
  // Contacts 3 and 4 of the 28-contact carrier are pins 2 and 3, contact 25 is pin 21 and 26 is pin 22; contacts 1, 8,
  // 15 and 22 are not connected, so that pins 1 to 6 are contacts 2 to 7, 7 to 12 are 9 to 14, 13 to 18 are 16 to 21
  // and 19 to 24 are 23 to 28 (PALCE20V8 data sheet, 16491 rev. E, p. 3).
  const contacts = [...'NNNNNNNNNNNNNNNNNNNNNNNNNNNN']
  contacts[1] = '0'
  contacts[2] = '1'
  contacts[3] = '1'
  contacts[25] = 'L'

  test('of the 28-contact carrier come in the numbers of the pins', () => {
    const moved = granted(retarget(gate({ pinCount: 28, vectors: [vector(contacts.join(''))] }), {
      device: '20V8',
      to: '20L8',
    }))
    expect(moved.notCarried).toEqual([])
    const file = readFuseFile(moved.bytes!)
    expect([file.pinCount, file.pinOrder]).toEqual([24, null])
    expect(file.vectors.map(({ conditions }) => conditions)).toEqual(['011NNNNNNNNNNNNNNNNNNLNN'])
    expect(granted(simulate(moved.bytes!, { device: '20L8' })).results.map(({ result }) => result)).toEqual(['passed'])
  })

  test('that cannot be read are left out beside those that can', () => {
    const given = vector(contacts.join(''))
    const sound = new TextDecoder('latin1').decode(gate({ pinCount: 28, vectors: [given, { ...given, number: 2 }] }))
    // A is a reserved condition (3-A); 0000 declares the transmission sum as not computed.
    const text = sound.replace('V0002 N', 'V0002 A').replace(/\x03.{4}/, '\x030000')
    expect(readFuseFile(text).vectors.map(({ conditions }) => conditions === null)).toEqual([false, true])
    const moved = granted(retarget(text, { device: '20V8', to: '20L8' }))
    expect(readFuseFile(moved.bytes!).vectors.map(({ conditions }) => conditions)).toEqual([
      '011NNNNNNNNNNNNNNNNNNLNN',
    ])
  })

  test('with an order of contacts of their own come in the order of the pins', () => {
    const pinOrder = Array.from({ length: 28 }, (_, i) => 28 - i)
    const moved = granted(retarget(gate({ pinCount: 28, pinOrder, vectors: [vector([...contacts].reverse().join(''))] }), {
      device: '20V8',
      to: '20L8',
    }))
    expect(readFuseFile(moved.bytes!).vectors.map(({ conditions }) => conditions)).toEqual([
      '011NNNNNNNNNNNNNNNNNNLNN',
    ])
  })

  test('of no package are left out, and so is an order of the pins of another length', () => {
    const odd = granted(retarget(gate({ vectors: [vector('N'.repeat(20))] }), { device: '20V8', to: '20L8' }))
    expect(odd.notCarried.map(({ what }) => what)).toEqual(['vectors'])
    expect(readFuseFile(odd.bytes!).vectors).toEqual([])
    const order = granted(retarget(gate({ pinOrder: [3, 2, 1] }), { device: '20V8', to: '20L8' }))
    expect(order.notCarried.map(({ what }) => what)).toEqual(['pin-order'])
    expect(readFuseFile(order.bytes!).pinOrder).toBeNull()
  })

  test('of a carrier with an order of the pins of another length are left out, both', () => {
    // An order that does not fit is read as one of no pin; 0000 declares the transmission sum as not computed.
    const text = new TextDecoder('latin1').decode(gate({ pinCount: 28, vectors: [vector(contacts.join(''))] }))
    const given = text.replace('V0001', 'P 3 2 1*\nV0001').replace(/\x03.{4}/, '\x030000')
    const moved = granted(retarget(given, { device: '20V8', to: '20L8' }))
    expect(moved.notCarried).toEqual([
      { what: 'vectors', message: expect.stringContaining('a pin order of') as string },
    ])
    expect(readFuseFile(moved.bytes!).vectors).toEqual([])
  })

  test('are left out where the numbering of a carrier is not known', () => {
    // Makers number the contacts of a 20L8 in two ways (common practice, no published source), so none is in the data.
    const old = writeFuseFile({
      fuses: fuseMapFrom(encode({ ...GATE, part: '20L8', mode: null }).join('')),
      vectors: [vector(contacts.join(''))],
    })
    const moved = granted(retarget(old, { device: '20L8', to: '20V8' }))
    expect(moved.notCarried).toEqual([
      { what: 'vectors', message: expect.stringContaining('28 conditions') as string },
    ])
  })
})

describe('the signature', () => {
  /** A 16V8 in complex mode with pin 18 as ¬(p2 ∧ p3), and the signature "8 letters" from fuse 2056 (16v8_04, p. 5). */
  const states = encode({ ...GATE, part: '16V8', mode: 'complex', outputs: [{ ...GATE.outputs[0]!, pin: 18 }] })
  const bitsOf = (text: string): string =>
    [...text].map((letter) => letter.charCodeAt(0).toString(2).padStart(8, '0')).join('')
  const signed = (text: string): Uint8Array =>
    writeFuseFile({ fuses: fuseMapFrom([...states.slice(0, 2056), ...bitsOf(text), ...states.slice(2120)].join('')) })
  const file = signed('ABCDEFGH')

  test.each(['ABCDEFGH', '\xc4BCDEFG\x81'])('goes where there is one, %j', (text) => {
    const moved = granted(retarget(signed(text), { device: '16V8', to: '16V8' }))
    expect(moved.notCarried).toEqual([])
    expect(fuseDigits(readFuseFile(moved.bytes!).fuses!, 2056, 64)).toBe(bitsOf(text))
  })

  test('is left out where a part has less room for it, and that room is told', () => {
    const whole = findDevice('16V8')!
    // The last of its bytes is something else.
    const narrow: Device = {
      ...whole,
      part: 'own',
      blocks: whole.blocks.flatMap((block) =>
        block.use === 'signature'
          ? [
              { ...block, count: 56 },
              { ...block, use: 'undecoded', first: block.first + 56, count: 8 },
            ]
          : [block],
      ),
    }
    const moved = granted(retarget(file, { device: '16V8', to: narrow }))
    expect(moved.notCarried).toEqual([{ what: 'signature', message: expect.stringMatching(/ 8 bytes.* 7$/) as string }])
    expect(fuseDigits(readFuseFile(moved.bytes!).fuses!, 2056, 64)).toBe('0'.repeat(64))
  })

  test.each(['0', '1'])('of %s alone is none', (state) => {
    const digits = [...states.slice(0, 2056), state.repeat(64), ...states.slice(2120)].join('')
    const blank = writeFuseFile({ fuses: fuseMapFrom(digits) })
    expect(granted(retarget(blank, { device: '16V8', to: '16L8' })).notCarried).toEqual([])
  })

  test('is said to be left out where there is none', () => {
    const { notCarried } = granted(retarget(file, { device: '16V8', to: '16L8' }))
    expect(notCarried).toEqual([{ what: 'signature', message: expect.stringMatching(/ 8 bytes.* 0$/) as string }])
  })
})

test.each(['0', '1'])('an AND array of %s alone is refused, whatever the fuses behind it say', (state) => {
  const tail = encode({ ...GATE, part: '16V8', mode: 'complex', outputs: [] }).slice(2048)
  const file = writeFuseFile({ fuses: fuseMapFrom(state.repeat(2048) + tail.join('')) })
  const { bytes, reason, misfits } = refusal(retarget(file, { device: '16V8', to: '16L8' }))
  expect([bytes, reason, misfits.map((each) => each.reason)]).toEqual([null, 'blank', ['blank']])
  expect(misfits[0]!.message).toMatch(/^all fuses of its AND array are alike/)
})

test('a logic array is refused for its order of fuses', () => {
  const file = writeFuseFile({ fuses: fuseMapFrom('01'.repeat(964)) })
  const { reason, misfits } = refusal(retarget(file, { device: '82S100', to: '20V8' }))
  expect(reason).toBe('does-not-fit')
  expect(misfits.map((each) => each.reason)).toEqual(['fuse-order'])
  expect(misfits[0]!.message).toContain('term-by-term')
})

test('pins 23 and 14 of a 22V10 that are off for good are inputs of a 20V8', () => {
  // Rows of an unused cell are 0 throughout, so that its enable is constant 0.
  const design: Design = {
    part: '22V10',
    mode: null,
    outputs: [{ pin: 22, kind: 'combinational', activeHigh: false, enable: { term: [4] }, terms: [[2, 23], [14]] }],
  }
  const file = writeFuseFile({ fuses: fuseMapFrom(encode(design).join('')) })
  expect(granted(retarget(file, { device: '22V10', to: '20V8' })).proof.relation).toBe('equivalent')
})
