import type { ExclusionsView, FindingsView, RemarksView, StudyView } from '../../server/contract/decisions.ts'
import type { EventNoticesView } from '../../server/contract/event-notices.ts'
import type { GaugeView } from '../../server/contract/gauges.ts'
import type { ImportsView } from '../../server/contract/receipt.ts'
import type { RequirementsView } from '../../server/contract/requirements.ts'
import type { ShrinkageView } from '../../server/contract/shrinkage.ts'
import type { Store } from '../../server/store/store.ts'

/** Every kind of decision that a shop makes, each with words by which it is found again on the record. */

/** A request that decides. */
export interface Decision {
  readonly path: string
  readonly body: unknown
}

export interface DecisionKind {
  readonly name: string
  /**
   * A decision of this kind on the sight of what is on record now.
   *
   * @param get reads an address of the program
   * @param mark stands in the decision's words
   * @param turn grows with every decision
   * @returns null where there is nothing of the kind to decide
   */
  prepare(get: <T>(path: string) => Promise<T>, mark: string, turn: number): Promise<Decision | null>
}

/** The part number that is decided about; others bring measurements of another meanwhile. */
const DECIDED = { number: 'HB-2', revision: 'A' }

const PART = `/api/part-numbers/${DECIDED.number}/${DECIDED.revision}`
const STAGE = 'stage=sintered'
const who = 'soak'
const BUILDS = Array.from({ length: 30 }, (_, i) => `d${i + 10}`)
const DESIGNATORS = ['1', '2', '3']

/** Files that bring what is decided about, in their order. */
export const DECIDED_FILES: readonly { readonly name: string; readonly text: string }[] = [
  {
    name: 'builds.csv',
    text: [
      'build,printed,scale x,scale y,scale z',
      ...BUILDS.map((build, i) => `${build},2026-05-${String(i + 1).padStart(2, '0')},1.18,1.18,1.2`),
      '',
    ].join('\n'),
  },
  {
    name: 'decided.csv',
    text: [
      'part_number,revision,serial,build,characteristic,nominal,lower,upper,unit,axis,gauge,value',
      ...BUILDS.flatMap((build, i) =>
        [1, 2, 3].flatMap((part) =>
          DESIGNATORS.map((designator, k) => {
            const nominal = 10 * (k + 1)
            const value = (nominal + (((i + k) * part) % 7) / 100).toFixed(2)
            return `HB-2,A,${build}-${part},${build},${designator},${nominal},${nominal - 1},${nominal + 1},mm,X,CMM-1,${value}`
          }),
        ),
      ),
      '',
    ].join('\n'),
  },
]

/** Single values and builds that may be left out: few, so that charts and fits keep most. */
const PLACES = BUILDS.slice(0, 6).map((build, i) => ({
  build,
  single: i % 2 === 0 ? null : { serial: `${build}-1`, replicate: 1 },
}))

const finding = {
  characteristics: ['1', '2'],
  from: 'd11',
  to: 'd12',
  action: 'none',
  state: 'open',
  verified: 'not yet',
  who,
}

