import { readFileSync } from 'node:fs'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { ArgumentError } from '../../../src/errors.ts'
import { GAUGE_EXAMPLE } from '../../../src/evidence/data/gauge-example.ts'
import { crossedLikelihood } from '../../../src/gauges/crossed-likelihood.ts'
import { gaugeStudy } from '../../../src/gauges/gauge-study.ts'
import { fitComponents } from '../../../src/gauges/likelihood-fit.ts'
import { type GaugeReading, studyTable } from '../../../src/gauges/readings.ts'
import { COMPONENTS } from '../../../src/gauges/study-model.ts'
import { nestedComponents } from '../../../src/variation/nested-components.ts'
import { normalSource } from '../run-length/simulation.ts'
import { drawStudy } from './readings.ts'

interface Reference {
  readonly name: string
  readonly interaction: boolean
  readonly part: readonly number[]
  readonly inspector: readonly number[]
  readonly values: readonly number[]
  readonly variances: readonly number[]
  readonly lower: readonly number[]
  readonly upper: readonly number[]
  readonly deviance: number
  readonly gauge: readonly [number, number]
  readonly share: readonly [number, number]
}

const { sets }: { sets: readonly Reference[] } = JSON.parse(
  readFileSync(new URL('../../reference/gauges/crossed.json', import.meta.url), 'utf8'),
)

function readingsOf(set: Reference): GaugeReading[] {
  return set.values.map((value, i) => ({
    part: String(set.part[i]),
    inspector: String(set.inspector[i]),
    value,
  }))
}

describe('the manual’s example (AIAG, Measurement Systems Analysis, chapter III; figures in src/evidence/gauges.ts)', () => {
  const pooled = gaugeStudy(GAUGE_EXAMPLE, { tolerance: { lower: -4, upper: 4 } })

  it('pools the interaction, which the test does not find', () => {
    expect(pooled).toMatchObject({
      method: 'analysis of variance',
      layout: 'crossed',
      interaction: 'pooled',
      trials: 3,
      n: 90,
      shortfalls: [],
    })
    expect(pooled.analysis.map(({ df }) => df)).toEqual([9, 2, 18, 60])
    expect(pooled.components.interaction).toBeNull()
  })

  it('gives shares of spread, of variance and of tolerance, and the number of categories', () => {
    // From the printed standard deviations: 0.302372 / √(0.302372² + 1.042327²), and so on.
    expect(pooled.gaugeShareOfSpread?.value).toBeCloseTo(0.278606, 5)
    expect(pooled.components.gauge?.shareOfVariance).toBeCloseTo(0.278606 ** 2, 5)
    expect(pooled.components.gauge?.shareOfTolerance?.value).toBeCloseTo((6 * 0.302372) / 8, 6)
    expect(pooled.categories?.value).toBeCloseTo((Math.SQRT2 * 1.042327) / 0.302372, 4)
  })

  it('keeps the interaction where it is told to', () => {
    const kept = gaugeStudy(GAUGE_EXAMPLE, { interaction: 'kept' })
    expect(kept.interaction).toBe('kept')
    // (0.0199 − 0.0460) / 3 is below 0.
    expect(kept.components.interaction?.variance).toBe(0)
    expect(kept.components.repeatability?.variance).toBeCloseTo(2.7589333333 / 60, 10)
    expect(kept.components.inspector?.variance).toBeCloseTo((3.1672622222 / 2 - 0.3589822222 / 18) / 30, 9)
    expect(kept.components.part?.variance).toBeCloseTo((88.3619344444 / 9 - 0.3589822222 / 18) / 9, 9)
  })
})

