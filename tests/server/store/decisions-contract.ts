import { beforeEach, describe, expect, it } from 'vitest'
import type { StudyVersion } from '../../../server/store/decision-reads.ts'
import { type Grounds, StaleDecisionError } from '../../../server/store/decision-writes.ts'
import type { Store } from '../../../server/store/store.ts'
import type { RepeatChoice } from '../../../src/charts/repeats.ts'
import { DEFAULT_STUDY } from '../../../src/charts/study.ts'
import { momentsOf } from '../../../src/description/moments.ts'

const grounds: Grounds = { reason: 'mistyped', who: 'Ines Quark', at: 1_790_000_100 }
const taking: Grounds = { reason: 'was right after all', who: 'Emil Rau', at: 1_790_000_200 }

/**
 * What every store must do with decisions.
 *
 * @param filled the store, with values 10.1 of S10 and 10.3, 10.2 of S9 of characteristic 1 in build 1, and one value
 *   each in builds 2 to 4
 */
export function decisionsContract(filled: () => Promise<Store>): void {
  describe('decisions', () => {
    let store: Store
    beforeEach(async () => {
      store = await filled()
    })
    const single = (serial: string, replicate: number) => ({
      characteristicId: 1,
      stage: 'sintered' as const,
      buildId: 1,
      single: { serial, replicate },
    })
    const cellOfBuild = async (buildId: number) =>
      (await store.cellsOf(1, 'sintered')).find((cell) => cell.buildId === buildId)

    it('are none at first', async () => {
      expect(await store.latestStudies(1, 'sintered')).toEqual([])
      expect(await store.studyVersions(1, 'sintered')).toEqual([])
      expect(await store.exclusions(1, 'sintered')).toEqual([])
      expect(await store.findings(1)).toEqual([])
      expect(await store.remarks(1)).toEqual([])
    })

    it('leave single values out of their cell exactly, and take them back', async () => {
      const id = await store.write((writer) => writer.leaveOut(single('S9', 2), grounds))
      expect(id).toBe(1)
      expect(await cellOfBuild(1)).toMatchObject(momentsOf([10.1, 10.3]))
      // The value itself stays where it was.
      expect(await store.values(1, 1, 'sintered')).toHaveLength(3)
      const [record] = await store.exclusions(1, 'sintered')
      expect(record).toEqual({
        id: 1,
        characteristicId: 1,
        buildId: 1,
        single: { serial: 'S9', replicate: 2, value: 10.2 },
        ...grounds,
        undone: null,
      })
      expect(await store.write((writer) => writer.takeBack(1, taking))).toBe(true)
      expect(await cellOfBuild(1)).toMatchObject(momentsOf([10.1, 10.3, 10.2]))
      expect((await store.exclusions(1, 'sintered'))[0]?.undone).toEqual(taking)
      // And left out once more.
      expect(await store.write((writer) => writer.leaveOut(single('S9', 2), grounds))).toBe(3)
      expect(await cellOfBuild(1)).toMatchObject(momentsOf([10.1, 10.3]))
      expect(await store.exclusions(1, 'sintered')).toHaveLength(2)
    })

    it('leave a cell without values where all of them are out, and fill it again', async () => {
      const place = { ...single('S1', 1), buildId: 2 }
      await store.write((writer) => writer.leaveOut(place, grounds))
      expect(await cellOfBuild(2)).toBeUndefined()
      expect((await store.cells(1, 'sintered')).some((cell) => cell.buildId === 2)).toBe(false)
      await store.write((writer) => writer.mergeCells(new Map([[2, momentsOf([9.7])]])))
      expect(await cellOfBuild(2)).toMatchObject(momentsOf([9.7]))
      await store.write((writer) => writer.takeBack(1, taking))
      expect(await cellOfBuild(2)).toMatchObject(momentsOf([9.8]))
    })

    it('let one of several measurements of a part count, in every figure that reads values', async () => {
      const { stage: _, exclusions: __, ...study } = DEFAULT_STUDY
      let version = 0
      const choose = async (repeats: RepeatChoice) => {
        version++
        const change = { kind: 'choose-repeats', repeats } as const
        await store.write((writer) =>
          writer.addStudyVersion('sintered', {
            characteristicId: 1,
            version,
            study: { ...study, repeats },
            change,
            ...grounds,
          }),
        )
      }
      // Part S10 has 10.1; part S9 has 10.3, then 10.2.
      for (const [repeats, values] of [
        ['first', [10.1, 10.3]],
        ['last', [10.1, 10.2]],
        ['mean', [10.1, 10.25]],
        ['every', [10.1, 10.2, 10.3]],
      ] as const) {
        const foreseen = await store.cellsCountedBy(1, 'sintered', repeats)
        await choose(repeats)
        const { n, mean, m2, min, max } = momentsOf([...values])
        const cell = await cellOfBuild(1)
        expect(cell).toMatchObject({ n, min, max })
        expect(cell?.mean).toBeCloseTo(mean, 12)
        expect(cell?.m2).toBeCloseTo(m2, 12)
        expect(foreseen.find((each) => each.buildId === 1)?.mean).toBeCloseTo(mean, 12)
        const counting = await store.valuesByBuild(1, 'sintered', new Set([1]))
        expect([...counting.value].sort()).toEqual([...values])
        expect([...(await store.exactValues(1, 'sintered', new Set([1])))].sort()).toEqual([...values])
        const known = await store.distribution(1, 'sintered', new Set([1]))
        expect([...known.values].sort()).toEqual([...values])
        const placed = await store.placedPartValues([1], [1])
        const mine = placed.filter((each) => each.part === 'S9').map((each) => each.value)
        expect(mine).toHaveLength(1)
        expect(mine[0]).toBeCloseTo(repeats === 'first' ? 10.3 : repeats === 'last' ? 10.2 : 10.25, 12)
      }
      // What is left out does not count as the last; what comes in later does.
      await choose('last')
      await store.write((writer) => writer.leaveOut(single('S9', 2), grounds))
      expect(await cellOfBuild(1)).toMatchObject(momentsOf([10.1, 10.3]))
      await store.write((writer) => writer.takeBack(1, taking))
      expect(await cellOfBuild(1)).toMatchObject(momentsOf([10.1, 10.2]))
      await store.write((writer) => writer.mergeCells(new Map([[1, momentsOf([10.2])]])))
      expect(await cellOfBuild(1)).toMatchObject(momentsOf([10.1, 10.2]))
    })

    it('stay out when cells are computed anew, also after their part was moved to another furnace load', async () => {
      await store.write((writer) => writer.leaveOut(single('S9', 2), grounds))
      await store.write(async (writer) => {
        await writer.recomputeCells([1, 2])
      })
      expect(await cellOfBuild(1)).toMatchObject(momentsOf([10.1, 10.3]))
      await store.write(async (writer) => {
        await writer.insertCells([
          { id: 5, characteristic_id: 1, build_id: 1, furnace_load_id: 2, stage: 'sintered' },
        ])
        await writer.moveMeasurements(1, 5, new Set([2]))
        await writer.recomputeCells([1, 5])
      })
      const cells = (await store.cellsOf(1, 'sintered')).filter((cell) => cell.buildId === 1)
      expect(cells.map((cell) => [cell.furnaceLoadId, cell.n, cell.mean]).sort()).toEqual([
        [1, 1, 10.1],
        [2, 1, 10.3],
      ])
      await store.write((writer) => writer.takeBack(1, taking))
      expect(
        (await store.cellsOf(1, 'sintered')).find((cell) => cell.furnaceLoadId === 2 && cell.buildId === 1),
      ).toMatchObject(momentsOf([10.3, 10.2]))
    })

    it('do not speak of a value that comes in the place of one whose import went', async () => {
      await store.write((writer) => writer.leaveOut(single('S9', 2), grounds))
      // As a withdrawal leaves it: the value is gone, and a second import brings one for the same part.
      await store.write(async (writer) => {
        await writer.moveMeasurements(1, 2, new Set([2]))
        await writer.recomputeCells([1, 2])
      })
      expect((await store.exclusions(1, 'sintered'))[0]?.single?.value).toBeNull()
      expect(await cellOfBuild(1)).toMatchObject(momentsOf([10.1]))
    })

    it('stay with what is left when an import is withdrawn whole', async () => {
      // A second import measures S9 for the third time and a new part of build 1.
      await store.write(async (writer) => {
        const import2 = {
          id: 2,
          sha256: '2'.repeat(64),
          file_name: 'second.csv',
          bytes: 10,
          kind: 'measurements' as const,
          verdict: 'taken' as const,
          who: 'Ines Quark',
          at: 1_790_000_000,
          rows_read: 1,
          rows_taken: 1,
          rows_refused: 0,
          out_of_specification: 0,
          receipt: JSON.stringify({ importId: 2, verdict: 'taken', kind: 'measurements' }),
        }
        await writer.beginImport(import2)
        const one = (value: number) => Int32Array.of(value)
        const columns = {
          cell: one(1),
          part: one(2),
          replicate: one(3),
          value: Float64Array.of(10.4),
          gauge: one(0),
          inspector: one(0),
          measuredAt: Float64Array.of(1_790_009_000),
          line: one(2),
        }
        await writer.insertMeasurements(2, columns, Uint32Array.of(0))
        await writer.mergeCells(new Map([[1, momentsOf([10.4])]]))
      })
      expect((await cellOfBuild(1))?.n).toBe(4)
      const withdrawal = { who: 'Emil Rau', reason: 'wrong part', at: 1_790_009_900 }
      const receipt = await store.write((writer) => writer.withdraw(2, withdrawal))
      expect(receipt?.withdrawn).toEqual(withdrawal)
      expect(await cellOfBuild(1)).toMatchObject(momentsOf([10.1, 10.3, 10.2]))
      expect(await store.importByHash('2'.repeat(64))).toBeNull()
      // Signals that were looked for meanwhile are added to it, and take nothing away.
      const signal = { number: 'HB-1', revision: 'A', characteristic: '1', stage: 'sintered' } as const
      const signals = [{ ...signal, builds: ['B1'], text: 'above the upper limit' }]
      await store.write((writer) => writer.noteSignals(2, signals))
      expect(await store.receipt(2)).toMatchObject({ signals, withdrawn: withdrawal })
      expect((await store.imports(10)).find((each) => each.importId === 2)?.withdrawn).toEqual(withdrawal)
      // A second time there is nothing to withdraw.
      expect(await store.write((writer) => writer.withdraw(2, withdrawal))).toBeNull()
      // The first import takes every value and part along.
      await store.write((writer) => writer.withdraw(1, withdrawal))
      expect(await store.cells(1, 'sintered')).toEqual([])
      expect(await store.partsByBuild(1, 'sintered')).toEqual(new Map())
    })

    it('name builds', async () => {
      expect((await store.buildNames([1, 3, 99])).sort((a, b) => a.id - b.id)).toEqual([
        { id: 1, name: 'B10', printedAt: 500 },
        { id: 3, name: 'B1', printedAt: null },
      ])
      expect(await store.buildNames([])).toEqual([])
    })

    it('leave whole subgroups to the chart: their cells hold everything', async () => {
      const place = { ...single('', 0), single: null }
      await store.write((writer) => writer.leaveOut(place, grounds))
      expect(await cellOfBuild(1)).toMatchObject({ n: 3 })
      expect((await store.exclusions(1, 'sintered'))[0]?.single).toBeNull()
      await expect(store.write((writer) => writer.leaveOut(place, grounds))).rejects.toThrow(
        StaleDecisionError,
      )
    })

    it('refuse what was done already, and know what is not there', async () => {
      await store.write((writer) => writer.leaveOut(single('S9', 2), grounds))
      await expect(store.write((writer) => writer.leaveOut(single('S9', 2), grounds))).rejects.toThrow(
        StaleDecisionError,
      )
      await store.write((writer) => writer.takeBack(1, taking))
      await expect(store.write((writer) => writer.takeBack(1, taking))).rejects.toThrow(StaleDecisionError)
      expect(await store.write((writer) => writer.takeBack(99, taking))).toBe(false)
      expect(await store.write((writer) => writer.takeBack(2, taking))).toBe(false)
      expect(await store.write((writer) => writer.leaveOut(single('S99', 1), grounds))).toBeNull()
      expect(
        await store.write((writer) =>
          writer.leaveOut({ ...single('', 1), single: null, buildId: 77 }, grounds),
        ),
      ).toBeNull()
    })

    it('keep every version of a study, the latest first in force, and refuse one made on stale sight', async () => {
      const { stage: _, exclusions: __, ...choices } = DEFAULT_STUDY
      const version = (number: number, characteristicId = 1): StudyVersion => ({
        characteristicId,
        version: number,
        study: { ...choices, tests: number === 1 ? ['six-steadily'] : choices.tests },
        change: { kind: 'choose-tests', tests: ['six-steadily'] },
        ...grounds,
      })
      const add = (each: StudyVersion) => store.write((writer) => writer.addStudyVersion('sintered', each))
      await add(version(1))
      await add(version(2))
      await add(version(1, 2))
      await expect(add(version(2))).rejects.toThrow(StaleDecisionError)
      await expect(add(version(4))).rejects.toThrow(StaleDecisionError)
      expect(await store.studyVersions(1, 'sintered')).toEqual([version(1), version(2)])
      expect(
        (await store.latestStudies(1, 'sintered')).sort((a, b) => a.characteristicId - b.characteristicId),
      ).toEqual([version(2), version(1, 2)])
      expect(await store.latestStudies(1, 'green')).toEqual([])
    })

    it('keep every revision of findings and remarks', async () => {
      const finding = {
        stage: 'sintered' as const,
        characteristicIds: [1, 2],
        fromBuildId: 1,
        toBuildId: 2,
        cause: 'powder lot K8',
        action: 'scale Z corrected',
        state: 'open' as const,
        verified: 'not yet' as const,
        who: 'Ines Quark',
        at: 1_790_000_100,
      }
      const remark = { buildId: 1, text: 'furnace 2 serviced', who: 'Emil Rau', at: 1_790_000_100 }
      await store.write(async (writer) => {
        expect(await writer.addFinding(1, finding)).toBe(1)
        expect(await writer.addFinding(1, finding)).toBe(2)
        expect(await writer.addRemark(1, remark)).toBe(1)
      })
      const next = { ...finding, id: 1, revision: 2, state: 'done' as const, verified: 'yes' as const }
      const gone = { ...remark, id: 1, revision: 2, text: null }
      await store.write(async (writer) => {
        await writer.reviseFinding(1, next)
        await writer.reviseRemark(1, gone)
      })
      await expect(store.write((writer) => writer.reviseFinding(1, next))).rejects.toThrow(StaleDecisionError)
      await expect(store.write((writer) => writer.reviseRemark(1, gone))).rejects.toThrow(StaleDecisionError)
      expect(await store.findings(1)).toEqual([
        { ...finding, id: 1, revision: 1 },
        next,
        { ...finding, id: 2, revision: 1 },
      ])
      expect(await store.remarks(1)).toEqual([{ ...remark, id: 1, revision: 1 }, gone])
      expect(await store.findings(2)).toEqual([])
    })
  })
}
