/** Order and repetition (3-A, value fields, fuse information fields, functional test information). */
import { describe, expect, test } from 'vitest'
import { fuseDigits } from '../../src/index'
import { readExplained } from './read-explained'
import { codesOf, expectCase, sound, SOUND } from './expect-findings'
import { framed } from './reference'

describe('order', () => {
  // Value fields stand before every device-programming and testing field.
  test.each([
    ['QF after F', 'T*QP4*QV1*F0*^QF16*G0*X0*L0 1011000111010010*C00D8*V1 01HL*'],
    ['QF after a list', 'T*QP4*QV1*F0*G0*X0*L0 1011000111010010*^QF16*C00D8*V1 01HL*'],
    ['QF after C', 'T*QP4*QV1*F0*G0*X0*L0 1011000111010010*C00D8*^QF16*V1 01HL*'],
    ['QP after X', 'T*QF16*QV1*G0*F0*L0 1011000111010010*C00D8*X0*^QP4*V1 01HL*'],
    ['QP after V', 'T*QF16*QV1*G0*F0*X0*L0 1011000111010010*C00D8*V1 01HL*^QP4*'],
    ['QV after P', 'T*QF16*QP4*G0*F0*X0*L0 1011000111010010*C00D8*P 1 2 3 4*^QV1*V1 01HL*'],
    // F stands after QF and before the first list.
    ['F after a list', 'T*QP4*QF16*QV1*G0*X0*L0 1011000111010010*^F0*C00D8*V1 01HL*'],
    // X stands before the first vector, P before the vectors that it governs.
    ['X after V', 'T*QP4*QF16*QV1*G0*F0*L0 1011000111010010*C00D8*V1 01HL*^X0*'],
    ['P after V', 'T*QP4*QF16*QV1*G0*F0*X0*L0 1011000111010010*C00D8*V1 01HL*^P 1 2 3 4*'],
  ])('%s is told and read all the same', (_, fields) => {
    const file = expectCase({ fields, placed: ['file/field-order'] })
    expect(file).toMatchObject({
      statedFuseCount: 16,
      pinCount: 4,
      vectorLimit: 1,
      defaultFuse: 0,
      defaultCondition: 0,
    })
    expect(file.checksums.fuse.status).toBe('match')
    expect(file.vectors).toMatchObject([{ number: 1, conditions: '01HL' }])
  })

  test('a size after vectors alone is told as well', () => {
    const file = expectCase({ fields: 'T*QV1*G0*V1 01HL*^QP4*', placed: ['file/field-order'] })
    expect(file).toMatchObject({ pinCount: 4, vectors: [{ number: 1, conditions: '01HL' }] })
  })

  test('it is told once a field', () => {
    expectCase({
      fields: 'T*L0 1011000111010010*^QP4*^QF16*^QV1*^F0*G0*X0*C00D8*V1 01HL*',
      placed: ['file/field-order', 'file/field-order', 'file/field-order', 'file/field-order'],
    })
  })

  // 3-A Example 5: fields are otherwise independent of their position.
  test.each([
    'T*G0*QP4*QF16*QV1*F0*X0*L0 1011000111010010*C00D8*V1 01HL*',
    'T*QV1*QP4*QF16*X0*V1 01HL*G0*F0*L0 1011000111010010*C00D8*',
    'T*QP4*QF16*QV1*X0*V1 01HL*C00D8*F0*L0 1011000111010010*G0*',
    'T*QP4*QF16*QV1*F0*L0 1011000111010010*X0*V1 01HL*C00D8*G0*N last*',
    'T*N first*QF16*QP4*QV1*F0*X0*C00D8*L0 1011000111010010*P 4 3 2 1*V1 01HL*G0*',
  ])('%s has no finding', (fields) => {
    const file = expectCase({ fields })
    expect(file.checksums.fuse.status).toBe('match')
  })
})

describe('repetition', () => {
  test.each([
    ['QF with the same value', sound('QF16*', 'QF16*^QF16*'), 'file/field-repeated'],
    ['QP with the same value', sound('QP4*', 'QP4*^QP04*'), 'file/field-repeated'],
    ['QP with another value', sound('QP4*', 'QP5*^QP4*'), 'file/value-conflict'],
    ['QV with another value', sound('QV1*', 'QV2*^QV1*'), 'file/value-conflict'],
    ['QF with another value', sound('QF16*', 'QF8*^QF16*'), 'file/value-conflict'],
    ['F', sound('F0*', 'F1*^F0*'), 'file/field-repeated'],
    ['X', sound('X0*', 'X1*^X0*'), 'file/field-repeated'],
    ['G', sound('G0*', 'G1*^G0*'), 'file/value-conflict'],
    ['C', sound('C00D8*', 'C1234*^C00D8*'), 'file/field-repeated'],
    ['P', sound('V1 01', 'P 4 3 2 1*^P 1 2 3 4*V1 01'), 'file/field-repeated'],
    ['V', SOUND.replace('V1 01', 'V1 XXXX*^V1 01'), 'vector/replaced'],
  ])('%s: the last one counts, and it is told', (_, fields, code) => {
    const file = expectCase({ fields, placed: [code] })
    expect(file).toMatchObject({
      statedFuseCount: 16,
      pinCount: 4,
      vectorLimit: 1,
      defaultFuse: 0,
      security: 0,
      defaultCondition: 0,
    })
    expect(file.vectors).toMatchObject([{ number: 1, conditions: '01HL' }])
    expect(file.checksums.fuse.status).toBe('match')
    expect(file.pinOrder).toEqual(fields.includes('P 4') ? [1, 2, 3, 4] : null)
  })

  test('a repeated field is told once, a conflict each time', () => {
    expectCase({ fields: sound('G0*', 'G0*^G0*G0*G0*'), placed: ['file/field-repeated'] })
    expectCase({ fields: sound('QP4*', 'QP4*^QP5*^QP4*'), placed: ['file/value-conflict', 'file/value-conflict'] })
  })

  test('a conflict of values is a warning', () => {
    const file = readExplained(framed(sound('QF16*', 'QF8*QF16*')))
    expect(file.findings[0]).toMatchObject({ severity: 'warning', message: expect.stringMatching(/QF.* 8 .* 16/) })
  })

  // The size that counts is known only at the end; the lists before it are held against it all the same.
  test('a QF that changes the count after lists governs them too', () => {
    for (const fields of ['*QF4*F1*L0 00*QF8*', '*QF16*F1*L0 00*QF8*', '*F1*L0 00*QF8*']) {
      const file = readExplained(framed(fields))
      expect([fields, fuseDigits(file.fuses!)]).toEqual([fields, '00111111'])
    }
    const shrunk = readExplained(framed('*QF16*F1*L0 0000000000*QF8*'))
    expect(codesOf(shrunk)).toContain('file/list-past-end')
    expect(fuseDigits(shrunk.fuses!)).toBe('00000000')
  })

  test('a repeated E or U is told, the last one counting', () => {
    const file = expectCase({
      fields: SOUND.replace('V1 01', '^E1*^E0*^U1*^UH2*V1 01'),
      placed: ['file/extension-field', 'file/field-repeated', 'file/extension-field', 'file/field-repeated'],
    })
    expect(file).toMatchObject({ electricalData: '0', userData: { form: 'hexadecimal', text: '2' } })
  })
})
