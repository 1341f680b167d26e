import { describe, expect, it } from 'vitest'
import {
  type Definition,
  type DefinitionTexts,
  defines,
  isFault,
  numberIn,
  readDefinition,
} from '../../../server/intake/definition.ts'
import type { Fault } from '../../../server/intake/faults.ts'
import { NumberReader } from '../../../server/intake/numbers.ts'
import { readUnit } from '../../../server/intake/units.ts'
import { convertWritten } from '../../../src/checks/convert-written.ts'

const NOTHING: DefinitionTexts = {
  kind: '',
  axis: '',
  unit: '',
  nominal: '',
  lower: '',
  upper: '',
  tolerance: '',
  plusTolerance: '',
  minusTolerance: '',
}

const read = (texts: Partial<DefinitionTexts>, mark: '.' | ',' = '.') =>
  readDefinition({ ...NOTHING, ...texts }, new NumberReader(mark === '.' ? ',' : ';', mark))

function limits(texts: Partial<DefinitionTexts>): [string | null, string | null] {
  const definition = read(texts) as Definition
  return [definition.lower, definition.upper]
}

describe('what a row says of a characteristic', () => {
  it('limits as given', () => {
    expect(limits({ nominal: '8', lower: '7.95', upper: '8.05' })).toEqual(['7.95', '8.05'])
    expect(limits({ upper: '0.1' })).toEqual([null, '0.1'])
    expect(limits({ nominal: '8' })).toEqual([null, null])
  })

  it('limits from tolerances, added as decimals', () => {
    expect(limits({ nominal: '25.4', tolerance: '0.1' })).toEqual(['25.3', '25.5'])
    expect(limits({ nominal: '25.4', tolerance: '±0.1' })).toEqual(['25.3', '25.5'])
    expect(limits({ nominal: '25.4', tolerance: '+/- 0.1' })).toEqual(['25.3', '25.5'])
    expect(limits({ nominal: '10', plusTolerance: '0.2', minusTolerance: '0.1' })).toEqual(['9.9', '10.2'])
    expect(limits({ nominal: '10', plusTolerance: '+0.2', minusTolerance: '-0.1' })).toEqual(['9.9', '10.2'])
    expect(limits({ nominal: '10', plusTolerance: '0.2' })).toEqual([null, '10.2'])
    expect(limits({ nominal: '10', plusTolerance: '0.2', minusTolerance: '0' })).toEqual(['10', '10.2'])
  })

  it('tolerances on one side of the nominal by their signs, as for fits (ISO 286-1)', () => {
    expect(limits({ nominal: '10', plusTolerance: '-0.02', minusTolerance: '-0.05' })).toEqual([
      '9.95',
      '9.98',
    ])
    expect(limits({ nominal: '10', plusTolerance: '+0.05', minusTolerance: '+0.02' })).toEqual([
      '10.02',
      '10.05',
    ])
  })

  it('with decimal commas', () => {
    expect(read({ nominal: '25,4', tolerance: '0,1' }, ',')).toMatchObject({ lower: '25.3', upper: '25.5' })
  })

  it('no lower limit for kinds that cannot go below zero', () => {
    expect(read({ kind: 'Flatness', nominal: '0', tolerance: '0.05' })).toMatchObject({
      kind: 'flatness',
      lower: null,
      upper: '0.05',
      floorLeftOff: true,
    })
    expect(read({ kind: 'length', nominal: '0', tolerance: '0.05' })).toMatchObject({
      lower: '-0.05',
      floorLeftOff: false,
    })
  })

  it('kinds, axes and units as they are written', () => {
    expect(read({ kind: 'True Position', axis: 'x', unit: 'inch' })).toMatchObject({
      kind: 'position',
      axis: 'X',
      unit: 'in',
    })
    expect(read({ axis: 'none', unit: '°' })).toMatchObject({ kind: 'angle', axis: null, unit: 'deg' })
    expect(read({ kind: 'wall_thickness' })).toMatchObject({ kind: 'thickness' })
  })

  it('nothing at all', () => {
    const definition = read({}) as Definition
    expect(defines(definition)).toBe(false)
    expect(defines(read({ nominal: '1' }) as Definition)).toBe(true)
  })

  it('or what cannot be', () => {
    const wrong: [Partial<DefinitionTexts>, string][] = [
      [{ kind: 'beauty' }, 'kind'],
      [{ kind: 'constructor' }, 'kind'],
      [{ axis: 'W' }, 'axis'],
      [{ axis: '__proto__' }, 'axis'],
      [{ unit: 'ell' }, 'unit'],
      [{ nominal: 'x' }, 'nominal'],
      [{ nominal: '1', tolerance: '-0.1' }, 'tolerance'],
      [{ tolerance: '0.1' }, 'tolerance'],
      [{ lower: '2', upper: '1' }, 'upper'],
      [{ nominal: '1', lower: '0.8', tolerance: '0.1' }, 'lower'],
      [{ nominal: '10', plusTolerance: '-0.05', minusTolerance: '+0.02' }, 'plusTolerance'],
    ]
    for (const [texts, meaning] of wrong) {
      const result = read(texts)
      expect(isFault(result), JSON.stringify(texts)).toBe(true)
      expect((result as Fault).meaning).toBe(meaning)
    }
  })
})

describe('units', () => {
  it('are known by their names', () => {
    expect(['mm', 'MM', ' in. ', 'Inch', '"', 'um', 'µm', 'μm', 'microns', '°', 'deg'].map(readUnit)).toEqual(
      ['mm', 'mm', 'in', 'in', 'in', 'um', 'um', 'um', 'um', 'deg', 'deg'],
    )
    expect(['', 'm', 'toString', 'ft'].map(readUnit)).toEqual([null, null, null, null])
  })

  it('convert exactly: 1 in is 25.4 mm by definition', () => {
    expect(convertWritten('1', 'in', 'mm')).toBe('25.4')
    expect(convertWritten('1.5', 'in', 'mm')).toBe('38.1')
    expect(convertWritten('38.1', 'mm', 'in')).toBe('1.5')
    expect(convertWritten('0.5', 'um', 'mm')).toBe('0.0005')
    expect(convertWritten('-0.001', 'in', 'um')).toBe('-25.4')
    expect(Number(convertWritten('1', 'mm', 'in'))).toBe(1 / 25.4)
    expect(convertWritten('1', 'deg', 'mm')).toBeNull()
    expect(convertWritten('1,5', 'mm', 'mm')).toBe('1,5')
  })

  it('limits go over to the unit on record', () => {
    const definition = read({ nominal: '1', tolerance: '0.002', unit: 'in' }) as Definition
    expect(numberIn('mm', definition, 'lower')).toBe(25.3492)
    expect(numberIn('mm', definition, 'upper')).toBe(25.4508)
    expect(numberIn('deg', definition, 'upper')).toBeNull()
  })
})