describe('lme4 1.1-31 and full matrices in R 4.2.2 (tests/reference/gauges/crossed.R)', () => {
  it.each(sets)('$name', (set) => {
    const study = gaugeStudy(readingsOf(set))
    expect(study.method).toBe('restricted maximum likelihood')
    const names = set.interaction
      ? (['part', 'inspector', 'interaction', 'repeatability'] as const)
      : (['part', 'inspector', 'repeatability'] as const)
    const total = set.variances.reduce((sum, v) => sum + v, 0)
    const fit = fitComponents(crossedLikelihood(studyTable(readingsOf(set)), set.interaction))
    // Reference limits are by chi-square with one degree of freedom, as in large samples.
    const limits = (of: readonly string[]) =>
      fit.figure(
        { numerator: names.map((name) => (of.includes(name) ? 1 : 0)), denominator: null },
        0.95,
        'large samples',
      )
    // lme4 stops up to 3e-9 above the least deviance, which moves its variances by up to 3e-5; what is found here is no higher.
    for (const [k, name] of names.entries()) {
      const component = study.components[name]
      expect(Math.abs((component?.variance ?? Number.NaN) - (set.variances[k] as number))).toBeLessThan(
        5e-5 * total,
      )
      const { lower, upper } = limits([name])
      expect(Math.sqrt(lower)).toBeCloseTo(Math.sqrt(set.lower[k] as number), 6)
      expect(Math.sqrt(upper ?? Number.NaN) / Math.sqrt(set.upper[k] as number)).toBeCloseTo(1, 6)
    }
    const gauge = limits(['inspector', 'interaction', 'repeatability'])
    expect(Math.sqrt(gauge.lower) / Math.sqrt(set.gauge[0])).toBeCloseTo(1, 6)
    expect(Math.sqrt(gauge.upper ?? Number.NaN) / Math.sqrt(set.gauge[1])).toBeCloseTo(1, 6)
    expect((study.gaugeShareOfSpread?.lower ?? Number.NaN) / Math.sqrt(set.share[0])).toBeCloseTo(1, 6)
    expect((study.gaugeShareOfSpread?.upper ?? Number.NaN) / Math.sqrt(set.share[1])).toBeCloseTo(1, 6)
    expect(fit.deviance - set.deviance).toBeLessThan(1e-10)
    expect(fit.deviance - set.deviance).toBeGreaterThan(-1e-8)
  })
})

describe('balanced readings', () => {
  it('give the same components by analysis of variance and by likelihood where none is cut off', () => {
    // S. R. Searle, G. Casella and C. E. McCulloch, Variance Components (1992), section 6.7.
    const normal = normalSource(81)
    const sd = { part: 0.05, inspector: 0.03, interaction: 0.02, repeatability: 0.01 }
    const readings = drawStudy(8, 4, 3, sd, normal)
    const study = gaugeStudy(readings, { interaction: 'kept' })
    const fit = fitComponents(crossedLikelihood(studyTable(readings), true))
    for (const [k, name] of (['part', 'inspector', 'interaction', 'repeatability'] as const).entries()) {
      expect(fit.variances[k]).toBeGreaterThan(0)
      expect((study.components[name]?.variance as number) / (fit.variances[k] as number)).toBeCloseTo(1, 6)
    }
  })
})

describe('parts within inspectors', () => {
  const normal = normalSource(82)
  const sd = { part: 0.05, inspector: 0.03, interaction: 0, repeatability: 0.01 }
  const crossed = drawStudy(5, 4, 3, sd, normal)
  const nested = crossed.map((reading) => ({ ...reading, part: `${reading.inspector}, ${reading.part}` }))

  it('are known by no part having been measured by two inspectors, or by being told', () => {
    const found = gaugeStudy(nested)
    const told = gaugeStudy(crossed, { layout: 'nested' })
    expect(found.layout).toBe('nested')
    expect(found.shortfalls).toEqual(['parts nested'])
    expect(told.components).toEqual(found.components)
  })

  it('have the components of nested groups, checked there against lme4', () => {
    const labels = [nested.map(({ inspector }) => inspector), nested.map(({ part }) => part)].map((names) =>
      names.map((name) => names.indexOf(name)),
    )
    const reference = nestedComponents(
      nested.map(({ value }) => value),
      labels,
      0.95,
    )
    const { components } = gaugeStudy(nested)
    for (const [k, name] of (['inspector', 'part', 'repeatability'] as const).entries()) {
      expect(components[name]?.variance).toBeCloseTo(reference.components[k]?.variance as number, 9)
    }
    expect(components.gauge?.variance).toBeCloseTo(
      (components.inspector?.variance ?? 0) + (components.repeatability?.variance ?? 0),
      9,
    )
    expect(components.gauge?.sd.lower).toBeLessThan(components.gauge?.sd.value as number)
    expect(components.gauge?.sd.upper).toBeGreaterThan(components.gauge?.sd.value as number)
  })
})

