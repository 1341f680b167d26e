import { describe, expect, it } from 'vitest'
import type { Characteristic } from '../../../src/domain/characteristic.ts'
import { requirementText } from '../../../src/figures/requirement.ts'

function characteristic(nominal: number | null, lower: number | null, upper: number | null): Characteristic {
  return { id: 1, designator: '1', name: 'a', kind: 'length', nominal, lower, upper, unit: 'mm', axis: null }
}

describe('a requirement as the drawing states it', () => {
  it.each([
    [42, 41.88, 42.12, '42 ±0.12'],
    [25.4, 25.3, 25.5, '25.4 ±0.1'],
    [6, 6, 6.05, '6 +0.05 0'],
    [6, 5.95, 6, '6 0 −0.05'],
    [6, 5.98, 6.05, '6 +0.05 −0.02'],
    [6, 6.01, 6.05, '6 +0.05 +0.01'],
    [null, null, 0.08, 'max 0.08'],
    [0, null, 0.08, 'max 0.08'],
    [null, 3, null, 'min 3'],
    [null, 3, 4.5, '3 to 4.5'],
    [12.5, null, null, '12.5'],
    [null, null, null, 'no limits'],
    [100, 90, 110, '100 ±10'],
  ])('%s, %s to %s is %s', (nominal, lower, upper, text) => {
    expect(requirementText(characteristic(nominal, lower, upper))).toBe(text)
  })
})
