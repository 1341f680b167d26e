import { describe, expect, it } from 'vitest'
import { ArgumentError } from '../../../src/errors.ts'
import { BIAS_EXAMPLE, LINEARITY_EXAMPLE } from '../../../src/evidence/data/gauge-example.ts'
import { biasStudy } from '../../../src/gauges/bias.ts'

describe('the manual’s example of linearity (AIAG, Measurement Systems Analysis, from memory; R 4.2.2 lm, confint, predict)', () => {
  const { parts, linearity, overall, reason } = biasStudy(LINEARITY_EXAMPLE, 0.95)

  it('has the published biases', () => {
    const published = [0.491667, 0.125, 0.025, -0.291667, -0.616667]
    for (const [i, bias] of published.entries()) expect(parts[i]?.bias).toBeCloseTo(bias, 6)
  })

  it('has the line and the intervals of R', () => {
    expect(reason).toBeNull()
    // confint(lm(value - reference ~ reference)) and predict(..., interval = "confidence")
    expect(linearity?.intercept.lower).toBeCloseTo(0.5914935622, 9)
    expect(linearity?.intercept.upper).toBeCloseTo(0.8818397711, 9)
    expect(linearity?.slope.lower).toBeCloseTo(-0.1535523356, 9)
    expect(linearity?.slope.upper).toBeCloseTo(-0.1097809977, 9)
    expect(linearity?.rSquared).toBeCloseTo(0.7143184159, 9)
    expect(linearity?.line.map(({ reference }) => reference)).toEqual([2, 4, 6, 8, 10])
    expect(linearity?.line[0]?.estimate.lower).toBeCloseTo(0.3661158901, 9)
    expect(overall?.value).toBeCloseTo(-0.0533333333, 9)
  })
})

describe('the manual’s example of bias (from memory; R 4.2.2 t.test)', () => {
  it('has its mean, interval and probability', () => {
    const { parts, linearity, reason } = biasStudy(BIAS_EXAMPLE, 0.95)
    expect(parts[0]?.estimate?.lower).toBeCloseTo(-0.1107459659, 9)
    expect(parts[0]?.estimate?.upper).toBeCloseTo(0.1240792992, 9)
    expect(parts[0]?.estimate?.p).toBeCloseTo(0.9048035362, 9)
    expect(linearity).toBeNull()
    expect(reason).toBe('one reference part')
  })
})

describe('too little to go by', () => {
  it('is said', () => {
    expect(biasStudy([{ reference: 1, value: 1.1 }], 0.95)).toMatchObject({
      overall: null,
      reason: 'one reference part',
      parts: [{ n: 1, sd: null, estimate: null }],
    })
    const two = [
      { reference: 1, value: 1.1 },
      { reference: 2, value: 2.3 },
    ]
    expect(biasStudy(two, 0.95)).toMatchObject({ linearity: null, reason: 'too few readings' })
    const alike = [1, 2, 3, 4].map((reference) => ({ reference, value: reference + 0.1 }))
    expect(biasStudy(alike, 0.95)).toMatchObject({
      overall: null,
      linearity: null,
      reason: 'constant readings',
    })
  })

  it('is misuse where nothing was read', () => {
    expect(() => biasStudy([], 0.95)).toThrow(ArgumentError)
    expect(() => biasStudy([{ reference: Number.NaN, value: 1 }], 0.95)).toThrow(ArgumentError)
    expect(() => biasStudy(BIAS_EXAMPLE, 0)).toThrow(ArgumentError)
  })
})
