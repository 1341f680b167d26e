import { describe, expect, it } from 'vitest'
import { readColumns } from '../../../server/intake/headings.ts'
import { ownLimitHeading } from '../../../server/intake/own-limit-heading.ts'

const read = (heading: string) => {
  const found = ownLimitHeading(heading)
  return found === null ? null : `${found.meaning}${found.of === '' ? '' : ` of ${found.of}`}`
}

describe('a heading of limits of the part’s own', () => {
  it.each([
    ['Bonus', 'bonus'],
    ['bonus (mm)', 'bonus'],
    ['Bonustoleranz', 'bonus'],
    ['Tolérance bonus', 'bonus'],
    ['Tolleranza bonus', 'bonus'],
    ['Upper limit (MMC)', 'ownUpper'],
    ['Tolerance Ⓜ', 'ownUpper'],
    ['Total tolerance incl. bonus', 'ownUpper'],
    ['Gesamttoleranz inkl. Bonus', 'ownUpper'],
    ['Toleranz (Maximum-Material-Bedingung)', 'ownUpper'],
    ['Limite supérieure au maximum de matière', 'ownUpper'],
    ['Tolleranza al massimo materiale', 'ownUpper'],
    ['Tolerancia con bonus', 'ownUpper'],
    ['own_upper_limit', 'ownUpper'],
    ['own_lower_limit', 'ownLower'],
    ['Untere Grenze je Teil', 'ownLower'],
    ['Limite inferiore del pezzo', 'ownLower'],
  ])('%s', (heading, meaning) => {
    expect(read(heading)).toBe(meaning)
  })

  it.each([
    ['9 bonus', 'bonus of 9'],
    ['Bonus 5.1', 'bonus of 5.1'],
    ['Pos. 7 tol. MMC', 'ownUpper of pos 7'],
    ['Position of the bore bonus', 'bonus of position bore'],
    ['Max wall bonus', 'bonus of wall'],
  ])('%s names its characteristic', (heading, meaning) => {
    expect(read(heading)).toBe(meaning)
  })

  it.each([
    'MMC',
    'MMC size',
    'Part',
    'Part number',
    'Teilenummer',
    'pieza',
    'particolare',
    'Upper limit',
    'Tolerance',
    'Material',
    'Max',
    'Owner',
  ])('%s is none', (heading) => {
    expect(read(heading)).toBeNull()
  })

  it('leaves columns of the drawing what they are', () => {
    expect(
      readColumns('measurements', ['serial', 'tolerance', 'bonus', 'Tolerance (MMC)', 'value']).meanings,
    ).toEqual(['serial', 'tolerance', 'bonus', 'ownUpper', 'value'])
  })
})
