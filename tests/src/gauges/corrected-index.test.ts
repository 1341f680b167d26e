import { expect, it } from 'vitest'
import { spreadIndex } from '../../../src/capability/indices.ts'
import { ArgumentError } from '../../../src/errors.ts'
import { correctForGauge } from '../../../src/gauges/corrected-index.ts'

const plain = { value: 1.2, lower: 1, upper: 1.4, confidence: 0.95 }

it('is the index of the parts themselves', () => {
  // Parts 0.04, gauge 0.03: seen 0.05.
  const limits = { lower: 0, upper: 0.36 }
  const seen = spreadIndex(limits, 0.05) as number
  const { corrected, gaugeShare } = correctForGauge({ ...plain, value: seen }, 0.05, {
    value: 0.03,
    lower: 0.02,
    upper: 0.04,
  })
  expect(corrected?.value).toBeCloseTo(spreadIndex(limits, 0.04) as number, 12)
  expect(gaugeShare).toBeCloseTo(0.36, 12)
  expect(corrected?.lower).toBeCloseTo(1 / Math.sqrt(1 - 0.16), 12)
  expect(corrected?.upper).toBeCloseTo(1.4 / Math.sqrt(1 - 0.64), 12)
})

it('moves a negative index away from 0', () => {
  const below = { value: -0.2, lower: -0.3, upper: -0.1, confidence: 0.95 }
  const { corrected } = correctForGauge(below, 0.05, { value: 0.03, lower: 0.02, upper: 0.04 })
  expect(corrected?.value).toBeCloseTo(-0.25, 12)
  expect(corrected?.lower).toBeCloseTo(-0.5, 12)
  expect(corrected?.upper).toBeCloseTo(-0.1 / Math.sqrt(0.84), 12)
})

it('has no upper limit where the gauge may explain all, and no value where it does', () => {
  expect(correctForGauge(plain, 0.05, { value: 0.03, lower: 0.02, upper: 0.06 }).corrected?.upper).toBeNull()
  expect(correctForGauge(plain, 0.05, { value: 0.03, lower: 0.02, upper: null }).corrected?.upper).toBeNull()
  const all = correctForGauge(plain, 0.05, { value: 0.05, lower: 0.02, upper: 0.06 })
  expect(all.corrected).toBeNull()
  expect(all.plain).toBe(plain)
  expect(() => correctForGauge(plain, 0, { value: 0.03, lower: 0, upper: 1 })).toThrow(ArgumentError)
})
