import { readFileSync } from 'node:fs'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { momentsOf } from '../../../src/description/moments.ts'
import { ArgumentError } from '../../../src/errors.ts'
import { nestedComponents } from '../../../src/variation/nested-components.ts'
import { oneWayAnalysis } from '../../../src/variation/one-way.ts'
import { processorMs } from '../../tools/processor-time.ts'
import { normalSource, uniformSource } from '../run-length/simulation.ts'

interface Reference {
  readonly name: string
  readonly values: readonly number[]
  readonly levels: readonly (readonly number[])[]
  readonly sds: readonly number[]
  readonly lower: readonly number[]
  readonly upper: readonly number[]
  readonly mean: number
  readonly meanError: number
  readonly deviance: number
}

const { sets }: { sets: readonly Reference[] } = JSON.parse(
  readFileSync(new URL('../../reference/variation/nested.json', import.meta.url), 'utf8'),
)

describe('lme4 1.1-31 and a computation with full matrices in R 4.2.2 (tests/reference/variation)', () => {
  it.each(sets)('$name', (set) => {
    const result = nestedComponents(set.values, set.levels, 0.95)
    const scatter = Math.max(...set.sds)
    expect(Math.abs(result.deviance - set.deviance)).toBeLessThanOrEqual(1e-8)
    expect(Math.abs(result.mean - set.mean)).toBeLessThanOrEqual(1e-7 * scatter)
    expect(Math.abs(result.meanError / set.meanError - 1)).toBeLessThanOrEqual(1e-6)
    for (const [k, component] of result.components.entries()) {
      // lme4 stops a few units in the seventh digit from the maximum.
      expect(Math.abs(component.sd - (set.sds[k] as number))).toBeLessThanOrEqual(2e-6 * scatter)
      expect(Math.abs(component.sdLower - (set.lower[k] as number))).toBeLessThanOrEqual(1e-6 * scatter)
      expect(Math.abs((component.sdUpper ?? Number.NaN) - (set.upper[k] as number))).toBeLessThanOrEqual(
        1e-6 * (set.upper[k] as number),
      )
    }
  })
})

/** Nested data with labels that are used again in every parent. */
function simulated(sds: readonly number[], largest: readonly number[], outer: number, seed: number) {
  const normal = normalSource(seed)
  const uniform = uniformSource(seed + 1)
  const values: number[] = []
  const levels: number[][] = sds.slice(1).map(() => [])
  const walk = (level: number, labels: readonly number[], value: number) => {
    const members = level === 0 ? outer : 1 + Math.floor(uniform() * (largest[level - 1] as number))
    for (let i = 0; i < members; i++) {
      const here = value + (sds[level] as number) * normal()
      if (level === sds.length - 1) {
        values.push(here)
        for (const [k, label] of labels.entries()) levels[k]?.push(label)
      } else walk(level + 1, [...labels, i], here)
    }
  }
  walk(0, [], 12.5)
  return { values, levels }
}

describe('balanced groups', () => {
  // With equal sizes REML equals the analysis of variance estimates as long as those are not negative: Searle,
  // Casella and McCulloch, Variance Components (1992), section 4.8.
  it('one level is the analysis of variance', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 2, max: 8 }),
        fc.integer({ min: 2, max: 6 }),
        fc.integer({ min: 1, max: 1e6 }),
        (groups, size, seed) => {
          const normal = normalSource(seed)
          const data = Array.from({ length: groups }, () => {
            const centre = 2 * normal()
            return Array.from({ length: size }, () => centre + normal())
          })
          const anova = oneWayAnalysis(data.map((group) => momentsOf(group)))
          if (anova === null) throw new Error('no analysis')
          const between = Math.max(0, (anova.msBetween - anova.msWithin) / size)
          const pooled =
            (anova.msBetween * anova.dfBetween + anova.msWithin * anova.dfWithin) /
            (anova.dfBetween + anova.dfWithin)
          const labels = data.flatMap((group, i) => group.map(() => i))
          const { components } = nestedComponents(data.flat(), [labels], 0.9)
          const [outer, residual] = components.map((component) => component.variance) as [number, number]
          expect(Math.abs(outer - between)).toBeLessThanOrEqual(1e-6 * pooled)
          expect(Math.abs(residual / (between > 0 ? anova.msWithin : pooled) - 1)).toBeLessThanOrEqual(1e-6)
        },
      ),
      { numRuns: 60 },
    )
  })
})

