import type { RecordKind } from '../../../server/contract/record.ts'
import type { Report } from '../../../server/contract/report.ts'
import { DEFAULT_SETTINGS } from '../../../server/store/shrinkage-settings.ts'
import type { Writer } from '../../../server/store/writer.ts'
import { DEFAULT_REQUIREMENTS } from '../../../src/capability/requirement.ts'
import { DEFAULT_STUDY } from '../../../src/charts/study.ts'

export const at = 1_790_000_100
export const who = 'Ines Quark'
export const reason = 'mistyped'

/** Functions of the writer that only read. */
export const READS: readonly (keyof Writer)[] = [
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
export const STEPS_OF_AN_IMPORT: readonly (keyof Writer)[] = [
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
export const WITHOUT_ENTRY: readonly (keyof Writer)[] = [
  'withoutEntry',
  'noteSignals',
  'seeSession',
  'forgetSeries',
  'keepNews',
  'addTrial',
  'claimDelivery',
  'settleDelivery',
  'retryDelivery',
]

/** Steps of acts that have an entry of another function. */
export const STEPS_OF_ACTS: readonly (keyof Writer)[] = ['usePasswordLink', 'endSessionsOf']

export const finding = {
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
export const remark = { buildId: 1, text: 'belt replaced', who, at }
export const place = { characteristicId: 1, stage: 'sintered' as const, buildId: 1, single: null }
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

export const importRow = (id: number) => ({
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

export const report = (number: number) =>
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
export const BY_NOBODY: ReadonlySet<RecordKind> = new Set(['report-file', 'sign-in-failed'])

interface ActOfTest {
  readonly kind: RecordKind
  /** What has to be there before it. */
  readonly first?: (writer: Writer) => Promise<unknown>
  readonly act: (writer: Writer) => Promise<unknown>
}

/** Every function that writes what somebody did, and the kind of entry that it leaves. A new one gets a line here. */
export const ACTS: { readonly [method in keyof Writer]?: ActOfTest } = {
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
