import fc from 'fast-check'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import type { RecordFault, RecordVerification } from '../../../../server/contract/record.ts'
import { entryHash } from '../../../../server/store/record/entry-hash.ts'
import type { Store } from '../../../../server/store/store.ts'
import { at, finding, importRow, place, who } from '../acts-on-record.ts'
import { columns, furnish, inOrder } from '../furnished.ts'

/** A store, and a way past it to its database. */
export interface TamperedStore {
  readonly store: Store
  ask(sql: string): Promise<readonly Record<string, unknown>[]>
  /** Take the triggers away that keep the record. */
  unguard(): Promise<void>
  remove(): Promise<void>
}

/** Nine entries: two imports, three findings, a remark in two revisions, an exclusion and its taking back. */
async function fill(store: Store): Promise<void> {
  await store.write(async (writer) => {
    await furnish(writer)
    await writer.concludeImport(importRow(1), [1])
  })
  await store.write(async (writer) => {
    await writer.beginImport(importRow(2))
    await writer.insertCells([
      { id: 1, characteristic_id: 1, build_id: 1, furnace_load_id: null, stage: 'sintered' },
    ])
    await writer.insertMeasurements(2, columns([[1, 1, 1, 10, 2]]), inOrder(1))
    await writer.concludeImport(importRow(2), [1])
  })
  for (let i = 0; i < 3; i++) await store.write((writer) => writer.addFinding(1, finding))
  await store.write((writer) => writer.addRemark(1, { buildId: 1, text: 'belt replaced', who, at }))
  await store.write((writer) =>
    writer.reviseRemark(1, { id: 1, revision: 2, buildId: 1, text: null, who, at }),
  )
  await store.write((writer) => writer.leaveOut(place, { reason: 'spilt', who, at }))
  await store.write((writer) => writer.takeBack(1, { reason: 'was right', who, at }))
}

