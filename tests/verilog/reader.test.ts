/**
 * That the reader takes what the standard allows and nothing beside its subset, and that the simulation keeps the
 * standard's rules.
 */
import { describe, expect, test } from 'vitest'
import { FIRST, LAST, Restless, Running, type Value } from './event-simulation'
import { readModule } from './reader'

const PORTS = '(input wire a, input wire b, inout wire y)'
const moduleOf = (...items: readonly string[]): string => `module m ${PORTS};\n${items.join('\n')}\nendmodule\n`

describe('the reader', () => {
  test('takes every construct of the subset', () => {
    const { name, ports, wires, regs, assigns, initials, always } = readModule(
      moduleOf(
        'wire n, c;',
        'reg q;',
        'assign n = ~(a & ~b | (a ^ b)); // a comment with "signs"',
        'assign c = a;',
        "assign y = b ? ~n : 1'bz;",
        "initial q = 1'b0;",
        "always @(posedge c or posedge n) if (n) q <= 1'b1; else q <= a;",
      ),
    )
    expect([name, [...ports], wires, regs]).toEqual([
      'm',
      [
        ['a', 'input'],
        ['b', 'input'],
        ['y', 'inout'],
      ],
      ['n', 'c'],
      ['q'],
    ])
    expect([assigns.length, initials.length, always.length]).toEqual([3, 1, 1])
    expect(always[0]!.events).toEqual([
      { rising: true, name: 'c' },
      { rising: true, name: 'n' },
    ])
  })

  test.each([
    ['a name without a declaration', 'assign y = k;'],
    ['a name before its declaration', 'assign y = n;\nwire n;\nassign n = a;'],
    ['a name that is declared twice', 'wire a;\nassign y = a;'],
    ['a second driver', 'assign y = a;\nassign y = b;'],
    ['a net without a driver', 'wire n;\nassign y = a;'],
    ['an input that is assigned', 'assign y = a;\nassign a = b;'],
    ['a variable that is assigned continuously', 'reg q;\nassign q = a;\nassign y = q;'],
    ['a net in a procedure', 'assign y = a;\nalways @(a) y <= b;'],
    ['two operators in a row', 'assign y = ~~a;'],
    ['an operator of two signs', 'assign y = a && b;'],
    ['a reduction', 'assign y = a & & b;'],
    ['a number of another width', "assign y = 2'b01;"],
    ['a missing semicolon', 'assign y = a'],
    ['edges and levels in one list', 'reg q;\nassign y = q;\nalways @(posedge a or b) q <= b;'],
    ['a start that is no constant', 'reg q;\nassign y = q;\ninitial q = a;'],
    ['a keyword as a name', 'wire reg;\nassign y = a;'],
    ['a letter beyond ASCII', 'assign y = a; // ¬a'],
    ['a delay', 'assign #1 y = a;'],
  ])('refuses %s', (_, items) => {
    expect(() => readModule(moduleOf(items))).toThrow(SyntaxError)
  })

  test('refuses text behind the module', () => {
    expect(() => readModule(`${moduleOf('assign y = a;')}module`)).toThrow('the end wanted')
  })

  test('binds & before ^ before |', () => {
    // a = 1, b = 0: 1 | (1 ^ (0 & 0)) = 1; the other way round ((1 | 1) ^ 0) & 0 would be 0.
    const running = new Running(readModule(moduleOf('assign y = a | a ^ b & b;')))
    running.drive(
      new Map([
        ['a', '1'],
        ['b', '0'],
      ]),
    )
    expect(running.level('y')).toBe('1')
  })
})

describe('the simulation', () => {
  const levels = (a: Value, b: Value): Map<string, Value> =>
    new Map([
      ['a', a],
      ['b', b],
    ])

  test.each([FIRST, LAST])('exchanges two variables by nonblocking assignments in any order', (choose) => {
    const text = moduleOf(
      'reg p, q;',
      "initial p = 1'b1;",
      "initial q = 1'b0;",
      'assign y = p;',
      'always @(posedge a) p <= q;',
      'always @(posedge a) q <= p;',
    )
    const running = new Running(readModule(text), choose)
    running.drive(levels('0', '0'))
    const seen = [running.level('y')]
    for (const a of ['1', '0', '1'] as const) {
      running.drive(levels(a, '0'))
      seen.push(running.level('y'))
    }
    expect(seen).toEqual(['1', '0', '0', '1'])
  })

  test('knows the edges of table 9-1, and that an unknown condition is not true', () => {
    const running = new Running(
      readModule(moduleOf('reg q;', 'assign y = q;', "always @(posedge a) if (b) q <= 1'b1; else q <= 1'b0;")),
    )
    const after = (...steps: readonly (readonly [Value, Value])[]): Value => {
      for (const [a, b] of steps) running.drive(levels(a, b))
      return running.level('y')
    }
    expect(after(['0', '1'])).toBe('x')
    expect(after(['x', '1'])).toBe('1')
    expect(after(['x', '0'], ['1', '0'])).toBe('0')
    expect(after(['1', '1'], ['0', '1'])).toBe('0')
    expect(after(['1', '1'])).toBe('1')
    expect(after(['0', 'x'], ['1', 'x'])).toBe('0')
  })

  test('has z where nothing drives, x where a condition is unknown, and an output over a weak level from outside', () => {
    const running = new Running(readModule(moduleOf("assign y = b ? a : 1'bz;")))
    const seen = (
      [
        ['1', '0'],
        ['1', '1'],
        ['1', 'x'],
        ['z', '1'],
      ] as const
    ).map(([a, b]) => (running.drive(levels(a, b)), running.level('y')))
    expect(seen).toEqual(['z', '1', 'x', 'z'])
    running.drive(
      new Map([
        ['a', '1'],
        ['b', '0'],
        ['y', '0'],
      ]),
    )
    expect(running.level('y')).toBe('0')
    running.drive(new Map([['b', '1']]))
    expect(running.level('y')).toBe('1')
  })

  test('says so when a ring does not come to rest', () => {
    const running = new Running(readModule(moduleOf('assign y = ~(a & y);')))
    running.drive(levels('0', '0'))
    expect(running.level('y')).toBe('1')
    expect(() => running.drive(levels('1', '0'))).toThrow(Restless)
  })
})