describe('one inspector or a machine', () => {
  const reading = (part: string, value: number) => ({ part, inspector: 'machine', value })
  const readings = [
    reading('1', 1.1),
    reading('1', 1.3),
    reading('2', 2.0),
    reading('2', 2.4),
    reading('3', 0.4),
    reading('3', 0.2),
  ]

  it('leaves out what inspectors add', () => {
    const study = gaugeStudy(readings)
    expect(study.shortfalls).toEqual(['one inspector'])
    expect(study.components.inspector).toBeNull()
    expect(study.components.reproducibility).toBeNull()
    // By hand: within (0.02 + 0.08 + 0.02) / 3; between 2 Σ (mean − grand)² / 2 with means 1.2, 2.2, 0.3.
    expect(study.components.gauge?.variance).toBeCloseTo(0.04, 12)
    const grand = 3.7 / 3
    const between = (1.2 - grand) ** 2 + (2.2 - grand) ** 2 + (0.3 - grand) ** 2
    expect(study.components.part?.variance).toBeCloseTo((between - 0.04) / 2, 12)
  })

  it('goes by likelihood where parts were not measured equally often', () => {
    const study = gaugeStudy([...readings, reading('1', 1.25)])
    expect(study.method).toBe('restricted maximum likelihood')
    expect(study.shortfalls).toEqual(['one inspector', 'missing readings'])
    expect(study.gaugeShareOfSpread?.value).toBeGreaterThan(0)
  })
})

