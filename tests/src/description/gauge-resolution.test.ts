import { describe, expect, it } from 'vitest'
import { gaugeResolution } from '../../../src/description/gauge-resolution.ts'
import { ArgumentError } from '../../../src/errors.ts'
import { normalSource } from '../run-length/simulation.ts'

const measured = (sigma: number, step: number) => {
  const normal = normalSource(101)
  return Array.from({ length: 400 }, () =>
    Number((step * Math.round((12.5 + sigma * normal()) / step)).toFixed(6)),
  )
}

describe('gaugeResolution', () => {
  // AIAG's rule through the limit of 3.686 sigma: a step of 0.9 sigma leaves 0, 1, 2, 3 and 4 steps inside.
  it.each([
    [0.01, 0.001, 37, true],
    [0.01, 0.009, 5, true],
    [0.01, 0.0115, 4, false],
    [0.01, 0.02, 2, false],
  ])('sigma %d, step %d', (sigma, step, possible, resolves) => {
    const result = gaugeResolution(measured(sigma, step), sigma)
    expect(result.step).toBeCloseTo(step, 9)
    expect(result.possibleRanges).toBe(possible)
    expect(result.resolves).toBe(resolves)
  })

  it('takes four possible values where few ranges are zero', () => {
    expect(gaugeResolution([1, 2, 1, 3, 1, 0, 2, 1], 1)).toMatchObject({
      possibleRanges: 4,
      zeroRanges: 0,
      resolves: true,
    })
    expect(gaugeResolution([1, 1, 2, 2, 3, 1, 1, 0], 1)).toMatchObject({ zeroRanges: 3 / 7, resolves: false })
  })

  it('does not take rounding of decimals for steps of the gauge', () => {
    expect(gaugeResolution([0.1 + 0.2, 0.3, 0.4, 0.1 * 3, 0.5], 0.1).step).toBeCloseTo(0.1, 12)
  })

  it('does not resolve what never changes', () => {
    expect(gaugeResolution([7, 7, 7], 0)).toEqual({
      step: null,
      possibleRanges: 1,
      zeroRanges: 1,
      resolves: false,
    })
  })

  it('refuses one value, values that are not finite, and a negative sigma', () => {
    expect(() => gaugeResolution([1], 1)).toThrow(ArgumentError)
    expect(() => gaugeResolution([1, Number.NaN], 1)).toThrow(ArgumentError)
    expect(() => gaugeResolution([1, 2], -1)).toThrow(ArgumentError)
  })
})
