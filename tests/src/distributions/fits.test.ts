import { readFileSync } from 'node:fs'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { fitFoldedNormal } from '../../../src/distributions/folded-normal.ts'
import { fitGamma } from '../../../src/distributions/gamma.ts'
import { fitJohnsonSB } from '../../../src/distributions/johnson-sb.ts'
import { fitJohnsonSL } from '../../../src/distributions/johnson-sl.ts'
import { fitJohnsonSU, johnsonSUDensity, johnsonSUQuantile } from '../../../src/distributions/johnson-su.ts'
import { fitLognormal } from '../../../src/distributions/lognormal.ts'
import { normalQuantile } from '../../../src/distributions/normal.ts'
import { fitRayleigh } from '../../../src/distributions/rayleigh.ts'
import { fitWeibull, fitWeibullThreshold } from '../../../src/distributions/weibull-fit.ts'
import { relativeError } from '../../reference/distributions/table.ts'

interface ReferenceFit {
  readonly family: keyof typeof fitters
  readonly parameters: Record<string, number>
  readonly logLikelihood: number
  readonly values: number[]
}

const fitters = {
  lognormal: fitLognormal,
  weibull: fitWeibull,
  weibullThreshold: fitWeibullThreshold,
  gamma: fitGamma,
  foldedNormal: fitFoldedNormal,
  rayleigh: fitRayleigh,
  johnsonSU: fitJohnsonSU,
  johnsonSB: fitJohnsonSB,
  johnsonSL: fitJohnsonSL,
}

/** tests/reference/distributions/fits.py: SciPy's log-likelihoods, maximised by simplex searches. */
const { fits } = JSON.parse(
  readFileSync(new URL('../../reference/distributions/fits.json', import.meta.url), 'utf8'),
) as { fits: ReferenceFit[] }

/** Expected normal order statistics, after Blom, as an ideal sample. */
function idealNormal(n: number): number[] {
  return Array.from({ length: n }, (_, i) => normalQuantile((i + 0.625) / (n + 0.25)))
}

describe('maximum likelihood against SciPy', () => {
  it('covers every family', () => {
    expect(new Set(fits.map((fit) => fit.family))).toEqual(new Set(Object.keys(fitters)))
  })
  it.each(fits.map((fit, i) => [`${i + 1}: ${fit.family}, ${fit.values.length} values`, fit] as const))(
    '%s',
    (_, reference) => {
      const found = fitters[reference.family](reference.values) as Record<string, number> | null
      if (found === null) throw new Error('no fit')
      // The maximum is flat: eight digits and more of the value, five of the place.
      expect(found.logLikelihood).toBeGreaterThan(
        reference.logLikelihood - 1e-9 * Math.abs(reference.logLikelihood),
      )
      expect(relativeError(found.logLikelihood as number, reference.logLikelihood)).toBeLessThan(1e-8)
      for (const [name, value] of Object.entries(reference.parameters)) {
        expect(relativeError(found[name] as number, value), name).toBeLessThan(1e-5)
      }
    },
  )
})

describe('Johnson fits begun at a fit to like values', () => {
  it.each(['johnsonSU', 'johnsonSB'] as const)('reach the likelihood of the reference: %s', (family) => {
    for (const { values, logLikelihood, ...fit } of fits.filter((each) => each.family === family)) {
      const beside = fitters[family](values.toSpliced(3, 7)) as never
      expect(beside, fit.family).not.toBeNull()
      const near = fitters[family](values, beside)
      // Half the width of a 95 % interval is 1.92 of log-likelihood: this is a ten-thousandth of it.
      expect(Math.abs((near?.logLikelihood ?? 0) - logLikelihood)).toBeLessThan(2e-4)
    }
  })
  it('are those of every value by itself where values repeat', () => {
    const steps = Array.from({ length: 400 }, (_, i) =>
      Number(johnsonSUQuantile((i + 0.5) / 400, -0.5, 1.5, 10, 0.2).toFixed(2)),
    )
    const fit = fitJohnsonSU(steps)
    if (fit === null) throw new Error('no fit')
    const { gamma, delta, xi, lambda } = fit
    const sum = steps.reduce((all, x) => all + Math.log(johnsonSUDensity(x, gamma, delta, xi, lambda)), 0)
    expect(new Set(steps).size).toBeLessThan(150)
    expect(fit.logLikelihood).toBeCloseTo(sum, 8)
  })
})