describe('readings that do not tell everything', () => {
  const known = (readings: readonly GaugeReading[], settings = {}) => {
    const study = gaugeStudy(readings, settings)
    return {
      shortfalls: study.shortfalls,
      told: COMPONENTS.filter((name) => study.components[name] !== null),
    }
  }
  const pick = (parts: readonly string[], inspectors: readonly string[], trials: number) => {
    const seen = new Map<string, number>()
    return GAUGE_EXAMPLE.filter(({ part, inspector }) => {
      const key = `${part} ${inspector}`
      seen.set(key, (seen.get(key) ?? 0) + 1)
      return parts.includes(part) && inspectors.includes(inspector) && (seen.get(key) as number) <= trials
    })
  }

  it('none, or one', () => {
    expect(known([])).toEqual({ shortfalls: ['too few readings'], told: [] })
    expect(known(pick(['1'], ['A'], 1))).toEqual({ shortfalls: ['too few readings'], told: [] })
  })

  it('one trial: repeatability and interaction stand together', () => {
    expect(known(pick(['1', '2', '3'], ['A', 'B'], 1))).toEqual({
      shortfalls: ['one trial'],
      told: ['repeatability', 'inspector', 'reproducibility', 'gauge', 'part', 'total'],
    })
  })

  it('one trial by one inspector: parts and gauge stand together', () => {
    expect(known(pick(['1', '2', '3'], ['A'], 1))).toEqual({
      shortfalls: ['one inspector', 'one trial'],
      told: ['total'],
    })
  })

  it('one part: no shares of spread', () => {
    const readings = pick(['1'], ['A', 'B', 'C'], 3)
    expect(known(readings)).toEqual({
      shortfalls: ['one part'],
      told: ['repeatability', 'inspector', 'reproducibility', 'gauge'],
    })
    const study = gaugeStudy(readings, { tolerance: { lower: -1, upper: 1 } })
    expect(study.gaugeShareOfSpread).toBeNull()
    expect(study.categories).toBeNull()
    expect(study.components.gauge?.shareOfSpread).toBeNull()
    expect(study.components.gauge?.shareOfTolerance?.value).toBeGreaterThan(0)
  })

  it('one part once each: the gauge in one figure', () => {
    const study = gaugeStudy(pick(['1'], ['A', 'B', 'C'], 1))
    expect(study.shortfalls).toEqual(['one part', 'one trial'])
    // Sample variance of 0.29, 0.08, 0.04.
    expect(study.components.gauge?.variance).toBeCloseTo(0.0180333333, 9)
    expect(study.components.repeatability).toBeNull()
  })

  it('one part by one inspector: repeatability alone', () => {
    expect(known(pick(['1'], ['A'], 3))).toEqual({
      shortfalls: ['one part', 'one inspector'],
      told: ['repeatability', 'gauge'],
    })
  })

  it('constant readings: nothing', () => {
    const constant = GAUGE_EXAMPLE.map((reading) => ({ ...reading, value: 1.5 }))
    expect(known(constant)).toEqual({ shortfalls: ['constant readings'], told: [] })
  })

  it('constant repeats: repeatability 0 without an upper limit', () => {
    const first = new Map(pick(['1', '2', '3'], ['A', 'B'], 1).map((r) => [r.part + r.inspector, r.value]))
    const readings = pick(['1', '2', '3'], ['A', 'B'], 3).map((r) => ({
      ...r,
      value: first.get(r.part + r.inspector) as number,
    }))
    const study = gaugeStudy(readings)
    expect(study.shortfalls).toEqual(['constant repeats'])
    expect(study.components.repeatability?.sd).toEqual({ value: 0, lower: 0, upper: null })
    expect(study.interaction).toBe('kept')
    const uneven = gaugeStudy(readings.slice(1))
    expect(uneven.shortfalls).toEqual(['constant repeats', 'missing readings', 'one trial'])
    expect(uneven.components.gauge).not.toBeNull()
  })

  it('parts and inspectors that are not linked enough, without repeats', () => {
    const reading = (part: string, inspector: string, value: number) => ({ part, inspector, value })
    const chain = [reading('1', 'A', 1), reading('2', 'A', 2), reading('2', 'B', 2.5), reading('3', 'B', 3)]
    expect(known(chain)).toEqual({
      shortfalls: ['missing readings', 'one trial', 'components mixed'],
      told: ['total'],
    })
    const nested = [reading('1', 'A', 1), reading('2', 'A', 2), reading('3', 'B', 3)]
    expect(known(nested)).toEqual({
      shortfalls: ['parts nested', 'one trial', 'components mixed'],
      told: ['total'],
    })
    const pairs = [reading('1', 'A', 1), reading('1', 'A', 1.2), reading('2', 'B', 2), reading('2', 'B', 2.1)]
    expect(known(pairs)).toEqual({
      shortfalls: ['parts nested', 'components mixed'],
      told: ['repeatability', 'total'],
    })
  })

  it('rounded until they fit together without scatter: the total alone', () => {
    const reading = (part: string, inspector: string, value: number) => ({ part, inspector, value })
    const exact = [1, 2, 3].flatMap((i) => [1, 2, 3].map((j) => reading(String(i), String(j), 2 * i + j)))
    expect(known(exact.slice(1))).toEqual({ shortfalls: ['no maximum'], told: ['total'] })
  })

  it('more uneven pairs than are analysed: the total alone, and at once', () => {
    const sd = { part: 1, inspector: 0.2, interaction: 0, repeatability: 0.2 }
    const readings = drawStudy(60, 3, 2, sd, normalSource(88))
    const uneven = gaugeStudy(readings.slice(1))
    expect(uneven.shortfalls).toEqual(['missing readings', 'too many pairs'])
    expect(uneven.components.total?.variance).toBeGreaterThan(0)
    expect(uneven.components.gauge).toBeNull()
    // Complete, or by one inspector, as many are no hindrance.
    expect(gaugeStudy(readings).components.gauge).not.toBeNull()
    const machine = gaugeStudy(drawStudy(200, 1, 2, sd, normalSource(89)).slice(1))
    expect(machine.components.gauge?.sd.value).toBeCloseTo(0.2, 1)
  })

  it('a missing cell', () => {
    const study = gaugeStudy(GAUGE_EXAMPLE.filter(({ part, inspector }) => part !== '3' || inspector !== 'B'))
    expect(study.shortfalls).toEqual(['missing readings'])
    expect(study.trials).toBeNull()
    expect(study.gaugeShareOfSpread?.value).toBeGreaterThan(0.2)
    expect(study.gaugeShareOfSpread?.value).toBeLessThan(0.35)
  })
})