/** Kinds that are decided one after the other; those of different lists at the same time. */
export const DECISION_KINDS: readonly (readonly DecisionKind[])[] = [
  [
    {
      name: 'remark',
      prepare: async (_, mark, turn) => ({
        path: `${PART}/remarks?${STAGE}`,
        body: { build: BUILDS[turn % BUILDS.length], text: mark, who },
      }),
    },
    {
      name: 'remark changed',
      async prepare(get, mark) {
        const last = (await get<RemarksView>(`${PART}/remarks?${STAGE}`)).remarks.at(-1)
        if (last === undefined) return null
        const { number, revision } = last
        return { path: `${PART}/remarks/${number}?${STAGE}`, body: { revision, text: mark, who } }
      },
    },
    {
      name: 'finding',
      prepare: async (_, mark) => ({ path: `${PART}/findings?${STAGE}`, body: { ...finding, cause: mark } }),
    },
    {
      name: 'finding changed',
      async prepare(get, mark, turn) {
        const last = (await get<FindingsView>(`${PART}/findings?${STAGE}`)).findings.at(-1)
        if (last === undefined) return null
        const state = turn % 2 === 0 ? 'done' : 'explained'
        const { number, revision } = last
        return {
          path: `${PART}/findings/${number}?${STAGE}`,
          body: { ...finding, cause: mark, state, revision },
        }
      },
    },
    {
      name: 'exclusion',
      async prepare(get, mark) {
        const { exclusions } = await get<ExclusionsView>(`${PART}/exclusions?${STAGE}`)
        const out = new Set(exclusions.map(({ build }) => build))
        const place = PLACES.find(({ build }) => !out.has(build))
        if (place === undefined) return null
        return {
          path: `${PART}/characteristics/1/exclusions?${STAGE}`,
          body: { ...place, everyCharacteristic: false, who, reason: mark },
        }
      },
    },
    {
      name: 'exclusion taken back',
      async prepare(get, mark, turn) {
        const { exclusions } = await get<ExclusionsView>(`${PART}/exclusions?${STAGE}`)
        const one = exclusions[turn % Math.max(1, exclusions.length)]
        if (one === undefined) return null
        return {
          path: `${PART}/exclusions/taken-back?${STAGE}`,
          body: { exclusions: [one.id], who, reason: mark },
        }
      },
    },
    study('phase', '1', [
      { kind: 'open-phase', build: 'd25' },
      { kind: 'join-phase', build: 'd25' },
    ]),
    study('limits', '2', [
      { kind: 'freeze-limits', build: 'd10' },
      { kind: 'release-limits', build: 'd10' },
    ]),
    study('which of several counts', '3', [
      { kind: 'choose-repeats', repeats: 'first' },
      { kind: 'choose-repeats', repeats: 'every' },
    ]),
  ],
  [
    {
      name: 'requirement',
      async prepare(get, mark, turn) {
        const { version } = await get<RequirementsView>(`${PART}/requirements`)
        const fallback = { index: 'Ppk', value: 1 + (turn % 9) / 10, confidence: 0.95 }
        return {
          path: `${PART}/requirements`,
          body: { version, fallback, classes: [], assigned: [], who, reason: mark },
        }
      },
    },
    {
      name: 'factor decision',
      async prepare(get, mark, turn) {
        const { decisions } = await get<ShrinkageView>(`${PART}/shrinkage`)
        const last = decisions[0]?.number ?? null
        const x = 1.18 + (turn % 100) / 10_000
        const body = { x, y: 1.18, z: 1.2, firstBuild: `not printed ${turn}`, reason: mark, who, last }
        return { path: `${PART}/shrinkage/decisions`, body }
      },
    },
    {
      name: 'factor decision taken back',
      async prepare(get, mark) {
        const { decisions } = await get<ShrinkageView>(`${PART}/shrinkage`)
        const one = decisions.find(({ mayBeTakenBack }) => mayBeTakenBack)
        if (one === undefined) return null
        return {
          path: `${PART}/shrinkage/decisions/${one.number}/taken-back`,
          body: { reason: mark, who },
        }
      },
    },
    {
      name: 'settings of shrinkage',
      async prepare(get, mark, turn) {
        const { version, adjustment } = (await get<ShrinkageView>(`${PART}/shrinkage`)).settings
        return {
          path: `${PART}/shrinkage/settings`,
          body: { version, adjustment: { ...adjustment, changeCost: turn % 7 }, told: [], reason: mark, who },
        }
      },
    },
  ],
  [
    {
      name: 'register of gauges',
      async prepare(get, mark, turn) {
        const { entries } = await get<GaugeView>('/api/gauges/register/CMM-1')
        const version = entries[0]?.version ?? 0
        const said = { kind: 'machine', unit: 'mm', certificate: null, due: null, inUse: true }
        return {
          path: '/api/gauges/register/CMM-1',
          body: {
            ...said,
            resolution: (1 + (turn % 9)) / 1000,
            characteristics: [],
            reason: mark,
            who,
            version,
          },
        }
      },
    },
    {
      name: 'receivers of notices',
      async prepare(get, mark, turn) {
        const { version } = (await get<EventNoticesView>('/api/event-notices')).settings
        const quiet = turn % 2 === 0 ? null : { from: '22:00', to: '06:00', zone: 'UTC' }
        return {
          path: '/api/event-notices/settings',
          body: { version, recipients: [], webhook: null, partNumbers: null, quiet, who, reason: mark },
        }
      },
    },
    {
      name: 'withdrawal of an import',
      async prepare(get, mark) {
        const { imports } = await get<ImportsView>('/api/imports')
        const inForce = imports.filter(
          ({ fileName, withdrawn }) => fileName.startsWith('file-') && !withdrawn,
        )
        // The newest stay: they are looked for by name.
        const one = inForce[3]
        return one === undefined
          ? null
          : { path: `/api/imports/${one.importId}/withdraw`, body: { who, reason: mark } }
      },
    },
  ],
]

/** Each change of a study makes one version, so that the version says which of the changes comes next. */
function study(name: string, designator: string, changes: readonly [unknown, unknown]): DecisionKind {
  const path = `${PART}/characteristics/${designator}/study?${STAGE}`
  return {
    name,
    async prepare(get, mark) {
      const { version } = await get<StudyView>(path)
      return { path, body: { version, change: changes[version % 2], who, reason: mark } }
    },
  }
}

/** The words of every decision on record. */
export async function marksOnRecord(store: Store): Promise<ReadonlySet<string>> {
  const marks = new Set<string>()
  const add = (rows: readonly { readonly reason: string }[]) => {
    for (const { reason } of rows) marks.add(reason)
  }
  const partNumber = (await store.partNumbers()).find(({ number }) => number === DECIDED.number)
  if (partNumber === undefined) return marks
  const { id } = partNumber
  for (const { text } of await store.remarks(id)) marks.add(text ?? '')
  for (const { cause } of await store.findings(id)) marks.add(cause)
  const exclusions = await store.exclusions(id, 'sintered')
  add(exclusions)
  add(exclusions.flatMap(({ undone }) => undone ?? []))
  for (const characteristic of await store.characteristics(id)) {
    add(await store.studyVersions(characteristic.id, 'sintered'))
  }
  add(await store.customerRequirements(id))
  const factors = await store.factorDecisions(id)
  add(factors)
  add(factors.flatMap(({ takenBack }) => takenBack ?? []))
  add(await store.shrinkageSettings(id))
  for (const { entries } of await store.gauges()) add(entries)
  add(await store.noticeSettings())
  add((await store.imports(Number.MAX_SAFE_INTEGER)).flatMap(({ withdrawn }) => withdrawn ?? []))
  return marks
}