describe('a gamma fit to values that hardly differ', () => {
  it.each([1e-3, 1e-4, 1e-5])('exists, with a shape of nearly 1 over the squared spread: %d', (spread) => {
    // Johnson, Kotz and Balakrishnan (1994), chapter 17: for a large shape its square root is mean over standard deviation.
    const values = idealNormal(60).map((z) => 1e6 * (1 + spread * z))
    const mean = values.reduce((sum, x) => sum + x, 0) / values.length
    const variance = values.reduce((sum, x) => sum + (x - mean) ** 2, 0) / values.length
    const shape = fitGamma(values)?.shape ?? 0
    expect(Math.abs((shape * variance) / mean ** 2 - 1)).toBeLessThan(3 * spread)
  })
})

describe('fits that do not exist', () => {
  it('are null for values that are all equal', () => {
    const same = [2, 2, 2, 2, 2, 2]
    const { rayleigh, ...others } = fitters
    for (const estimate of Object.values(others)) expect(estimate(same)).toBeNull()
    // One parameter only: it exists.
    expect(rayleigh(same).sigma).toBeCloseTo(Math.SQRT2, 15)
  })
  it('are null where the likelihood runs off to a limit', () => {
    const normal = idealNormal(60)
    expect(fitJohnsonSU(normal.map((z) => Math.tanh(z)))).toBeNull()
    expect(fitJohnsonSL(normal.map((z) => -Math.exp(z)))).toBeNull()
    expect(fitWeibullThreshold(normal.map((z) => -Math.exp(z)))).toBeNull()
    // Heaped at the lower end: the shape would be below 1.
    expect(fitWeibullThreshold(normal.map((z) => Math.exp(3 * z)))).toBeNull()
  })
  it('is the half-normal distribution where folding at zero explains the values', () => {
    const half = Array.from({ length: 99 }, (_, i) => normalQuantile(0.5 + (i + 0.5) / 198) * (1 + 0.004 * i))
    const fit = fitFoldedNormal(half)
    expect(fit?.mu).toBe(0)
    expect(fit?.sigma).toBeCloseTo(Math.sqrt(half.reduce((sum, x) => sum + x * x, 0) / 99), 12)
  })
})

describe('fits refuse', () => {
  it('too few, infinite and impossible values, by name', () => {
    const refused = expect.objectContaining({ name: 'ArgumentError', argument: 'values' })
    for (const estimate of Object.values(fitters)) {
      expect(() => estimate([])).toThrow(refused)
      expect(() => estimate([1])).toThrow(refused)
      expect(() => estimate([1, 2, Number.NaN, 3, 4, 5])).toThrow(refused)
    }
    for (const estimate of [fitLognormal, fitWeibull, fitGamma, fitRayleigh]) {
      expect(() => estimate([1, 2, 0, 3, 4])).toThrow(refused)
    }
    expect(() => fitFoldedNormal([1, 2, -0.1, 3])).toThrow(refused)
    expect(() => fitJohnsonSU([1, 2, 3, 4])).toThrow(refused)
  })
})

describe('fits, properties', () => {
  it('follow a change of unit', () => {
    fc.assert(
      fc.property(fc.double({ min: 0.01, max: 100, noNaN: true }), (unit) => {
        for (const { family, values } of fits.filter(({ values }) => values.length <= 60)) {
          const scaled = values.map((x) => x * unit)
          const before = fitters[family](values)
          const after = fitters[family](scaled)
          if (before === null || after === null) throw new Error('no fit')
          const shift = values.length * Math.log(unit)
          expect(Math.abs(after.logLikelihood + shift - before.logLikelihood)).toBeLessThan(1e-7)
        }
      }),
      { numRuns: 20 },
    )
  })
  it('follow a change of origin where they have one', () => {
    for (const { family, values } of fits) {
      if (!['weibullThreshold', 'johnsonSU', 'johnsonSB', 'johnsonSL'].includes(family)) continue
      const before = fitters[family](values)
      const after = fitters[family](values.map((x) => x + 12.5))
      expect(Math.abs((after?.logLikelihood ?? 0) - (before?.logLikelihood ?? 1))).toBeLessThan(1e-6)
    }
  })
  it('return to the parameters of a large ideal sample', () => {
    const ideal = Array.from({ length: 2000 }, (_, i) =>
      johnsonSUQuantile((i + 0.5) / 2000, -0.5, 1.5, 10, 0.2),
    )
    const fit = fitJohnsonSU(ideal)
    expect(fit?.gamma).toBeCloseTo(-0.5, 1)
    expect(fit?.delta).toBeCloseTo(1.5, 1)
    expect(fit?.xi).toBeCloseTo(10, 2)
    expect(fit?.lambda).toBeCloseTo(0.2, 2)
  })
})
