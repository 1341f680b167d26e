import { describe, expect, it } from 'vitest'
import { generateShop } from '../../../sample-data/generate-shop.ts'
import { PLANTED_IDS } from '../../../sample-data/planted.ts'
import { conditionSplits } from '../../../src/shrinkage/condition-splits.ts'
import { fitShrinkage } from '../../../src/shrinkage/fit.ts'
import { shrinkageSeries } from '../../../src/shrinkage/series.ts'
import { shopData } from './shop-data.ts'

const shop = generateShop(21, { leaveOut: PLANTED_IDS.filter((id) => id !== 'powder-lot-step') })
const fit = fitShrinkage(shopData(shop))
const conditions = shop.builds.map(({ number, powderLot }) => ({
  buildId: number,
  powderLot,
  powderReuse: number % 3,
  furnace: null,
}))

describe('shrinkage against what builds were run with', () => {
  const splits = conditionSplits(fit, 'Z', conditions)

  it('compares the means of builds by group, each against the mean of the groups', () => {
    const lots = splits.find(({ by }) => by === 'powder lot')?.groups ?? []
    const { buildIds, values } = shrinkageSeries(fit, 'Z')
    const mean = (lot: string) => {
      const own = buildIds.flatMap((id, i) =>
        conditions.find(({ buildId }) => buildId === id)?.powderLot === lot
          ? [100 * (values[i] as number)]
          : [],
      )
      return own.reduce((sum, value) => sum + value, 0) / own.length
    }
    const [first] = lots
    for (const lot of lots)
      expect((lot.value ?? 0) - (first?.value ?? 0)).toBeCloseTo(mean(lot.name) - mean(first?.name ?? ''), 10)
    // 0.12 % more along Z with K8 (sample-data/planted.ts).
    const k8 = lots.find(({ name }) => name === 'K8')
    expect(k8?.surely).toBe(true)
    expect(k8?.value).toBeGreaterThan(0)
  })

  it('keeps numbers of reuses in their order, and leaves out what is not recorded', () => {
    expect(splits.map(({ by }) => by)).toEqual(['powder lot', 'powder reuse'])
    expect(splits[1]?.groups.map(({ name }) => name)).toEqual(['0', '1', '2'])
    expect(splits[1]?.groups.some(({ surely }) => surely)).toBe(false)
    expect(conditionSplits(fit, 'Z', [])).toEqual([])
  })
})
