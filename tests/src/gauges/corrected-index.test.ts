import { expect, it } from 'vitest'
import { spreadIndex } from '../../../src/capability/indices.ts'
import { ArgumentError } from '../../../src/errors.ts'
import { correctedIndices, correctForGauge } from '../../../src/gauges/corrected-index.ts'

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

it('takes the gauge out of the sigma that each index was computed with', () => {
  // Parts 0.03 inside builds and 0.12 in all, gauge 0.04 and 0.05: seen 0.05 and 0.13 by Pythagorean triples.
  const limits = { lower: 0, upper: 0.9 }
  const at = (sigma: number) => ({ ...plain, value: spreadIndex(limits, sigma) as number })
  const seen = { cp: at(0.05), cpk: null, pp: at(0.13), ppk: at(0.13), shape: null, ownTolerance: null }
  const gauge = (value: number) => ({ value, lower: value, upper: value })
  const short = correctedIndices({ ...seen, sigmaInControl: 0.05, sigmaOverall: 0.13 }, gauge(0.04))
  expect(short.cp?.corrected?.value).toBeCloseTo(spreadIndex(limits, 0.03) as number, 12)
  expect(short.cp?.gaugeShare).toBeCloseTo(0.64, 12)
  expect(short.cpk).toBeNull()
  const long = correctedIndices({ ...seen, sigmaInControl: 0.05, sigmaOverall: 0.13 }, gauge(0.05))
  expect(long.pp?.corrected?.value).toBeCloseTo(spreadIndex(limits, 0.12) as number, 12)
  expect(long.cp?.corrected).toBeNull()
  expect(correctedIndices({ ...seen, sigmaInControl: null, sigmaOverall: 0 }, gauge(0.05))).toEqual({
    cp: null,
    cpk: null,
    pp: null,
    ppk: null,
  })
  const own = { least: 0.1, greatest: 0.2 }
  const inUnits = { ...seen, ownTolerance: own, sigmaInControl: 0.05, sigmaOverall: 0.13 }
  expect(correctedIndices(inUnits, gauge(0.04)).ppk).toBeNull()
})
