import { createHash } from 'node:crypto'
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { takeIn } from '../../../server/intake/take-in.ts'
import type { Store } from '../../../server/store/store.ts'
import { DEFAULT_STUDY } from '../../../src/charts/study.ts'

const HEADINGS =
  'part number,revision,serial,build,furnace load,characteristic,kind,tolerance,bonus,value,measured at,stage'
const AT = 1_790_000_100

/** A row of a position of 0.2 at maximum material condition. */
const row = (serial: string, bonus: number, value: number, at = '2026-11-01 08:00', load = '') =>
  `P-9,A,${serial},B90,${load},5,position,0.2,${bonus},${value},${at},sintered`

/**
 * What every store must do with limits of a part's own.
 *
 * @param opened the store, on an empty database
 */
export function ownLimitsContract(opened: () => Store): void {
  describe('limits of a part’s own', () => {
    let folder: string
    let store: Store
    beforeEach(() => {
      folder = mkdtempSync(join(tmpdir(), 'as-sintered-own-'))
      store = opened()
    })
    afterEach(() => rmSync(folder, { recursive: true, force: true }))

    const bring = async (...rows: string[]) => {
      const content = [HEADINGS, ...rows].join('\n')
      const path = join(folder, 'brought')
      writeFileSync(path, content)
      return await takeIn(
        store,
        {
          path,
          fileName: 'brought.csv',
          bytes: content.length,
          sha256: createHash('sha256').update(content).digest('hex'),
          isOurs: false,
        },
        {
          who: 'Ines Quark',
          takeGoodRows: false,
          convertUnits: false,
          partNumber: null,
          revision: null,
          doubts: { all: 'keep' },
        },
        { filesFolder: join(folder, 'files') },
      )
    }
    const values = async () => {
      const [characteristic] = await store.characteristics(1)
      const [build] = await store.builds(1, 'sintered')
      if (characteristic === undefined || build === undefined) return []
      return (await store.values(characteristic.id, build.id, 'sintered')).map(
        ({ serial, replicate, value, own }) => [serial, replicate, value, own],
      )
    }
    const own = (measured: number, upper: number) => ({ measured, lower: null, upper })
    const faults = async () => (await store.verifyRecord()).faults.map(({ what }) => what)

    it('stay beside their measurements, whatever load these come to belong to', async () => {
      const many = Array.from({ length: 40 }, (_, i) => row(`T${i}`, i / 100, 0.1))
      expect((await bring(row('S1', 0, 0.2), row('S2', 0.05, 0.2), ...many)).verdict).toBe('taken')
      // Another file says which load they were sintered in, and measures one of them again.
      expect((await bring(row('S1', 0.3, 0.25, '2026-11-02 08:00', 'L1'))).verdict).toBe('taken')
      expect((await values()).slice(0, 3)).toEqual([
        ['S1', 1, 1, own(0.2, 0.2)],
        ['S1', 2, 0.5, own(0.25, 0.5)],
        ['S2', 1, 0.8, own(0.2, 0.25)],
      ])
      expect(await store.ownLimitsWithin(1, 'sintered', null)).toEqual({
        values: 43,
        least: 0.2,
        greatest: 0.59,
      })
      expect((await store.cells(1, 'sintered')).reduce((n, cell) => n + cell.n, 0)).toBe(43)
      expect(await faults()).toEqual([])
    })

    it('count as their measurements do: a mean of repeats is that of the values in units of their own tolerances', async () => {
      await bring(row('S1', 0, 0.2))
      await bring(row('S1', 0.2, 0.2, '2026-11-02 08:00'))
      const study = { ...DEFAULT_STUDY, repeats: 'mean' as const }
      await store.write((writer) =>
        writer.addStudyVersion('sintered', {
          characteristicId: 1,
          version: 1,
          study,
          change: { kind: 'choose-repeats', repeats: 'mean' },
          who: 'Ines Quark',
          reason: 'mean of two',
          at: AT,
        }),
      )
      const { value } = await store.valuesByBuild(1, 'sintered', null)
      expect([...value]).toEqual([0.75])
      expect((await store.cells(1, 'sintered'))[0]).toMatchObject({ n: 1, mean: 0.75 })
    })

    it('go with a withdrawn import, and stay on record apart', async () => {
      const receipt = await bring(row('S1', 0.05, 0.2), row('S2', 0.1, 0.3))
      await store.write((writer) =>
        writer.withdraw(receipt.importId as number, { who: 'Ines Quark', reason: 'wrong gauge', at: AT }),
      )
      expect(await values()).toEqual([])
      expect(await store.ownLimitsWithin(1, 'sintered', null)).toBeNull()
      expect((await bring(row('S1', 0.05, 0.2), row('S2', 0.1, 0.3))).verdict).toBe('taken')
      expect(await values()).toHaveLength(2)
      expect(await faults()).toEqual([])
    })

    it('go with a part that is erased', async () => {
      await bring(row('S1', 0.05, 0.2), row('S2', 0.1, 0.3))
      await store.write((writer) =>
        writer.erase(
          { what: 'parts', partNumber: 'P-9', revision: 'A', serials: ['S1'], files: false },
          { who: 'Ines Quark', reason: 'asked for', at: AT },
        ),
      )
      expect((await values()).map(([serial]) => serial)).toEqual(['S2'])
      expect(await store.ownLimitsWithin(1, 'sintered', null)).toMatchObject({ values: 1 })
      expect(await faults()).toEqual([])
    })

    it('are checked against the values with the record', async () => {
      await bring(row('S1', 0.05, 0.2), row('S2', 0.1, 0.3))
      await store.write(async (writer) => {
        // As much again for a part that has them already goes to another replicate, of which there is no value.
        await writer.insertOwnLimits(1, {
          part: Int32Array.of(1),
          characteristic: Int32Array.of(1),
          stage: Uint8Array.of(1),
          replicate: Int32Array.of(2),
          measured: Float64Array.of(0.1),
          lower: Float64Array.of(Number.NaN),
          upper: Float64Array.of(0.2),
        })
        await writer.withoutEntry('spoilt on purpose')
      })
      expect(await faults()).toEqual(['1 × limits of a part’s own without a value of characteristic 5 (1).'])
    })
  })
}