describe('coverage and speed', () => {
  it('90 % intervals hold the true value about nine times in ten (fixed seeds)', () => {
    const sds = [0.02, 0.015, 0.01]
    const runs = 400
    const held = sds.map(() => 0)
    for (let run = 0; run < runs; run++) {
      const { values, levels } = simulated(sds, [4, 5], 12, 1000 + 2 * run)
      for (const [k, { sdLower, sdUpper }] of nestedComponents(values, levels, 0.9).components.entries()) {
        const truth = sds[k] as number
        if (sdLower <= truth && (sdUpper ?? Number.POSITIVE_INFINITY) >= truth)
          held[k] = (held[k] as number) + 1
      }
    }
    for (const count of held) {
      expect(count / runs).toBeGreaterThan(0.85)
      expect(count / runs).toBeLessThan(0.95)
    }
  })

  it('100,000 values in four levels within a second', async () => {
    const sds = [0.02, 0.012, 0.009, 0.004]
    const { values, levels } = simulated(sds, [4, 40, 5], 680, 600)
    const n = 100_000
    expect(values.length).toBeGreaterThan(n)
    const cut = levels.map((level) => Float64Array.from(level.slice(0, n)))
    const taken = Float64Array.from(values.slice(0, n))
    expect(await processorMs(() => nestedComponents(taken, cut, 0.95))).toBeLessThan(1000)
    const { components } = nestedComponents(taken, cut, 0.95)
    for (const [k, { sdLower, sd, sdUpper }] of components.entries()) {
      expect(Math.abs(sd / (sds[k] as number) - 1)).toBeLessThan(0.1)
      expect(sdLower).toBeLessThan(sd)
      expect(sdUpper).toBeGreaterThan(sd)
    }
  })
})

describe('edges', () => {
  const values = [1, 2, 3, 5, 4, 6, 7, 9]
  const pairs = [0, 0, 1, 1, 2, 2, 3, 3]

  it('does not depend on labels, order, place or unit', () => {
    const base = nestedComponents(values, [pairs], 0.95)
    const order = [5, 2, 7, 0, 3, 6, 1, 4]
    const moved = nestedComponents(
      order.map((i) => 25.4 * ((values[i] as number) + 1000)),
      [order.map((i) => 17 - (pairs[i] as number))],
      0.95,
    )
    for (const [k, component] of base.components.entries()) {
      expect((moved.components[k]?.sd as number) / 25.4).toBeCloseTo(component.sd, 6)
      expect((moved.components[k]?.sdUpper as number) / 25.4).toBeCloseTo(component.sdUpper as number, 5)
    }
    expect(moved.mean / 25.4 - 1000).toBeCloseTo(base.mean, 9)
  })

  it('finds its way where the likelihood is not convex', () => {
    const few = [9.4, 10.9, 8.4, 6.7, 11.5, 9.9, 8.7]
    const { components } = nestedComponents(few, [[0, 1, 2, 2, 2, 3, 4]], 0.95)
    for (const { sdLower, sd, sdUpper } of components) {
      expect(sdLower).toBeLessThanOrEqual(sd)
      expect(sdUpper).toBeGreaterThan(sd)
    }
  })

  it('refuses levels that cannot be told apart', () => {
    expect(() => nestedComponents(values, [], 0.95)).toThrow(ArgumentError)
    expect(() => nestedComponents(values, [pairs.map(() => 1)], 0.95)).toThrow(/single group/)
    expect(() => nestedComponents(values, [[1, 2, 3, 4, 5, 6, 7, 8]], 0.95)).toThrow(/one value/)
    expect(() => nestedComponents(values, [pairs, pairs.map(() => 1)], 0.95)).toThrow(/one of the next level/)
  })

  it('refuses unusable values, lengths and confidence', () => {
    expect(() => nestedComponents([1, 1, 2, 2, 3, 3, 4, 4], [pairs], 0.95)).toThrow(/never differ/)
    expect(() => nestedComponents([1, Number.NaN, 2, 2, 3, 3, 4, 4], [pairs], 0.95)).toThrow(ArgumentError)
    expect(() => nestedComponents(values, [pairs.slice(1)], 0.95)).toThrow(/7 labels, 8 values/)
    expect(() => nestedComponents(values, [pairs], 1)).toThrow(ArgumentError)
  })
})
