import { beforeEach, describe, expect, it } from 'vitest'
import { StaleDecisionError } from '../../../server/store/decision-writes.ts'
import type { FactorDecision } from '../../../server/store/factor-decisions.ts'
import type { Store } from '../../../server/store/store.ts'
import { DEFAULT_ADJUSTMENT } from '../../../src/shrinkage/adjustment.ts'

const decision: Omit<FactorDecision, 'id' | 'takenBack'> = {
  firstBuild: 'not printed yet',
  afterBuildId: 1,
  before: { x: 1.18, y: null, z: 1.2 },
  factors: { x: 1.1812, y: 1.19, z: 1.2 },
  advised: { x: 1.1811, y: null, z: 1.2 },
  predictions: [],
  reason: '=1+1, small along X',
  who: 'Ines Quark',
  at: 1_790_000_100,
}

/**
 * What every store must do for the page on shrinkage.
 *
 * @param filled the store, with values 10.1 of S10 and 10.3, 10.2 of S9 of characteristic 1 in build 1
 */
export function factorsContract(filled: () => Promise<Store>): void {
  describe('decisions about scale factors', () => {
    let store: Store
    beforeEach(async () => {
      store = await filled()
    })
    const decide = (last: number | null) =>
      store.write((writer) => writer.addFactorDecision(1, decision, last))

    it('are none at first', async () => expect(await store.factorDecisions(1)).toEqual([]))

    it('are kept as they were taken, one after another', async () => {
      expect(await decide(null)).toBe(1)
      expect(await decide(1)).toBe(2)
      expect(await store.factorDecisions(1)).toEqual([
        { id: 1, ...decision, takenBack: null },
        { id: 2, ...decision, takenBack: null },
      ])
      expect(await store.factorDecisions(2)).toEqual([])
    })

    it('are refused on the sight of an older one, and nothing is written', async () => {
      await decide(null)
      await expect(decide(null)).rejects.toThrow(StaleDecisionError)
      await expect(decide(7)).rejects.toThrow(StaleDecisionError)
      expect(await store.factorDecisions(1)).toHaveLength(1)
    })

    it('are taken back once, with the reason, and stay on record', async () => {
      await decide(null)
      await decide(1)
      const why = { reason: '=2+2, not printed after all', who: 'Ines Quark', at: 1_790_000_200 }
      const back = () => store.write((writer) => writer.takeFactorsBack(1, 1, why))
      await back()
      expect((await store.factorDecisions(1)).map(({ takenBack }) => takenBack)).toEqual([why, null])
      await expect(back()).rejects.toThrow(StaleDecisionError)
    })

    it('stand beside settings, kept version by version', async () => {
      const settings = {
        adjustment: { ...DEFAULT_ADJUSTMENT, leastBuilds: 40 },
        told: [{ characteristicId: 1, along: 'XY', sense: -1, counts: false }],
        reason: 'trial builds cost a week',
        who: 'Ines Quark',
        at: 1_790_000_300,
      } as const
      expect(await store.shrinkageSettings(1)).toEqual([])
      const add = (version: number) =>
        store.write((writer) => writer.addShrinkageSettings(1, { ...settings, version }))
      await add(1)
      await add(2)
      await expect(add(2)).rejects.toThrow(StaleDecisionError)
      expect(await store.shrinkageSettings(1)).toEqual([
        { ...settings, version: 1 },
        { ...settings, version: 2 },
      ])
      expect(await store.shrinkageSettings(2)).toEqual([])
    })

    it('have single values read by part: the mean of repeats, without what is left out', async () => {
      const values = async () =>
        (await store.placedPartValues([1], [1])).toSorted((a, b) => (a.part < b.part ? -1 : 1))
      const [first, second] = await values()
      expect(first).toMatchObject({ characteristicId: 1, buildId: 1, part: 'S10', value: 10.1, bed: null })
      expect(second?.part).toBe('S9')
      expect(second?.value).toBeCloseTo(10.25, 12)
      await store.write((writer) =>
        writer.leaveOut(
          {
            characteristicId: 1,
            stage: 'sintered',
            buildId: 1,
            single: { serial: 'S9', replicate: 2 },
          },
          { reason: 'mistyped', who: 'Ines Quark', at: 1 },
        ),
      )
      expect((await values())[1]?.value).toBeCloseTo(10.3, 12)
      expect(await store.placedPartValues([], [1])).toEqual([])
    })

    it('await builds that are printed later and not measured', async () => {
      await store.write((writer) =>
        writer.put('build', [
          {
            id: 90,
            name: 'later',
            printed_at: 2_000_000_000,
            printer: null,
            build_box: null,
            powder_lot: null,
            powder_reuse: null,
            scale_x: 1.18,
            scale_y: 1.19,
            scale_z: 1.2,
            conditions: '{}',
          },
        ]),
      )
      const awaited = await store.buildsAwaited(1, { name: 'b', printedAt: 1_999_999_999 }, 5)
      expect(awaited.map(({ name }) => name)).toContain('later')
      expect(await store.buildsAwaited(1, { name: 'z', printedAt: null }, 5)).toEqual([])
    })
  })
}
