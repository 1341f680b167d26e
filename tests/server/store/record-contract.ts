import { beforeEach, describe, expect, it } from 'vitest'
import type { RecordKind } from '../../../server/contract/record.ts'
import type { Report } from '../../../server/contract/report.ts'
import { UnrecordedWriteError } from '../../../server/store/errors.ts'
import { DEFAULT_SETTINGS } from '../../../server/store/shrinkage-settings.ts'
import type { Store } from '../../../server/store/store.ts'
import type { Writer } from '../../../server/store/writer.ts'
import { DEFAULT_REQUIREMENTS } from '../../../src/capability/requirement.ts'
import { DEFAULT_STUDY } from '../../../src/charts/study.ts'
import { momentsOf } from '../../../src/description/moments.ts'

const at = 1_790_000_100
const who = 'Ines Quark'
const reason = 'mistyped'

/** Functions of the writer that only read. */
const READS: readonly (keyof Writer)[] = [
  'catalogue',
  'requireAlone',
  'requirePerson',
  'partsBySerial',
  'cellsOfBuilds',
  'hasMeasurements',
  'importName',
  'spreadsOf',
  'valuesInCell',
  'plansOnRecord',
  'gaugesOnRecord',
  'nextGaugeStudy',
]

/** Steps of taking a file in: `concludeImport` leaves the one entry that a file has. */
const STEPS_OF_AN_IMPORT: readonly (keyof Writer)[] = [
  'put',
  'beginImport',
  'insertParts',
  'placeParts',
  'insertCells',
  'insertMeasurements',
  'insertOwnLimits',
  'moveMeasurements',
  'mergeCells',
  'recomputeCells',
  'noteGauges',
  'countParts',
  'addGaugeStudies',
]

/** What decides nothing, and says so. */
const WITHOUT_ENTRY: readonly (keyof Writer)[] = [
  'withoutEntry',
  'completeReceipt',
  'seeSession',
  'forgetSeries',
  'keepNews',
  'addTrial',
  'claimDelivery',
  'settleDelivery',
  'retryDelivery',
]

/** Steps of acts that have an entry of another function. */
const STEPS_OF_ACTS: readonly (keyof Writer)[] = ['usePasswordLink', 'endSessionsOf']

const finding = {
  stage: 'sintered' as const,
  characteristicIds: [1, 3],
  fromBuildId: 1,
  toBuildId: 2,
  cause: 'new powder lot',
  action: 'none',
  state: 'open' as const,
  verified: 'not yet' as const,
  who,
  at,
}
const remark = { buildId: 1, text: 'belt replaced', who, at }
const place = { characteristicId: 1, stage: 'sintered' as const, buildId: 1, single: null }
const gaugeEntry = {
  version: 1,
  kind: 'caliper',
  unit: 'mm' as const,
  resolution: 0.01,
  certificate: null,
  due: '2026-12-31',
  characteristicIds: [1],
  inUse: true,
  reason,
  who,
  at,
}
const gaugePlan = {
  characteristicId: 1,
  gaugeId: null,
  parts: ['1', '2'],
  inspectors: ['Ines Quark'],
  trials: 2,
  seed: 7,
  who,
  at,
}
const receivers = { recipients: ['ines@shop.example'], webhook: null, partNumberIds: [1], quiet: null }
const factors = {
  firstBuild: 'not printed yet',
  afterBuildId: 1,
  before: { x: 1.18, y: null, z: 1.2 },
  factors: { x: 1.1812, y: 1.19, z: 1.2 },
  advised: { x: 1.1811, y: null, z: 1.2 },
  predictions: [],
  reason,
  who,
  at,
}
const study = (({ stage: _, exclusions: __, ...rest }) => rest)({ ...DEFAULT_STUDY })