describe('misuse', () => {
  const misuse: [string, () => unknown][] = [
    ['a reading that is not finite', () => gaugeStudy([{ part: '1', inspector: 'A', value: Number.NaN }])],
    ['crossed limits', () => gaugeStudy(GAUGE_EXAMPLE, { tolerance: { lower: 1, upper: 0 } })],
    ['confidence 1', () => gaugeStudy(GAUGE_EXAMPLE, { confidence: 1 })],
    ['a level above 1', () => gaugeStudy(GAUGE_EXAMPLE, { poolingLevel: 2 })],
  ]
  it.each(misuse)('%s', (_, call) => expect(call).toThrow(ArgumentError))
})

describe('any study', () => {
  const anyStudy = fc.record({
    seed: fc.integer(),
    parts: fc.integer({ min: 1, max: 5 }),
    inspectors: fc.integer({ min: 1, max: 4 }),
    trials: fc.integer({ min: 1, max: 3 }),
  })

  it('has figures inside their limits, and components that add up', () => {
    fc.assert(
      fc.property(anyStudy, ({ seed, parts, inspectors, trials }) => {
        const sd = { part: 0.05, inspector: 0.02, interaction: 0.01, repeatability: 0.02 }
        const study = gaugeStudy(drawStudy(parts, inspectors, trials, sd, normalSource(seed)))
        const figures = COMPONENTS.flatMap((name) => study.components[name]?.sd ?? [])
        for (const { value, lower, upper } of [
          ...figures,
          ...[study.gaugeShareOfSpread, study.categories].filter((f) => f !== null),
        ]) {
          expect(lower).toBeGreaterThanOrEqual(0)
          expect(lower).toBeLessThanOrEqual(value)
          expect(upper ?? Number.POSITIVE_INFINITY).toBeGreaterThanOrEqual(value)
        }
        const { total, gauge, part } = study.components
        if (total !== null && gauge !== null && part !== null) {
          expect(total.variance).toBeCloseTo(gauge.variance + part.variance, 12)
        }
      }),
      { numRuns: 60 },
    )
  })

  it('does not depend on the order of readings, and scales with the unit', () => {
    fc.assert(
      fc.property(fc.integer(), fc.integer({ min: 0, max: 3 }), (seed, missing) => {
        const sd = { part: 0.05, inspector: 0.02, interaction: 0.02, repeatability: 0.02 }
        const readings = drawStudy(4, 3, 2, sd, normalSource(seed)).slice(missing)
        const study = gaugeStudy(readings)
        const other = gaugeStudy(
          readings.map((reading) => ({ ...reading, value: 25.4 * reading.value - 3 })).reverse(),
        )
        for (const name of COMPONENTS) {
          const a = study.components[name]?.sd
          const b = other.components[name]?.sd
          expect(b?.value ?? 0).toBeCloseTo(25.4 * (a?.value ?? 0), 4)
          expect(b?.lower ?? 0).toBeCloseTo(25.4 * (a?.lower ?? 0), 4)
        }
      }),
      { numRuns: 6 },
    )
  })
})
