import { describe, expect, it } from 'vitest'
import { generateShop, type Shop } from '../../sample-data/generate-shop.ts'
import { sigmaOfBuildMean } from '../../sample-data/physics.ts'
import { PLANTED_IDS } from '../../sample-data/planted.ts'
import { isLinear, PART_NUMBERS } from '../../sample-data/shop.ts'
import { mean, standardDeviation } from './plain-charts.ts'

const SEEDS = Array.from({ length: 24 }, (_, i) => i + 1)
const quiet: Shop[] = SEEDS.map((seed) => generateShop(seed, { leaveOut: PLANTED_IDS }))

describe('a shop in control', () => {
  it('has independent builds: no correlation of one with the next', () => {
    // Lag-one correlation of n independent values has mean −1/n and variance near 1/n.
    const correlations = quiet.flatMap(({ truth }) =>
      (['X', 'Y', 'Z'] as const).map((axis) => {
        const values = truth.builds.map(({ shrinkage }) => shrinkage[axis])
        const off = values.map((value) => value - mean(values))
        const lagged = off.slice(1).reduce((sum, value, i) => sum + value * (off[i] as number), 0)
        return lagged / off.reduce((sum, value) => sum + value * value, 0)
      }),
    )
    const error = 1 / Math.sqrt(60 * correlations.length)
    expect(Math.abs(mean(correlations) + 1 / 60)).toBeLessThan(4 * error)
  })

  it('has build means that scatter as the stated sigma says', () => {
    for (const { partNumber, characteristics } of PART_NUMBERS)
      for (const of of characteristics.filter(isLinear)) {
        const ratios = quiet.map(({ builds, measurements }) => {
          const perBuild = builds.map(({ build }) =>
            measurements
              .filter((row) => row.build === build && row.stage === 'sintered')
              .filter((row) => row.partNumber === partNumber && row.characteristic === of.designator)
              .map(({ value }) => value),
          )
          const centre = mean(perBuild.map(mean))
          return standardDeviation(
            perBuild.map((values) => (mean(values) - centre) / sigmaOfBuildMean(of, values.length)),
          )
        })
        // 24 × 59 degrees of freedom: a standard deviation is sure to 1.9 %.
        expect(Math.abs(mean(ratios) - 1), `${partNumber} ${of.designator}`).toBeLessThan(0.08)
      }
  })
})

describe('left-out causes', () => {
  it('are not recorded and leave no effect in the truth', () => {
    for (const { planted, truth } of quiet) {
      expect(planted).toEqual([])
      for (const build of truth.builds) {
        expect(build.planted).toEqual({ X: 0, Y: 0, Z: 0 })
        expect(build.scatterFactor).toBe(1)
      }
    }
  })

  it('change no row before they begin, and leave the other causes in', () => {
    const whole = generateShop(7)
    for (const id of PLANTED_IDS) {
      const without = generateShop(7, { leaveOut: [id] })
      const start = whole.planted.find((cause) => cause.id === id)?.firstBuild as string
      const earlier = (shop: Shop) => shop.measurements.filter((row) => row.build < start)
      expect(earlier(without)).toEqual(earlier(whole))
      expect(without.measurements).not.toEqual(whole.measurements)
      expect(without.planted.map((cause) => cause.id)).toEqual(PLANTED_IDS.filter((other) => other !== id))
    }
  })
})

describe('truth', () => {
  it('has the powder step in shrinkage along Z and in nothing else', () => {
    const whole = generateShop(3)
    const without = generateShop(3, { leaveOut: ['powder-lot-step'] })
    whole.truth.builds.forEach((build, i) => {
      const other = without.truth.builds[i]?.shrinkage as { X: number; Y: number; Z: number }
      const size = (1 - build.shrinkage.Z) / (1 - other.Z)
      expect(build.shrinkage.X).toBe(other.X)
      expect(build.shrinkage.Y).toBe(other.Y)
      expect(size - 1).toBeCloseTo(build.build >= '0441' ? -0.0012 : 0, 5)
    })
  })

  it('is what the ratio of sintered to green size shows', () => {
    for (const [designator, axis] of [
      ['1', 'X'],
      ['2', 'Y'],
      ['3', 'Z'],
    ] as const) {
      const differences = quiet.flatMap(({ measurements, truth }) => {
        const green = measurements.filter((row) => row.stage === 'green' && row.characteristic === designator)
        return green.map((row) => {
          const sintered = measurements.find(
            (m) =>
              m.stage === 'sintered' &&
              m.serial === row.serial &&
              m.partNumber === row.partNumber &&
              m.characteristic === designator,
          )
          const build = truth.builds.find((b) => b.build === row.build)
          return 1 - (sintered?.value as number) / row.value - (build?.shrinkage[axis] as number)
        })
      })
      const error = standardDeviation(differences) / Math.sqrt(differences.length)
      expect(differences.length).toBeGreaterThan(1000)
      expect(Math.abs(mean(differences)), axis).toBeLessThan(4 * error)
    }
  })
})
