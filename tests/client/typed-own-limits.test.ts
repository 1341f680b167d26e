import { describe, expect, it } from 'vitest'
import { leftOfSheet } from '../../client/data/typed-file.ts'
import { designatorOf, ownCell, ownFields, typedLimits } from '../../client/data/typed-own-limits.ts'
import type { TypedSheet } from '../../client/data/typed-sheet.ts'
import type { Characteristic, StatedLimits } from '../../src/domain/characteristic.ts'

const of = (ownLimits: Partial<StatedLimits>): Characteristic => ({
  id: 1,
  designator: '7',
  name: 'position',
  kind: 'position',
  nominal: null,
  lower: null,
  upper: 1,
  unit: '× own tolerance',
  axis: null,
  ownLimits: { sides: 'upper', nominal: null, lower: null, upper: 0.2, unit: 'mm', ...ownLimits },
})
const row = (cells: Record<string, string>) => ({
  serial: 'S1',
  cells: Object.fromEntries(Object.entries(cells).map(([cell, text]) => [cell, { text, at: '' }])),
})
const bonus = ownCell('7', 'bonus')
const [lower, upper] = [ownCell('7', 'own_lower_limit'), ownCell('7', 'own_upper_limit')]

describe('limits of a part’s own, typed', () => {
  it('are the bonus where the drawing states what it is added to, else each limit', () => {
    expect(ownFields(of({}))).toEqual(['bonus'])
    expect(ownFields(of({ upper: null }))).toEqual(['own_upper_limit'])
    expect(ownFields(of({ sides: 'lower' }))).toEqual(['own_lower_limit'])
    expect(ownFields(of({ sides: 'both' }))).toEqual(['own_lower_limit', 'own_upper_limit'])
  })

  it('are added as decimals: 0.2 and 0.1 is 0.3', () => {
    expect(typedLimits(of({}), row({ [bonus]: '0,1' }))).toEqual({ lower: null, upper: 0.3 })
  })

  it.each([
    [of({}), {}, 'bonus', /missing: one of 0 is typed as 0/],
    [of({}), { [bonus]: 'x' }, 'bonus', /not a number/],
    [of({}), { [bonus]: '-0.1' }, 'bonus', /below zero/],
    [of({ upper: null }), { [upper]: '0' }, 'own_upper_limit', /no tolerance/],
    [
      of({ sides: 'both', lower: 1, upper: 2 }),
      { [lower]: '1', [upper]: '1.9' },
      'own_upper_limit',
      /tighter/,
    ],
    [of({ sides: 'both', upper: null }), { [lower]: '2', [upper]: '1' }, 'own_upper_limit', /no tolerance/],
    [of({ sides: 'both', upper: null }), { [lower]: '2' }, 'own_upper_limit', /missing/],
  ])('are refused with the field that is at fault: %#', (characteristic, cells, field, text) => {
    expect(typedLimits(characteristic, row(cells))).toEqual({ field, text: expect.stringMatching(text) })
  })

  it('stay on the sheet with the value that they belong to', () => {
    const sheet: TypedSheet = {
      id: 'x',
      number: 'P',
      revision: 'A',
      stage: 'sintered',
      build: 'B',
      gauge: '',
      inspector: '',
      designators: ['1', '7'],
      rows: [row({ '1': '5', '7': '0.1', [bonus]: '0' }), row({ [bonus]: '0.2' })],
    }
    expect(designatorOf(bonus)).toBe('7')
    const refused = [{ line: 3, column: 'value', value: '', reason: '' }]
    // Of the first part the position was refused; of the second nothing but a bonus is typed yet.
    expect(leftOfSheet(sheet, sheet, { verdict: 'taken-in-part', refused })).toMatchObject({
      rows: [row({ '7': '0.1', [bonus]: '0' }), row({ [bonus]: '0.2' })],
    })
    expect(leftOfSheet(sheet, sheet, { verdict: 'taken', refused: [] })?.rows).toEqual([
      row({ [bonus]: '0.2' }),
    ])
  })
})
