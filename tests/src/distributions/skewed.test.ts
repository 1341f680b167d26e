import { readFileSync } from 'node:fs'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import * as foldedNormal from '../../../src/distributions/folded-normal.ts'
import * as gamma from '../../../src/distributions/gamma.ts'
import * as johnsonSB from '../../../src/distributions/johnson-sb.ts'
import * as johnsonSL from '../../../src/distributions/johnson-sl.ts'
import * as johnsonSU from '../../../src/distributions/johnson-su.ts'
import * as lognormal from '../../../src/distributions/lognormal.ts'
import * as rayleigh from '../../../src/distributions/rayleigh.ts'
import * as weibull from '../../../src/distributions/weibull.ts'
import { relativeError } from '../../reference/distributions/table.ts'

type Function = (x: number, ...parameters: number[]) => number

interface Family {
  readonly density: Function
  readonly lower: Function
  readonly upper: Function
  readonly quantile: Function
  readonly upperQuantile: Function
}

/** The five functions that a module exports under one name. */
function family(module: object, name: string): Family {
  const exported = module as Record<string, Function>
  const pick = (suffix: string): Function => {
    const found = exported[name + suffix]
    if (found === undefined) throw new Error(`${name}${suffix} is missing`)
    return found
  }
  return {
    density: pick('Density'),
    lower: pick('Lower'),
    upper: pick('Upper'),
    quantile: pick('Quantile'),
    upperQuantile: pick('UpperQuantile'),
  }
}

const families: Record<string, Family> = {
  lognormal: family(lognormal, 'lognormal'),
  weibull: family(weibull, 'weibull'),
  gamma: family(gamma, 'gamma'),
  foldedNormal: family(foldedNormal, 'foldedNormal'),
  rayleigh: family(rayleigh, 'rayleigh'),
  johnsonSU: family(johnsonSU, 'johnsonSU'),
  johnsonSB: family(johnsonSB, 'johnsonSB'),
  johnsonSL: family(johnsonSL, 'johnsonSL'),
}

/** tests/reference/distributions/make.py skewed: mpmath quadrature of the textbook densities. */
const rows = readFileSync(new URL('../../reference/distributions/skewed.csv', import.meta.url), 'utf8')
  .split('\n')
  .slice(2)
  .filter((line) => line !== '')
  .map((line) => {
    const [name = '', x, a, b, c, d, density, lower, upper] = line.split(',')
    return {
      name,
      x: Number(x),
      parameters: [a, b, c, d].filter((text) => text !== '').map(Number),
      density: Number(density),
      lower: Number(lower),
      upper: Number(upper),
    }
  })

const cases = [...new Map(rows.map((row) => [`${row.name} ${row.parameters}`, row])).values()]

describe.each(Object.entries(families))('%s', (name, { density, lower, upper, quantile, upperQuantile }) => {
  const own = rows.filter((row) => row.name === name)

  it('agrees with mpmath', () => {
    expect(own.length).toBeGreaterThan(3)
    for (const { x, parameters, ...expected } of own) {
      const at = `${x}; ${parameters}`
      expect(relativeError(density(x, ...parameters), expected.density), `density ${at}`).toBeLessThan(1e-11)
      expect(relativeError(lower(x, ...parameters), expected.lower), `lower ${at}`).toBeLessThan(1e-11)
      expect(relativeError(upper(x, ...parameters), expected.upper), `upper ${at}`).toBeLessThan(1e-11)
    }
  })

  it('has quantiles that undo the tails, and tails that sum to one', () => {
    for (const { parameters } of cases.filter((row) => row.name === name)) {
      fc.assert(
        fc.property(fc.double({ min: -34, max: -0.001, noNaN: true }), (logTail) => {
          const p = Math.exp(logTail)
          const high = upperQuantile(p, ...parameters)
          const low = quantile(p, ...parameters)
          // The quantile itself is a rounded double: what a tail changes over its spacing is allowed for.
          const allowed = (x: number, tail: number) =>
            1e-11 + (4 * Number.EPSILON * Math.abs(x) * density(x, ...parameters)) / tail
          expect(relativeError(upper(high, ...parameters), p)).toBeLessThan(allowed(high, p))
          expect(relativeError(lower(low, ...parameters), p)).toBeLessThan(allowed(low, p))
          expect(Math.abs(lower(high, ...parameters) + upper(high, ...parameters) - 1)).toBeLessThan(1e-14)
        }),
      )
    }
  })

  it('ends where its support ends', () => {
    for (const { parameters } of cases.filter((row) => row.name === name)) {
      const [from, to] = [quantile(0, ...parameters), quantile(1, ...parameters)]
      expect(upperQuantile(1, ...parameters)).toBe(from)
      expect(upperQuantile(0, ...parameters)).toBe(to)
      expect([lower(from, ...parameters), upper(from, ...parameters)]).toEqual([0, 1])
      expect([lower(to, ...parameters), upper(to, ...parameters)]).toEqual([1, 0])
      for (const x of [from - 1, to + 1]) expect(density(x, ...parameters)).toBe(0)
    }
  })

  it('refuses bad arguments by name', () => {
    const { parameters } = own[0] as (typeof rows)[number]
    const refused = (argument: string) => expect.objectContaining({ name: 'ArgumentError', argument })
    for (const f of [density, lower, upper]) expect(() => f(Number.NaN, ...parameters)).toThrow(refused('x'))
    expect(() => quantile(-0.1, ...parameters)).toThrow(refused('p'))
    for (let i = 0; i < parameters.length; i++) {
      const broken = parameters.with(i, Number.NaN)
      for (const f of [density, lower, upper, quantile, upperQuantile]) {
        expect(() => f(0.5, ...broken)).toThrow(expect.objectContaining({ name: 'ArgumentError' }))
      }
    }
  })
})

describe('scale parameters', () => {
  it('must be greater than zero', () => {
    expect(() => lognormal.lognormalLower(1, 0, 0)).toThrow(expect.objectContaining({ argument: 'sigma' }))
    expect(() => weibull.weibullLower(1, 0, 1)).toThrow(expect.objectContaining({ argument: 'shape' }))
    expect(() => weibull.weibullLower(1, 1, -1)).toThrow(expect.objectContaining({ argument: 'scale' }))
    expect(() => gamma.gammaLower(1, -2, 1)).toThrow(expect.objectContaining({ argument: 'shape' }))
    expect(() => foldedNormal.foldedNormalLower(1, 0, 0)).toThrow(
      expect.objectContaining({ argument: 'sigma' }),
    )
    expect(() => rayleigh.rayleighLower(1, 0)).toThrow(expect.objectContaining({ argument: 'sigma' }))
    expect(() => johnsonSU.johnsonSULower(1, 0, 0, 0, 1)).toThrow(
      expect.objectContaining({ argument: 'delta' }),
    )
    expect(() => johnsonSB.johnsonSBLower(1, 0, 1, 0, 0)).toThrow(
      expect.objectContaining({ argument: 'lambda' }),
    )
    expect(() => johnsonSL.johnsonSLLower(1, 0, -1, 0)).toThrow(
      expect.objectContaining({ argument: 'delta' }),
    )
  })
})
