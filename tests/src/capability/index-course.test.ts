import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { indexCourse } from '../../../src/capability/index-course.ts'
import { summariseCapability } from '../../../src/capability/summarise.ts'
import type { Characteristic } from '../../../src/domain/characteristic.ts'
import { draws } from './draws.ts'
import { FLATNESS, judgedBuilds, LENGTH } from './judged-builds.ts'

/** What values of builds in their order are judged on, with the values themselves. */
function course(characteristic: Characteristic, builds: readonly (readonly number[])[], window?: number) {
  const { basis, value, build } = judgedBuilds(characteristic, builds)
  return {
    basis,
    found: indexCourse(
      basis,
      (wanted) => ({
        value: value.filter((_, i) => wanted.has(build[i] as number)),
        build: build.filter((each) => wanted.has(each)),
      }),
      window,
    ),
  }
}

describe('the index over time', () => {
  it('is Ppk of the builds of each window, worked by hand', () => {
    // 9.99 and 10.01 in each build: of 2 k values s = 0.01 √(2k / (2k − 1)), and Ppk = 0.1 / 3s. From the 31st build on ± 0.02.
    const builds = Array.from({ length: 60 }, (_, i) => (i < 30 ? [9.99, 10.01] : [9.98, 10.02]))
    const { found } = course(LENGTH, builds)
    const s = Math.sqrt(50 / 49)
    expect(found?.points).toHaveLength(36)
    expect(found?.points[0]).toMatchObject({ from: 0, to: 24, n: 50 })
    expect(found?.points[0]?.index?.value).toBeCloseTo(0.1 / (0.03 * s), 10)
    expect(found?.points.at(-1)).toMatchObject({ from: 35, to: 59, n: 50 })
    expect(found?.points.at(-1)?.index?.value).toBeCloseTo(0.1 / (0.06 * s), 10)
  })

  it('has the index of the summary where the window is everything but one build', () => {
    const { normal } = draws(5)
    const builds = Array.from({ length: 31 }, () => Array.from({ length: 5 }, () => 10 + 0.02 * normal()))
    const { basis, found } = course(LENGTH, builds, 30)
    const last = summariseCapability({ ...basis, groups: basis.groups.slice(1) })
    expect(found?.points).toHaveLength(2)
    expect(found?.points[1]?.index).toEqual(last?.ppk)
    expect(found?.points[1]?.fittedTo).toBeNull()
  })

  it('keeps the family of all builds where they are not normal, fitted to each window', () => {
    const { normal } = draws(7)
    const builds = Array.from({ length: 50 }, (_, i) =>
      Array.from({ length: 5 }, () => Math.abs((i < 25 ? 0.01 : 0.02) * normal())),
    )
    const { basis, found } = course(FLATNESS, builds)
    expect(basis.shape?.byQuantiles).not.toBeNull()
    const { family } = basis.shape?.fitted ?? {}
    expect(family).toMatch(/folded normal|Rayleigh|Weibull|gamma|lognormal/)
    const [first, last] = [found?.points[0]?.index, found?.points.at(-1)?.index]
    // The second half scatters twice as much; the intervals are those of profile likelihood, narrower than a factor of two.
    expect((first?.lower ?? 0) > (last?.upper ?? 9)).toBe(true)
    expect(found?.points.length).toBeLessThanOrEqual(24)
    expect(found?.points[0]).toMatchObject({ n: 125, fittedTo: 125 })
  })

  it('says to how many values of a window its distribution was fitted, where they are a sample', () => {
    const { normal } = draws(11)
    const builds = Array.from({ length: 30 }, () =>
      Array.from({ length: 8 }, () => Math.abs(0.01 * normal())),
    )
    const { basis, value, build } = judgedBuilds(FLATNESS, builds)
    const found = indexCourse(basis, (wanted) => {
      const places = [...build.keys()].filter((i) => i % 2 === 0 && wanted.has(build[i] as number))
      return { value: places.map((i) => value[i] as number), build: places.map((i) => build[i] as number) }
    })
    expect(found?.points.at(-1)).toMatchObject({ n: 200, fittedTo: 100 })
  })

  it('ends with the last build, in steps that keep the windows few', () => {
    fc.assert(
      fc.property(fc.integer({ min: 26, max: 200 }), (count) => {
        const { found } = course(
          LENGTH,
          Array.from({ length: count }, (_, i) => [9.99, 10.01 + 0.001 * (i % 3)]),
        )
        const points = found?.points ?? []
        expect(points.length).toBeGreaterThan(0)
        expect(points.length).toBeLessThanOrEqual(60)
        expect(points.at(-1)?.to).toBe(count - 1)
        for (const [i, point] of points.entries()) {
          expect(point.to - point.from).toBe(24)
          if (i > 0) expect(point.from - (points[i - 1]?.from ?? 0)).toBe(found?.step)
        }
        expect(points[0]?.from).toBeLessThan(found?.step ?? 0)
      }),
      { numRuns: 5 },
    )
  })

  it('is none where a window would hold every build', () => {
    const builds = Array.from({ length: 25 }, () => [9.99, 10.01])
    expect(course(LENGTH, builds).found).toBeNull()
  })
})
