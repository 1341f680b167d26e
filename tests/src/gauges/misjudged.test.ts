import { readFileSync } from 'node:fs'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { normalUpper } from '../../../src/distributions/normal.ts'
import { ArgumentError } from '../../../src/errors.ts'
import { misjudged } from '../../../src/gauges/misjudged.ts'

type Case = [number, number, number, number, number | null, number | null, number | null, number | null]

const { misjudged: rows } = JSON.parse(
  readFileSync(new URL('../../reference/gauges/misjudged.json', import.meta.url), 'utf8'),
) as { misjudged: { case: Case; shares: [number, number] }[] }

describe('quadrature by mpmath 1.3.0 (tests/reference/gauges/misjudged.py)', () => {
  it.each(rows)('$case', ({ case: [mean, partSd, bias, gaugeSd, lower, upper, from, to], shares }) => {
    const found = misjudged({ mean, partSd, bias, gaugeSd }, { lower, upper }, { lower: from, upper: to })
    expect(Math.abs(found.wronglyAccepted / shares[0] - 1)).toBeLessThan(1e-9)
    expect(Math.abs(found.wronglyRejected / shares[1] - 1)).toBeLessThan(1e-9)
  })
})

it('shares add up, and those outside are the tails of the parts', () => {
  fc.assert(
    fc.property(
      fc.double({ min: -4, max: 4, noNaN: true }),
      fc.double({ min: 0.01, max: 3, noNaN: true }),
      fc.double({ min: 0, max: 1, noNaN: true }),
      (mean, gaugeSd, guard) => {
        const limits = { lower: -3, upper: 3 }
        const acceptance = { lower: -3 + guard, upper: 3 - guard }
        const found = misjudged({ mean, partSd: 1, bias: 0, gaugeSd }, limits, acceptance)
        const outside = normalUpper(mean + 3) + normalUpper(3 - mean)
        const seen = Math.hypot(1, gaugeSd)
        const rejected = normalUpper((mean + 3 - guard) / seen) + normalUpper((3 - guard - mean) / seen)
        expect(found.outside / outside).toBeCloseTo(1, 8)
        expect(found.accepted).toBeCloseTo(1 - rejected, 10)
        expect((found.insideAmongRejected ?? 0) * rejected).toBeCloseTo(found.wronglyRejected, 9)
        expect((found.outsideAmongAccepted ?? 0) * found.accepted).toBeCloseTo(found.wronglyAccepted, 9)
      },
    ),
    { numRuns: 40 },
  )
})

it('nothing is accepted where the guard bands leave nothing', () => {
  const found = misjudged({ mean: 0, partSd: 1, bias: 0, gaugeSd: 1 }, { lower: -3, upper: 3 }, null)
  expect(found).toMatchObject({ wronglyAccepted: 0, accepted: 0, outsideAmongAccepted: null })
  expect(found.wronglyRejected).toBeCloseTo(1 - 2 * normalUpper(3), 10)
})

it('is misuse without limits or scatter', () => {
  const process = { mean: 0, partSd: 1, bias: 0, gaugeSd: 0.1 }
  expect(() => misjudged(process, { lower: null, upper: null })).toThrow(ArgumentError)
  expect(() => misjudged({ ...process, gaugeSd: 0 }, { lower: 0, upper: 1 })).toThrow(ArgumentError)
  expect(() => misjudged(process, { lower: 2, upper: 1 })).toThrow(ArgumentError)
})