/** What verification must find, whatever database is below. */
export function tamperingContract(name: string, open: () => Promise<TamperedStore>): void {
  describe(`the record on ${name}`, () => {
    let opened: TamperedStore
    beforeEach(async () => {
      opened = await open()
      await fill(opened.store)
    })
    afterEach(() => opened.remove())

    const verify = (expect?: string): Promise<RecordVerification> => opened.store.verifyRecord({ expect })
    const faults = async () => (await verify()).faults.map(({ kind, sequence }) => ({ kind, sequence }))
    const tamper = async (sql: string) => {
      await opened.unguard()
      await opened.ask(sql)
    }
    const only = (kind: RecordFault['kind'], sequence: number | null) => [{ kind, sequence }]
    /** The hash that entry `sequence` would have as it stands, and written there. */
    const rehash = async (sequence: number, previous?: string) => {
      const [row] = await opened.ask(`select * from record_entry where sequence = ${sequence}`)
      const entry = { ...(row as never as Parameters<typeof entryHash>[0]) }
      const hash = entryHash({ ...entry, at: Number(entry.at), previous: previous ?? entry.previous })
      await opened.ask(
        `update record_entry set previous = '${previous ?? entry.previous}', hash = '${hash}' where sequence = ${sequence}`,
      )
      return hash
    }

    it('verifies as it was written, and holds its head', async () => {
      const found = await verify()
      expect(found).toMatchObject({ entries: 9, faults: [], faultCount: 0, rows: 7, imports: 2, erased: 0 })
      expect(found.head).toEqual(await opened.store.recordHead())
    })

    it('lets nobody change or delete an entry', async () => {
      for (const sql of [
        "update record_entry set kind = 'remark' where sequence = 2",
        'delete from record_entry where sequence = 9',
        "update record_personal set who = 'another' where sequence = 2",
        'delete from record_personal where sequence = 2',
        'update record_about set id = 7 where sequence = 2',
        'delete from record_about where sequence = 2',
      ]) {
        await expect(opened.ask(sql), sql).rejects.toThrow(/never changed or deleted/)
      }
      expect(await faults()).toEqual([])
    })

    it('shows a changed entry, whichever column was changed', async () => {
      await tamper("update record_entry set kind = 'remark' where sequence = 4")
      expect(await faults()).toEqual(only('changed', 4))
      await opened.ask("update record_entry set kind = 'finding', at = at + 1 where sequence = 4")
      expect(await faults()).toEqual(only('changed', 4))
      await opened.ask(
        `update record_entry set at = at - 1, details = replace(details, '1', '2') where sequence = 4`,
      )
      expect(await faults()).toEqual(only('changed', 4))
    })

    it('shows an entry that was changed together with its hash', async () => {
      await tamper("update record_entry set kind = 'remark' where sequence = 4")
      await rehash(4)
      expect(await faults()).toEqual(only('broken', 5))
    })

    it('shows a removed entry, in the middle and at the beginning', async () => {
      await tamper('delete from record_about where sequence in (1, 5, 6)')
      await opened.ask('delete from record_personal where sequence in (1, 5, 6)')
      await opened.ask('delete from record_entry where sequence in (1, 5, 6)')
      const found = await verify()
      expect(found.faults.filter(({ kind }) => kind === 'missing').map(({ what }) => what)).toEqual([
        'Entry 1 is missing.',
        'Entries 5 to 6 are missing.',
      ])
      // Import 1 has no entry any more, nor has the first revision of the remark and a finding.
      expect(found.faults.filter(({ kind }) => kind === 'unrecorded')).toHaveLength(3)
    })

    it('shows a removed entry where those after it were moved up and chained anew', async () => {
      const { head } = await verify()
      await tamper('delete from record_about where sequence >= 8')
      await opened.ask('delete from record_personal where sequence >= 8')
      await opened.ask('delete from record_entry where sequence = 8')
      await opened.ask('update record_entry set sequence = 8 where sequence = 9')
      const [seventh] = await opened.ask('select hash from record_entry where sequence = 7')
      await rehash(8, seventh?.hash as string)
      // What is left is a chain without a gap, so only the index, the words, the tables and the noted head tell.
      const found = await verify(head?.hash)
      expect(found.faults.map(({ kind }) => kind)).toEqual(
        expect.arrayContaining(['head', 'personal', 'unrecorded']),
      )
    })

    it('shows two entries whose places were exchanged', async () => {
      await tamper('update record_entry set sequence = -4 where sequence = 4').catch(() => undefined)
      await exchange(4, 5)
      const found = await faults()
      expect(found).toContainEqual({ kind: 'moved', sequence: 4 })
      expect(found).toContainEqual({ kind: 'moved', sequence: 5 })
    })

    /** Exchange everything but the sequences of two entries. */
    async function exchange(one: number, other: number): Promise<void> {
      await opened.unguard()
      const rows = await opened.ask(`select * from record_entry where abs(sequence) in (${one}, ${other})`)
      const by = new Map(rows.map((row) => [Math.abs(Number(row.sequence)), row]))
      await opened.ask(`update record_entry set sequence = ${one} where sequence = ${-one}`)
      for (const sequence of [one, other]) {
        await opened.ask(
          `update record_entry set previous = 'p${sequence}', hash = 'h${sequence}' where sequence = ${sequence}`,
        )
      }
      for (const [sequence, from] of [
        [one, other],
        [other, one],
      ] as const) {
        const { at: moment, kind, about, details, personal, previous, hash } = by.get(from) ?? {}
        await opened.ask(
          `update record_entry set at = ${moment}, kind = '${kind}', about = '${about}', details = '${details}',
             personal = '${personal}', previous = '${previous}', hash = '${hash}' where sequence = ${sequence}`,
        )
      }
    }

    it('shows changed names and words', async () => {
      await tamper("update record_personal set who = 'Emil Rau' where sequence = 3")
      await opened.ask(
        `update record_personal set content = replace(content, 'belt', 'nozzle') where sequence = 6`,
      )
      expect(await faults()).toEqual([
        { kind: 'personal', sequence: 3 },
        { kind: 'personal', sequence: 6 },
      ])
      await opened.ask('delete from record_personal where sequence = 6')
      expect((await verify()).faults[1]?.what).toMatch(/entry 6, and its words, are missing/)
    })

    it('shows words replaced in the name of an erasure that never was', async () => {
      await opened.ask(
        `insert into record_erased (sequence, erasure, personal) values (3, 5, '${'0'.repeat(64)}')`,
      )
      expect(await faults()).toEqual([
        { kind: 'personal', sequence: 3 },
        { kind: 'personal', sequence: 5 },
      ])
    })

    it('shows rows that were changed, removed or added behind its back', async () => {
      await opened.ask("update finding set cause = 'nothing' where id = 2")
      await opened.ask('delete from remark where revision = 2')
      await opened.ask(
        `insert into remark (id, revision, part_number_id, build_id, text, who, at) values (9, 1, 1, 1, 'x', 'y', 0)`,
      )
      const found = await verify()
      expect(found.faults).toEqual([
        expect.objectContaining({
          kind: 'row',
          sequence: 4,
          what: expect.stringMatching(/finding .* changed/),
        }),
        expect.objectContaining({ kind: 'row', sequence: 7, what: expect.stringMatching(/remark .* gone/) }),
        expect.objectContaining({ kind: 'unrecorded', what: expect.stringMatching(/1 × remark .*9\/1/) }),
      ])
    })

    it('shows measurements lost, and an import whose counts were changed', async () => {
      await opened.ask('delete from measurement where import_id = 2')
      await opened.ask('update import set rows_refused = 1 where id = 1')
      const [first, second, ...rest] = (await verify()).faults
      expect(rest).toEqual([])
      expect(first).toMatchObject({ kind: 'row', sequence: 1 })
      expect(second?.what).toBe('Import 2 has 0 measurements, but entry 2 says 1.')
    })

    it('does not show by itself that its tail was cut, but does with a head noted before', async () => {
      const { head } = await verify()
      await tamper('delete from record_about where sequence >= 8')
      await opened.ask('delete from record_personal where sequence >= 8')
      await opened.ask('delete from record_entry where sequence >= 8')
      await opened.ask('delete from exclusion')
      expect(await faults()).toEqual([])
      expect((await verify(head?.hash)).faults.map(({ kind }) => kind)).toEqual(['head'])
      const [old] = await opened.ask('select hash from record_entry where sequence = 5')
      expect((await verify(old?.hash as string)).expected?.sequence).toBe(5)
    })

    it('shows any change of any character that it holds', async () => {
      await opened.unguard()
      const texts = [
        ['record_entry', 'kind'],
        ['record_entry', 'about'],
        ['record_entry', 'details'],
        ['record_entry', 'personal'],
        ['record_entry', 'previous'],
        ['record_entry', 'hash'],
        ['record_personal', 'who'],
        ['record_personal', 'content'],
        ['record_personal', 'salt'],
      ] as const
      await fc.assert(
        fc.asyncProperty(
          fc.constantFrom(...texts),
          fc.integer({ min: 1, max: 9 }),
          fc.nat(),
          async ([table, column], sequence, where) => {
            const [row] = await opened.ask(`select ${column} as t from ${table} where sequence = ${sequence}`)
            const text = row?.t as string
            const index = where % text.length
            const spoilt = `${text.slice(0, index)}${text[index] === '#' ? '*' : '#'}${text.slice(index + 1)}`
            const set = (value: string) =>
              opened.ask(
                `update ${table} set ${column} = '${value.replaceAll("'", "''")}' where sequence = ${sequence}`,
              )
            await set(spoilt)
            const found = (await verify()).faults
            await set(text)
            expect(found.length).toBeGreaterThan(0)
            expect(found.some((fault) => fault.sequence === sequence)).toBe(true)
          },
        ),
        { numRuns: 40, seed: 10 },
      )
      expect(await faults()).toEqual([])
    })
  })
}
