import { describe, expect, it } from 'vitest'
import { andersonDarling } from '../../../src/description/anderson-darling.ts'
import { ArgumentError } from '../../../src/errors.ts'
import { normalSource } from '../run-length/simulation.ts'
import { SAMPLES } from './reference.ts'

describe('the statistic, against mpmath with 40 digits and SciPy (tests/reference/description)', () => {
  it.each(SAMPLES.filter(({ mpmath }) => mpmath.anderson !== undefined))('$name', ({ r, mpmath }) => {
    // The statistic is a small remainder of a sum near n.
    const error = Math.abs(andersonDarling(r.values).statistic - (mpmath.anderson as number))
    expect(error).toBeLessThanOrEqual(4e-15 * mpmath.n)
  })
})

describe('p', () => {
  /** Values whose modified statistic is as wanted: a normal sample stretched on one side. */
  const stretchedTo = (wanted: number) => {
    const normal = normalSource(5)
    const base = Array.from({ length: 60 }, normal)
    let low = 0
    let high = 3
    for (let i = 0; i < 200; i++) {
      const middle = (low + high) / 2
      const values = base.map((value) => Math.exp(middle * value))
      if (andersonDarling(values).modified < wanted) low = middle
      else high = middle
    }
    return andersonDarling(base.map((value) => Math.exp(high * value)))
  }

  // D'Agostino and Stephens (1986), table 4.7, case 3 (from memory): upper percentage points of the modified A².
  it.each([
    [0.1, 0.631],
    [0.05, 0.752],
    [0.025, 0.873],
    [0.01, 1.035],
  ])('is %d at the published percentage point %d', (level, point) => {
    const { modified, p } = stretchedTo(point)
    expect(modified).toBeCloseTo(point, 6)
    expect(Math.abs(p / level - 1)).toBeLessThanOrEqual(0.03)
  })

  it('is close to evenly spread for normal samples (fixed seed)', () => {
    const normal = normalSource(71)
    const runs = 4000
    const below = [0.01, 0.05, 0.1, 0.25, 0.5, 0.75, 0.9]
    const counts = below.map(() => 0)
    for (let run = 0; run < runs; run++) {
      const { p } = andersonDarling(Array.from({ length: 25 }, normal))
      for (const [i, level] of below.entries()) if (p < level) counts[i] = (counts[i] as number) + 1
    }
    for (const [i, level] of below.entries()) {
      const error = Math.sqrt((level * (1 - level)) / runs)
      expect(Math.abs((counts[i] as number) / runs - level)).toBeLessThanOrEqual(4 * error)
    }
  })

  it('falls as the statistic grows, and stays a probability for the wildest values', () => {
    const wild = andersonDarling(Array.from({ length: 200 }, (_, i) => (i < 199 ? i * 1e-6 : 1e6)))
    expect(wild.modified).toBeGreaterThan(10)
    expect(wild.p).toBeGreaterThan(0)
    expect(wild.p).toBeLessThan(1e-22)
  })
})

it('refuses too few, equal or unusable values', () => {
  expect(() => andersonDarling([1, 2, 3, 4, 5, 6, 7])).toThrow(ArgumentError)
  expect(() => andersonDarling(new Float64Array(10).fill(0.1))).toThrow(/same/)
  expect(() => andersonDarling([1, 2, 3, 4, 5, 6, 7, Number.NaN])).toThrow(ArgumentError)
})
