import { beforeEach, describe, expect, it } from 'vitest'
import { UnrecordedWriteError } from '../../../server/store/errors.ts'
import type { Store } from '../../../server/store/store.ts'
import { momentsOf } from '../../../src/description/moments.ts'
import {
  ACTS,
  at,
  BY_NOBODY,
  finding,
  place,
  READS,
  reason,
  remark,
  report,
  STEPS_OF_ACTS,
  STEPS_OF_AN_IMPORT,
  WITHOUT_ENTRY,
  who,
} from './acts-on-record.ts'

/**
 * What every store must do for the record.
 *
 * @param filled the store with builds, parts and values in it, and no entry in its record
 */
export function recordContract(filled: () => Promise<Store>): void {
  describe('the record', () => {
    let store: Store
    beforeEach(async () => {
      store = await filled()
    })
    const entries = async () => (await store.recordEntries({}, 100)).toReversed()

    it('knows every function that writes', async () => {
      const listed = new Set<string>([
        ...READS,
        ...STEPS_OF_AN_IMPORT,
        ...WITHOUT_ENTRY,
        ...STEPS_OF_ACTS,
        ...Object.keys(ACTS),
      ])
      const unlisted = await store.write(async (writer) =>
        Object.keys(writer).filter((name) => !listed.has(name)),
      )
      expect(unlisted).toEqual([])
    })

    for (const [method, { kind, first, act }] of Object.entries(ACTS)) {
      it(`gets an entry from ${method}, in the same transaction`, async () => {
        if (first !== undefined) await store.write(first)
        const before = await entries()
        await expect(
          store.write(async (writer) => {
            await act(writer)
            throw new Error('changed my mind')
          }),
        ).rejects.toThrow('changed my mind')
        expect(await entries()).toEqual(before)
        const computedFrom = await store.contentVersion()
        await store.write(act)
        const after = await entries()
        expect(after.slice(0, before.length)).toEqual(before)
        expect(after).toHaveLength(before.length + 1)
        expect(after.at(-1)).toMatchObject({ kind, at, who: BY_NOBODY.has(kind) ? null : who })
        // Whatever is put on record may enter into what is computed and kept.
        expect(await store.contentVersion()).not.toBe(computedFrom)
      })
    }

    it('is required: what was written without an entry is not kept', async () => {
      const cell = new Map([[1, momentsOf([11])]])
      await expect(store.write((writer) => writer.mergeCells(cell))).rejects.toThrow(UnrecordedWriteError)
      await expect(store.write((writer) => writer.put('gauge', [{ id: 9, name: 'CMM-9' }]))).rejects.toThrow(
        UnrecordedWriteError,
      )
      await store.write(async (writer) => {
        expect((await writer.catalogue()).gauges.map(({ name }) => name)).not.toContain('CMM-9')
      })
    })

    it('leaves no entry of what came to nothing', async () => {
      await store.write((writer) => writer.addToken('scales', 'a'.repeat(64), ['read'], at, who))
      expect(
        await store.write((writer) => writer.addToken('scales', 'b'.repeat(64), ['read'], at, who)),
      ).toBe(false)
      expect(await store.write((writer) => writer.revokeToken('others', at, who))).toBe(false)
      expect(await store.write((writer) => writer.takeBack(7, { reason, who, at }))).toBe(false)
      expect(await store.write((writer) => writer.withdraw(7, { reason, who, at }))).toBeNull()
      const copy = { report: 1, format: 'pdf', at }
      await store.write((writer) => writer.addReport(1, report))
      await store.write((writer) => writer.noteReportCopy('c'.repeat(64), copy))
      await store.write((writer) => writer.noteReportCopy('c'.repeat(64), copy))
      expect((await entries()).map(({ kind }) => kind)).toEqual(['token', 'report', 'report-file'])
    })

    it('is left whole by an erasure, and verifies but for what the test began and did not conclude', async () => {
      await store.write((writer) =>
        writer.leaveOut(
          { ...place, single: { serial: 'S9', replicate: 2 } },
          { reason: `said ${who}`, who, at },
        ),
      )
      const parts = { what: 'parts' as const, partNumber: 'P-1', revision: 'A', files: true }
      const before = await entries()
      const done = await store.write((writer) =>
        writer.erase({ ...parts, serials: ['S9'] }, { who: 'Emil Rau', reason, at }),
      )
      expect(done).toMatchObject({ parts: 1, measurements: 2, imports: [1], entries: 1 })
      const person = await store.write((writer) =>
        writer.erase({ what: 'person', name: who }, { who: 'Emil Rau', reason, at }),
      )
      expect(person).toMatchObject({ pseudonym: 'person 1', entries: 1 })
      const after = await entries()
      expect(after[0]).toMatchObject({
        hash: before[0]?.hash,
        who: 'person 1',
        words: { serial: 'erased', reason: 'said person 1' },
        erasures: [2, 3],
      })
      const cells = await store.cellsOf(1, 'sintered')
      expect(cells.find(({ buildId }) => buildId === 1)).toMatchObject(momentsOf([10.1]))
      expect((await store.verifyRecord()).faults.map(({ what }) => what)).toEqual([
        'Import 1 has no entry in the record.',
      ])
    })

    it('is found by kind, person, what it is about, time and text, page after page', async () => {
      await store.write(async (writer) => {
        await writer.addFinding(1, finding)
        await writer.addRemark(1, { ...remark, who: 'Emil Rau', at: at + 10 })
        await writer.leaveOut(place, { reason: 'a 50 % "guess"', who, at: at + 20 })
      })
      const kinds = async (filter: Parameters<Store['recordEntries']>[0]) =>
        (await store.recordEntries(filter, 10)).map(({ kind }) => kind)
      expect(await kinds({})).toEqual(['exclusion', 'remark', 'finding'])
      expect(await kinds({ kinds: ['remark', 'finding'] })).toEqual(['remark', 'finding'])
      expect(await kinds({ who: 'Emil Rau' })).toEqual(['remark'])
      expect(await kinds({ about: [{ kind: 'build', id: 2 }] })).toEqual(['finding'])
      expect(await kinds({ about: [{ kind: 'part-number', id: 1 }] })).toHaveLength(3)
      expect(await kinds({ from: at + 10, to: at + 10 })).toEqual(['remark'])
      expect(await kinds({ text: 'POWDER lot' })).toEqual(['finding'])
      expect(await kinds({ text: '50 % "g' })).toEqual(['exclusion'])
      expect(await kinds({ text: '5_ %' })).toEqual([])
      const [newest] = await store.recordEntries({}, 1)
      expect(newest?.about).toContainEqual({ kind: 'characteristic', id: 1, name: '10' })
      expect((await store.recordEntries({}, 10, newest?.sequence)).map(({ kind }) => kind)).toEqual([
        'remark',
        'finding',
      ])
      expect(await store.recordPeople()).toEqual(['Emil Rau', who])
      expect(await store.recordHead()).toEqual({ sequence: 3, hash: newest?.hash })
    })
  })
}
