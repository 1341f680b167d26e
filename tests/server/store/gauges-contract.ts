import { beforeEach, describe, expect, it } from 'vitest'
import { StaleDecisionError } from '../../../server/store/decision-writes.ts'
import type { GaugeEntry } from '../../../server/store/gauge-register.ts'
import type { Store } from '../../../server/store/store.ts'

const entry: GaugeEntry = {
  version: 1,
  kind: 'caliper',
  unit: 'mm',
  resolution: 0.01,
  certificate: { number: 'K 17', expanded: 0.008, coverageFactor: 2, date: '2026-02-01' },
  due: '2027-02-01',
  characteristicIds: [1],
  inUse: true,
  reason: 'new',
  who: 'Ines Quark',
  at: 1_790_000_100,
}

const plan = {
  characteristicId: 1,
  gaugeId: null,
  parts: ['1', '2'],
  inspectors: ['Ines Quark', 'Emil Rau'],
  trials: 2,
  seed: 20260901,
  who: 'Ines Quark',
  at: 1_790_000_100,
}

const file = {
  file_name: 'study.csv',
  bytes: 1,
  kind: 'gauge-study' as const,
  verdict: 'taken' as const,
  who: 'Ines Quark',
  rows_read: 2,
  rows_taken: 2,
  rows_refused: 0,
  out_of_specification: 0,
  receipt: '{"kind":"gauge-study"}',
}

/**
 * What every store must do for gauges.
 *
 * @param filled the store, with values of characteristic 1 in build 1
 */
export function gaugesContract(filled: () => Promise<Store>): void {
  describe('gauges and their studies', () => {
    let store: Store
    beforeEach(async () => {
      store = await filled()
    })
    const bring = (id: number, sha256: string, at: number) =>
      store.write(async (writer) => {
        const row = { ...file, id, sha256, at }
        await writer.beginImport(row)
        const study = await writer.nextGaugeStudy()
        const reading = {
          study_id: study,
          line: 2,
          part: '1',
          inspector: '',
          trial: 1,
          value: 12.371,
          gauge_id: null,
          reference: null,
          measured_at: null,
        }
        await writer.addGaugeStudies(
          [{ id: study, import_id: id, plan_id: null, characteristic_id: 1 }],
          [
            { ...reading, number: 1 },
            { ...reading, number: 2, line: 3, trial: null, reference: 12.37, measured_at: 1_790_000_000 },
          ],
        )
        await writer.concludeImport(row, [1])
      })

    it('keep what was said of a gauge, version after version, and refuse an older sight', async () => {
      const id = await store.write((writer) => writer.addGaugeEntry('caliper 3', entry))
      expect(await store.write((writer) => writer.addGaugeEntry('caliper 3', { ...entry, version: 2 }))).toBe(
        id,
      )
      await expect(store.write((writer) => writer.addGaugeEntry('caliper 3', entry))).rejects.toThrow(
        StaleDecisionError,
      )
      const gauge = (await store.gauges()).find(({ name }) => name === 'caliper 3')
      expect(gauge).toEqual({ id, name: 'caliper 3', entries: [entry, { ...entry, version: 2 }] })
    })

    it('keep plans in the order in which they were made', async () => {
      expect(await store.write((writer) => writer.addGaugePlan(plan))).toBe(1)
      expect(await store.write((writer) => writer.addGaugePlan({ ...plan, trials: 3 }))).toBe(2)
      expect(await store.gaugePlans()).toEqual([
        { id: 1, ...plan },
        { id: 2, ...plan, trials: 3 },
      ])
    })

    it('keep readings apart from measurements: no cell moves', async () => {
      const cells = await store.cells(1, 'sintered')
      await bring(50, 'd'.repeat(64), 1_790_000_200)
      expect(await store.cells(1, 'sintered')).toEqual(cells)
      const [study] = await store.gaugeStudies()
      expect(study).toMatchObject({ importId: 50, planId: null, characteristicId: 1, fileName: 'study.csv' })
      expect(await store.gaugeReadings([study?.id as number])).toEqual([
        {
          studyId: study?.id,
          line: 2,
          part: '1',
          inspector: '',
          trial: 1,
          value: 12.371,
          gaugeId: null,
          reference: null,
          measuredAt: null,
        },
        {
          studyId: study?.id,
          line: 3,
          part: '1',
          inspector: '',
          trial: null,
          value: 12.371,
          gaugeId: null,
          reference: 12.37,
          measuredAt: 1_790_000_000,
        },
      ])
    })

    it('tell which gauges measured a characteristic in a build', async () => {
      expect(await store.gaugesOfBuilds(1, 'sintered', [])).toEqual(new Map())
      // Build 3 holds a value without a gauge.
      expect(await store.gaugesOfBuilds(1, 'sintered', [1, 2, 3])).toEqual(
        new Map([
          [1, ['CMM-1']],
          [2, ['CMM-1']],
        ]),
      )
      expect(await store.gaugesOfBuilds(1, 'green', [1])).toEqual(new Map())
    })

    it('let a study be withdrawn, after which it counts no more and its file may come again', async () => {
      await bring(50, 'd'.repeat(64), 1_790_000_200)
      const withdrawal = { who: 'Ines Quark', reason: 'wrong gauge', at: 1_790_000_300 }
      expect(await store.write((writer) => writer.withdraw(50, withdrawal))).toMatchObject({
        withdrawn: withdrawal,
      })
      expect(await store.gaugeStudies()).toEqual([])
      expect(await store.write((writer) => writer.withdraw(50, withdrawal))).toBeNull()
      await bring(51, 'd'.repeat(64), 1_790_000_400)
      expect((await store.gaugeStudies()).map(({ importId }) => importId)).toEqual([51])
    })
  })
}