const importRow = (id: number) => ({
  id,
  sha256: String(id).repeat(64),
  file_name: `file ${id}.csv`,
  bytes: 100,
  kind: 'measurements' as const,
  verdict: 'taken' as const,
  who,
  at,
  rows_read: 3,
  rows_taken: 3,
  rows_refused: 0,
  out_of_specification: 0,
  receipt: '{}',
})

const report = (number: number) =>
  ({
    kind: 'as-sintered report',
    version: 1,
    number,
    madeAt: at,
    madeBy: who,
    fingerprint: 'f'.repeat(64),
    content: { settings: { title: 'Capability' } },
  }) as unknown as Report

const doing = { at, who }
/** Two administrators, of whom the first may lose the role. */
const putPeople = async (writer: Writer) => {
  await writer.addPerson({ name: 'Ada', role: 'administrator', password: 'a hash' }, doing)
  await writer.addPerson({ name: 'Bea', role: 'administrator', password: 'a hash' }, doing)
}
const session = {
  sha256: '5'.repeat(64),
  whose: { person: 1, name: who },
  at,
  expiresAt: at + 100,
  address: '192.0.2.7',
  browser: 'a browser',
}
const guestLink = { report: 1, givenTo: 'Cleo', who, madeAt: at, expiresAt: at + 100 }

/** Kinds of entries that name nobody. */
const BY_NOBODY: ReadonlySet<RecordKind> = new Set(['report-file', 'sign-in-failed'])

interface ActOfTest {
  readonly kind: RecordKind
  /** What has to be there before it. */
  readonly first?: (writer: Writer) => Promise<unknown>
  readonly act: (writer: Writer) => Promise<unknown>
}

