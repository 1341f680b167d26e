import { describe, expect, it } from 'vitest'
import { hotellingChart } from '../../../src/charts/hotelling.ts'
import { ArgumentError } from '../../../src/errors.ts'
import { normalSource } from '../run-length/simulation.ts'

/**
 * Reference: R's own mahalanobis(), cov(), qbeta() and qf() on the first three columns of datasets::iris,
 * setosa (50 flowers, E. Anderson's open data), baseline the first 40:
 *   x <- as.matrix(iris[1:50, 1:3]); b <- x[1:40, ]; m <- 40; p <- 3
 *   mahalanobis(x, colMeans(b), cov(b))[c(1, 42, 45)]
 *   (m-1)^2/m * qbeta(.99, p/2, (m-p-1)/2); p*(m+1)*(m-1)/(m*(m-p)) * qf(.99, p, m-p)
 */
const SETOSA: readonly (readonly number[])[] = [
  [5.1, 3.5, 1.4],
  [4.9, 3, 1.4],
  [4.7, 3.2, 1.3],
  [4.6, 3.1, 1.5],
  [5, 3.6, 1.4],
  [5.4, 3.9, 1.7],
  [4.6, 3.4, 1.4],
  [5, 3.4, 1.5],
  [4.4, 2.9, 1.4],
  [4.9, 3.1, 1.5],
  [5.4, 3.7, 1.5],
  [4.8, 3.4, 1.6],
  [4.8, 3, 1.4],
  [4.3, 3, 1.1],
  [5.8, 4, 1.2],
  [5.7, 4.4, 1.5],
  [5.4, 3.9, 1.3],
  [5.1, 3.5, 1.4],
  [5.7, 3.8, 1.7],
  [5.1, 3.8, 1.5],
  [5.4, 3.4, 1.7],
  [5.1, 3.7, 1.5],
  [4.6, 3.6, 1],
  [5.1, 3.3, 1.7],
  [4.8, 3.4, 1.9],
  [5, 3, 1.6],
  [5, 3.4, 1.6],
  [5.2, 3.5, 1.5],
  [5.2, 3.4, 1.4],
  [4.7, 3.2, 1.6],
  [4.8, 3.1, 1.6],
  [5.4, 3.4, 1.5],
  [5.2, 4.1, 1.5],
  [5.5, 4.2, 1.4],
  [4.9, 3.1, 1.5],
  [5, 3.2, 1.2],
  [5.5, 3.5, 1.3],
  [4.9, 3.6, 1.4],
  [4.4, 3, 1.3],
  [5.1, 3.4, 1.5],
  [5, 3.5, 1.3],
  [4.5, 2.3, 1.3],
  [4.4, 3.2, 1.3],
  [5, 3.5, 1.6],
  [5.1, 3.8, 1.9],
  [4.8, 3, 1.4],
  [5.1, 3.8, 1.6],
  [4.6, 3.2, 1.4],
  [5.3, 3.7, 1.5],
  [5, 3.3, 1.4],
]

describe('T² of iris setosa, against R', () => {
  const chart = hotellingChart(SETOSA, 40, 0.01)

  it('has R’s distances', () => {
    expect(chart.points[0]?.t2).toBeCloseTo(0.190595522903392, 9)
    expect(chart.points[41]?.t2).toBeCloseTo(13.525271868961219, 9)
    expect(chart.points[44]?.t2).toBeCloseTo(9.819762611553099, 9)
  })

  it('has R’s limits', () => {
    expect(chart.baselineLimit).toBeCloseTo(10.1629168464745, 9)
    expect(chart.laterLimit).toBeCloseTo(14.1302110491332, 9)
  })
})

describe('what moved', () => {
  it('is named: the two of six characteristics that were shifted', () => {
    const normal = normalSource(11)
    const build = (shift: readonly number[]) => {
      const common = normal()
      return shift.map((s) => s + common + normal())
    }
    const quiet = [0, 0, 0, 0, 0, 0]
    const rows = [...Array.from({ length: 60 }, () => build(quiet)), build([0, 9, 0, 0, -9, 0])]
    const last = hotellingChart(rows, 60, 0.001).points[60]
    expect([...(last?.moved ?? [])].sort()).toEqual([1, 4])
    expect(last?.p).toBeLessThan(1e-6)
  })

  it('signals at the stated rate where nothing moved', () => {
    const normal = normalSource(5)
    let outside = 0
    const repeats = 4000
    for (let i = 0; i < repeats; i++) {
      const rows = Array.from({ length: 21 }, () => [normal(), normal(), normal()])
      const chart = hotellingChart(rows, 20, 0.05)
      if ((chart.points[20]?.t2 ?? 0) > chart.laterLimit) outside++
    }
    // Standard error 0.0034
    expect(Math.abs(outside / repeats - 0.05)).toBeLessThan(0.0104)
  })

  it('does not depend on units', () => {
    const scaled = SETOSA.map(([a, b, c]) => [10 * (a as number) + 3, b as number, -(c as number)])
    const plain = hotellingChart(SETOSA, 40, 0.01)
    for (const [i, point] of hotellingChart(scaled, 40, 0.01).points.entries()) {
      expect(point.t2).toBeCloseTo(plain.points[i]?.t2 as number, 8)
    }
  })
})

describe('what cannot be charted', () => {
  it('is named', () => {
    expect(() => hotellingChart([], 5, 0.01)).toThrow(ArgumentError)
    expect(() => hotellingChart(SETOSA, 4, 0.01)).toThrow(/4 builds do not do for 3/)
    expect(() =>
      hotellingChart(
        SETOSA.map(([a, b]) => [a as number, b as number, (a as number) + (b as number)]),
        40,
        0.01,
      ),
    ).toThrow(/follows exactly/)
    expect(() => hotellingChart([[1, 2], [1], [1, 2], [2, 3]], 4, 0.01)).toThrow(/row 2 has 1/)
  })
})
