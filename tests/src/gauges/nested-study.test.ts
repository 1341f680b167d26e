import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { gaugeStudy } from '../../../src/gauges/gauge-study.ts'
import type { GaugeReading } from '../../../src/gauges/readings.ts'
import type { StudyFigure } from '../../../src/gauges/study-model.ts'
import { normalSource } from '../run-length/simulation.ts'

/** Values by tests/reference/gauges/nested.R: R's analysis of variance, and lme4. */
interface Reference {
  readonly name: string
  readonly part: readonly number[]
  readonly inspector: readonly number[]
  readonly values: readonly number[]
  readonly variances: Readonly<Record<'inspector' | 'part' | 'repeatability', number>>
  readonly analysis?: {
    readonly df: readonly number[]
    readonly sumOfSquares: readonly number[]
    readonly f: readonly number[]
    readonly p: readonly number[]
  }
}

const { sets }: { sets: readonly Reference[] } = JSON.parse(
  readFileSync(new URL('../../reference/gauges/nested.json', import.meta.url), 'utf8'),
)
const NAMES = ['inspector', 'part', 'repeatability'] as const

function readingsOf({ values, part, inspector }: Reference): GaugeReading[] {
  return values.map((value, i) => ({
    part: `${inspector[i]}/${part[i]}`,
    inspector: `${inspector[i]}`,
    value,
  }))
}

describe.each(sets)('parts of every inspector’s own, $name', (set) => {
  const readings = readingsOf(set)
  const study = gaugeStudy(readings)

  it('has the variances of lme4', () => {
    for (const name of NAMES) {
      expect((study.components[name]?.variance as number) / set.variances[name]).toBeCloseTo(1, 6)
    }
  })

  it(set.analysis === undefined ? 'is fitted by likelihood' : 'has the analysis of variance of R', () => {
    expect(study.method).toBe(
      set.analysis === undefined ? 'restricted maximum likelihood' : 'analysis of variance',
    )
    if (set.analysis === undefined) return
    const { df, sumOfSquares, f, p } = set.analysis
    expect(study.analysis.map(({ source }) => source)).toEqual(NAMES)
    for (const [k, line] of study.analysis.entries()) {
      expect(line.df).toBe(df[k])
      expect(line.sumOfSquares / (sumOfSquares[k] as number)).toBeCloseTo(1, 10)
      if (k === 2) expect(line).toMatchObject({ f: null, p: null })
      else {
        expect((line.f as number) / (f[k] as number)).toBeCloseTo(1, 9)
        expect((line.p as number) / (p[k] as number)).toBeCloseTo(1, 9)
      }
    }
  })

  it('says by likelihood, asked for, what it says by analysis of variance', () => {
    const { components, method } = gaugeStudy(readings, { method: 'restricted maximum likelihood' })
    expect(method).toBe('restricted maximum likelihood')
    for (const name of [...NAMES, 'gauge', 'total'] as const) {
      expect(
        (components[name]?.variance as number) / (study.components[name]?.variance as number),
      ).toBeCloseTo(1, 6)
    }
  })
})

describe('parts of every inspector’s own', () => {
  const [whole] = sets as [Reference]
  const readings = readingsOf(whole)

  it('are analysed the same whatever order they come in and wherever they lie', () => {
    const study = gaugeStudy(readings)
    const moved = gaugeStudy(readings.map((each) => ({ ...each, value: each.value + 1000 })).reverse())
    for (const name of NAMES) {
      expect(
        (moved.components[name]?.variance as number) / (study.components[name]?.variance as number),
      ).toBeCloseTo(1, 8)
    }
  })

  it.each([
    ['a reading less', readings.slice(1)],
    ['a part less', readings.slice(3)],
  ])('%s, are fitted by likelihood', (_, fewer) => {
    expect(gaugeStudy(fewer).method).toBe('restricted maximum likelihood')
  })

  it('have no inspectors’ spread where their parts differ by more than they do', () => {
    const alike = ['a', 'b', 'c'].flatMap((inspector, j) =>
      [1, 2, 3].flatMap((part) =>
        [-0.1, 0.1].map((off) => ({ part: `${inspector}${part}`, inspector, value: part + j / 5 + off })),
      ),
    )
    const { components } = gaugeStudy(alike)
    expect(components.inspector?.sd).toMatchObject({ value: 0, lower: 0 })
    expect(components.inspector?.sd.upper).toBeGreaterThan(0)
    expect(components.part?.variance).toBeCloseTo(1 - 0.02 / 2, 10)
    // The gauge holds its own repeatability, and so do their limits.
    expect(components.gauge?.sd.lower).toBe(components.repeatability?.sd.lower)
    expect(components.gauge?.sd.lower).toBeGreaterThan(0.05)
  })

  it('have intervals that hold 93 to 97 % of the time, in 2,000 made-up studies', () => {
    const normal = normalSource(84)
    const sd = { inspector: 0.3, part: 1, repeatability: 0.25 }
    const gauge = Math.hypot(sd.inspector, sd.repeatability)
    const truth = { ...sd, gauge, total: Math.hypot(gauge, sd.part) }
    const names = Object.keys(truth) as (keyof typeof truth)[]
    const hits = new Map<string, number>()
    const count = (name: string, figure: StudyFigure | null | undefined, value: number) => {
      const covers = !!figure && figure.lower <= value && (figure.upper ?? Number.POSITIVE_INFINITY) >= value
      if (covers) hits.set(name, (hits.get(name) ?? 0) + 1)
    }
    const studies = 2000
    for (let s = 0; s < studies; s++) {
      const drawn = ['a', 'b', 'c'].flatMap((inspector) => {
        const offset = sd.inspector * normal()
        return [1, 2, 3, 4, 5].flatMap((part) => {
          const size = offset + sd.part * normal()
          return [1, 2, 3].map(() => ({
            part: `${inspector}${part}`,
            inspector,
            value: size + sd.repeatability * normal(),
          }))
        })
      })
      const { components, gaugeShareOfSpread } = gaugeStudy(drawn)
      expect(components.gauge?.sd.lower).toBeGreaterThanOrEqual(components.repeatability?.sd.lower as number)
      expect(gaugeShareOfSpread?.lower).toBeGreaterThan(0)
      for (const name of names) count(name, components[name]?.sd, truth[name])
      count('share', gaugeShareOfSpread, gauge / truth.total)
    }
    for (const name of [...names, 'share']) {
      const coverage = (hits.get(name) ?? 0) / studies
      expect(coverage, name).toBeGreaterThan(0.93)
      expect(coverage, name).toBeLessThan(0.97)
    }
  })
})