/** Every function that writes what somebody did, and the kind of entry that it leaves. A new one gets a line here. */
const ACTS: { readonly [method in keyof Writer]?: ActOfTest } = {
  addToken: { kind: 'token', act: (writer) => writer.addToken('scales', 'a'.repeat(64), ['read'], at, who) },
  revokeToken: {
    kind: 'token-revoked',
    first: (writer) => writer.addToken('scales', 'a'.repeat(64), ['read'], at, who),
    act: (writer) => writer.revokeToken('scales', at, who),
  },
  rememberLayout: {
    kind: 'layout',
    act: (writer) => writer.rememberLayout('a layout', { choices: {}, who, at }),
  },
  concludeImport: {
    kind: 'import',
    act: async (writer) => {
      await writer.beginImport(importRow(2))
      await writer.concludeImport(importRow(2), [1])
    },
  },
  erase: {
    kind: 'erasure',
    act: (writer) =>
      writer.erase(
        { what: 'parts', partNumber: 'P-1', revision: 'A', serials: ['S10'], files: false },
        { who, reason, at },
      ),
  },
  withdraw: { kind: 'withdrawal', act: (writer) => writer.withdraw(1, { who, reason, at }) },
  addStudyVersion: {
    kind: 'study',
    act: (writer) =>
      writer.addStudyVersion('sintered', {
        characteristicId: 1,
        version: 1,
        study,
        change: { kind: 'open-phase', build: 2 },
        reason,
        who,
        at,
      }),
  },
  leaveOut: { kind: 'exclusion', act: (writer) => writer.leaveOut(place, { reason, who, at }) },
  takeBack: {
    kind: 'exclusion-taken-back',
    first: (writer) => writer.leaveOut(place, { reason, who, at }),
    act: (writer) => writer.takeBack(1, { reason, who, at }),
  },
  addFinding: { kind: 'finding', act: (writer) => writer.addFinding(1, finding) },
  reviseFinding: {
    kind: 'finding',
    first: (writer) => writer.addFinding(1, finding),
    act: (writer) => writer.reviseFinding(1, { ...finding, id: 1, revision: 2, state: 'done' }),
  },
  addRemark: { kind: 'remark', act: (writer) => writer.addRemark(1, remark) },
  reviseRemark: {
    kind: 'remark',
    first: (writer) => writer.addRemark(1, remark),
    act: (writer) => writer.reviseRemark(1, { ...remark, id: 1, revision: 2, text: null }),
  },
  addFactorDecision: {
    kind: 'factor-decision',
    act: (writer) => writer.addFactorDecision(1, factors, null),
  },
  takeFactorsBack: {
    kind: 'factor-decision-taken-back',
    first: (writer) => writer.addFactorDecision(1, factors, null),
    act: (writer) => writer.takeFactorsBack(1, 1, { reason, who, at }),
  },
  addShrinkageSettings: {
    kind: 'shrinkage-settings',
    act: (writer) => writer.addShrinkageSettings(1, { ...DEFAULT_SETTINGS, version: 1, reason, who, at }),
  },
  addCustomerRequirements: {
    kind: 'customer-requirements',
    act: (writer) =>
      writer.addCustomerRequirements(1, { ...DEFAULT_REQUIREMENTS, version: 1, reason, who, at }),
  },
  addNoticeSettings: {
    kind: 'notice-settings',
    act: (writer) => writer.addNoticeSettings({ ...receivers, version: 1, reason, who, at }, null),
  },
  addGaugeEntry: { kind: 'gauge-entry', act: (writer) => writer.addGaugeEntry('caliper 3', gaugeEntry) },
  addGaugePlan: { kind: 'gauge-plan', act: (writer) => writer.addGaugePlan(gaugePlan) },
  addReport: { kind: 'report', act: (writer) => writer.addReport(1, report) },
  noteReportCopy: {
    kind: 'report-file',
    first: (writer) => writer.addReport(1, report),
    act: (writer) => writer.noteReportCopy('c'.repeat(64), { report: 1, format: 'pdf', at }),
  },
  addPerson: {
    kind: 'person',
    act: (writer) => writer.addPerson({ name: 'Ada', role: 'inspector', password: null }, doing),
  },
  changeRole: {
    kind: 'person-role',
    first: putPeople,
    act: (writer) => writer.changeRole(1, 'supplier quality', doing),
  },
  disablePerson: {
    kind: 'person-disabled',
    first: putPeople,
    act: (writer) => writer.disablePerson(1, doing),
  },
  enablePerson: { kind: 'person-enabled', first: putPeople, act: (writer) => writer.enablePerson(1, doing) },
  setPassword: {
    kind: 'password',
    first: putPeople,
    act: (writer) => writer.setPassword(1, 'another hash', doing),
  },
  addPasswordLink: {
    kind: 'password-link',
    first: putPeople,
    act: (writer) => writer.addPasswordLink(1, '6'.repeat(64), at + 100, doing),
  },
  addSession: { kind: 'sign-in', first: putPeople, act: (writer) => writer.addSession(session) },
  addFailedSignIn: {
    kind: 'sign-in-failed',
    first: putPeople,
    act: (writer) =>
      writer.addFailedSignIn({
        way: 'password',
        person: { id: 1, name: 'Ada' },
        address: '192.0.2.7',
        at,
      }),
  },
  addFailedSignIns: {
    kind: 'sign-in-failed',
    act: (writer) =>
      writer.addFailedSignIns({
        failures: 7,
        tooSoon: 2,
        from: at - 100,
        at,
        addresses: ['192.0.2.7'],
        people: [],
      }),
  },
  endSession: {
    kind: 'session-ended',
    first: async (writer) => {
      await putPeople(writer)
      await writer.addSession(session)
    },
    act: (writer) => writer.endSession(1, doing),
  },
  addGuestLink: {
    kind: 'guest-link',
    first: (writer) => writer.addReport(1, report),
    act: (writer) => writer.addGuestLink('7'.repeat(64), guestLink),
  },
  revokeGuestLink: {
    kind: 'guest-link-revoked',
    first: async (writer) => {
      await writer.addReport(1, report)
      await writer.addGuestLink('7'.repeat(64), guestLink)
    },
    act: (writer) => writer.revokeGuestLink(1, 1, doing),
  },
}

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
