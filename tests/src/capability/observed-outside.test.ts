import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { observedOutside } from '../../../src/capability/observed-outside.ts'
import { ArgumentError } from '../../../src/errors.ts'

/** tests/reference/capability/binomial.R: binom.test. */
const rows = readFileSync(new URL('../../reference/capability/binomial.csv', import.meta.url), 'utf8')
  .split('\n')
  .filter((line) => /^\d/.test(line))
  .map((line) => line.split(',').map(Number) as [number, number, number, number, number])

describe('against R’s binom.test', () => {
  it('has all 24 cases', () => expect(rows.length).toBe(24))

  it.each(rows)('%i of %i, confidence %f', (count, n, confidence, lower, upper) => {
    const values = Array.from({ length: n }, (_, i) => (i < count ? 2 : 0))
    const { above } = observedOutside({ lower: null, upper: 1 }, values, confidence)
    expect(above).toMatchObject({ count, value: count / n, confidence })
    expect(above?.lower).toBeCloseTo(lower, 12)
    expect(above?.upper).toBeCloseTo(upper, 12)
  })
})

describe('counting', () => {
  const limits = { lower: 9.9, upper: 10.1 }

  it('takes a value exactly on a limit as conforming', () => {
    const found = observedOutside(limits, [9.9, 10.1, 9.899, 10.101, 10.2, 10], 0.95)
    expect([found.below?.count, found.above?.count, found.total?.count]).toEqual([1, 2, 3])
  })

  it('has nothing to say where there is no limit', () => {
    expect(observedOutside({ lower: 9.9, upper: null }, [9], 0.95)).toMatchObject({
      above: null,
      below: { count: 1 },
      total: { count: 1 },
    })
    expect(observedOutside({ lower: null, upper: null }, [9], 0.95).total).toBeNull()
  })

  it('refuses no values, a value that is not finite and crossed limits', () => {
    expect(() => observedOutside(limits, [], 0.95)).toThrow(ArgumentError)
    expect(() => observedOutside(limits, [10, Number.NaN], 0.95)).toThrow(/value 2 of 2/)
    expect(() => observedOutside({ lower: 2, upper: 1 }, [1], 0.95)).toThrow(/limits/)
  })
})
