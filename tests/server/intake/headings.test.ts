import { describe, expect, it } from 'vitest'
import { findDialect, sampleSuffices } from '../../../server/intake/dialect.ts'
import { FileProblemError } from '../../../server/intake/faults.ts'
import { plainHeading, readColumns, recogniseColumns } from '../../../server/intake/headings.ts'

describe('headings', () => {
  it('lose what people write differently', () => {
    for (const heading of ['Serial No.', 'serial_no', ' SERIAL-NO ', 'SerialNo', 'Serial No. (part)']) {
      expect(plainHeading(heading)).toBe('serialno')
    }
    expect(plainHeading('S/N')).toBe('sn')
    expect(plainHeading('± Tol')).toBe('plusminustol')
    expect(plainHeading('+/- tol')).toBe('plusminustol')
    expect(plainHeading('Tol +')).toBe('tolplus')
    expect(plainHeading('Tol −')).toBe('tolminus')
    expect(plainHeading('+ Tolerance [mm]')).toBe('plustolerance')
  })

  it('tell the kind of a file', () => {
    expect(recogniseColumns(['serial', 'characteristic', 'value'])?.kind).toBe('measurements')
    expect(recogniseColumns(['part_number', 'designator', 'nominal', 'tolerance'])?.kind).toBe(
      'characteristics',
    )
    expect(recogniseColumns(['build', 'printed_at', 'humidity'])?.kind).toBe('builds')
    expect(recogniseColumns(['furnace_load', 'furnace'])?.kind).toBe('furnace-loads')
    expect(recogniseColumns(['name', 'date', 'amount'])).toBeNull()
    expect(recogniseColumns([])).toBeNull()
  })

  it('of parts without a value never make a file of something else', () => {
    expect(recogniseColumns(['serial', 'characteristic', 'nominal', 'found'])).toBeNull()
    expect(recogniseColumns(['serial', 'build', 'printer'])).toBeNull()
  })

  it('with two readings take the one that is left', () => {
    expect(readColumns('measurements', ['Balloon', 'Feature', 'S/N', 'Actual']).meanings).toEqual([
      'characteristic',
      'characteristicName',
      'serial',
      'value',
    ])
    expect(readColumns('measurements', ['part', 'serial', 'feature', 'actual']).meanings).toEqual([
      'partNumber',
      'serial',
      'characteristic',
      'value',
    ])
    expect(readColumns('measurements', ['date', 'time']).meanings).toEqual(['measuredAt', 'timeOfDay'])
    expect(readColumns('measurements', ['time']).meanings).toEqual(['measuredAt'])
  })

  it('name the unit where all that name one agree', () => {
    expect(readColumns('measurements', ['serial', 'feature', 'value (in)']).headingUnit).toBe('in')
    expect(readColumns('measurements', ['value [mm]', 'nominal [mm]']).headingUnit).toBe('mm')
    expect(readColumns('measurements', ['value [mm]', 'nominal [in]']).headingUnit).toBeNull()
    expect(readColumns('measurements', ['value', 'bed_x (mm)']).headingUnit).toBeNull()
  })

  it('that mean the same twice are told', () => {
    expect(readColumns('measurements', ['value', 'actual']).repeated).toEqual(['actual'])
    expect(readColumns('measurements', ['remark', 'remark']).repeated).toEqual([])
  })
})

describe('finding the dialect', () => {
  it('by the delimiter that makes headings of a line', () => {
    const table = 'serial;characteristic;value;remark, long\nS1;1;42,5;a, b\n'
    expect(findDialect(table, true)).toMatchObject({ delimiter: ';', recordsAbove: 0, decimalMark: ',' })
    expect(findDialect(table.replaceAll(';', '|'), true).delimiter).toBe('|')
    expect(findDialect(table.replaceAll(';', '\t'), true).delimiter).toBe('\t')
  })

  it('does not look at a last line that is cut off', () => {
    expect(findDialect('serial;characteristic;value\nS1;1;42,5\nS2;1;4', false).decimalMark).toBe(',')
    expect(() => findDialect('title\nserial;characteristic;val', false)).toThrow(FileProblemError)
  })

  it('counts the lines above the headings', () => {
    expect(findDialect('a title\n\nserial,characteristic,value\n', true).recordsAbove).toBe(2)
    const far = `${'x\n'.repeat(40)}serial,characteristic,value\n`
    expect(() => findDialect(far, true)).toThrow(/first 30 lines/)
  })

  it('waits for enough of the file, not for a line without end', () => {
    expect(sampleSuffices('serial,value\n')).toBe(false)
    expect(sampleSuffices(`serial,value\n${'x'.repeat(70_000)}`)).toBe(true)
    expect(sampleSuffices('x'.repeat(900_000))).toBe(false)
    expect(() => sampleSuffices('x'.repeat(1_000_001))).toThrow(FileProblemError)
  })
})
