import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest'
import type {
  ExclusionsView,
  FindingsView,
  RemarksView,
  StudyPreview,
  StudyView,
} from '../../../server/contract/decisions.ts'
import type {
  CapabilityView,
  ChartView,
  DriftView,
  EventsView,
  ShopNewsView,
  SubgroupView,
} from '../../../server/contract/views.ts'
import type { Problem } from '../../../server/problem.ts'
import { plain } from '../../../src/words/sentence.ts'
import { normalSource } from '../../src/run-length/simulation.ts'
import { type RunningServer, startServer } from '../../tools/running-server.ts'

/** Two characteristics over thirty builds of four parts; one value of build b07 is mistyped. */
function file(partNumber: string): string {
  const normal = normalSource(11)
  const lines = ['part_number,revision,serial,build,characteristic,value']
  for (let build = 1; build <= 30; build++) {
    const name = `b${String(build).padStart(2, '0')}`
    const level = build > 20 ? 0.2 : 0
    for (let part = 1; part <= 4; part++) {
      for (const characteristic of [1, 2]) {
        const value = 10 * characteristic + level + 0.01 * normal()
        const typed = build === 7 && part === 2 && characteristic === 1 ? value + 9 : value
        lines.push(`${partNumber},A,${name}-${part},${name},${characteristic},${typed.toFixed(4)}`)
      }
    }
  }
  return lines.join('\n')
}

let server: RunningServer
let partNumber: string
/** Address of the part number, and of its characteristic 1. */
let base: string
let one: string
let importId: number | null

beforeAll(async () => {
  server = await startServer()
})
afterAll(() => server.stop())

// A part number of its own for each test.
let count = 0
beforeEach(async () => {
  count++
  partNumber = `P-${count}`
  base = `/api/part-numbers/${partNumber}/A`
  one = `${base}/characteristics/1`
  const receipt = await server.bring(`${partNumber}.csv`, file(partNumber))
  expect(receipt.verdict).toBe('taken')
  importId = receipt.importId
})

async function post(path: string, body: unknown): Promise<{ status: number; body: unknown }> {
  const answer = await fetch(server.url + path, {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify(body),
  })
  return { status: answer.status, body: await answer.json() }
}

async function done<T>(path: string, body: unknown): Promise<T> {
  const answer = await post(path, body)
  expect(answer.status, JSON.stringify(answer.body)).toBeLessThan(300)
  return answer.body as T
}

async function refused(path: string, body: unknown): Promise<Problem & { status: number }> {
  const answer = await post(path, body)
  expect(answer.status).toBeGreaterThanOrEqual(400)
  return { status: answer.status, ...(answer.body as { error: Problem }).error }
}

const chart = () => server.get<ChartView>(`${one}/chart`)
const signed = { who: 'Ines Quark', reason: 'new furnace lining' }

describe('a study', () => {
  it('is nobody’s decision at first', async () => {
    expect(await server.get<StudyView>(`${one}/study`)).toMatchObject({ version: 0, opened: [], history: [] })
  })

  it.each([
    { kind: 'open-phase', build: 'b21' },
    { kind: 'choose-baseline', build: 'b01', span: { from: 'b08', to: 'b20' } },
    { kind: 'freeze-limits', build: 'b05' },
    { kind: 'choose-tests', tests: ['beyond-three-sigma'] },
    { kind: 'choose-estimators', within: 'average-range', step: 'median' },
  ])('becomes what the preview showed: $kind', async (change) => {
    const before = await chart()
    const preview = await done<StudyPreview>(`${one}/study/preview`, { change })
    expect(preview.version).toBe(0)
    expect(preview.before).toEqual(before.chart)
    // Looking at it changes nothing.
    expect(await chart()).toEqual(before)
    const study = await done<StudyView>(`${one}/study`, { version: 0, change, ...signed })
    expect(study.version).toBe(1)
    expect(study.history[0]).toMatchObject({ version: 1, did: preview.did, ...signed })
    const after = await chart()
    const frozen = after.chart.phases[0]?.frozen
    if (change.kind === 'freeze-limits') expect(frozen).toMatchObject({ who: 'Ines Quark', builds: 25 })
    // What a preview cannot know: who will have frozen the limits.
    const unsigned = (model: ChartView['chart']) => ({
      ...model,
      phases: model.phases.map((phase) => ({ ...phase, frozen: phase.frozen !== null })),
    })
    const signature = change.kind === 'open-phase' ? 'new furnace lining' : after.chart.phases.at(-1)?.reason
    expect(unsigned(after.chart)).toEqual({
      ...unsigned(preview.after),
      phases: unsigned(preview.after).phases.map((phase, i, all) =>
        i === all.length - 1 ? { ...phase, reason: signature } : phase,
      ),
    })
    // The other characteristic is charted as before.
    expect((await server.get<ChartView>(`${base}/characteristics/2/chart`)).study.version).toBe(0)
  })

  it('tells which signals come and go', async () => {
    const preview = await done<StudyPreview>(`${base}/characteristics/2/study/preview`, {
      change: { kind: 'open-phase', build: 'b21' },
    })
    expect(preview.lost.some((signal) => signal.from === 'b21' && signal.to === 'b30')).toBe(true)
    expect(preview.gained).toEqual([])
  })

  it('made on stale sight is refused with what the other did, and nothing is kept', async () => {
    const first = { version: 0, change: { kind: 'open-phase', build: 'b21' }, ...signed }
    await done(`${one}/study`, first)
    const problem = await refused(`${one}/study`, {
      version: 0,
      change: { kind: 'choose-tests', tests: ['six-steadily'] },
      who: 'Emil Rau',
      reason: 'drift',
    })
    expect(problem.status).toBe(409)
    expect(problem.what).toMatch(
      /^Meanwhile, \d{4}-\d\d-\d\d \d\d:\d\d UTC, Ines Quark opened a phase at build b21 \(new furnace lining\)\.$/,
    )
    expect(problem.next).toMatch(/not kept/)
    expect((await server.get<StudyView>(`${one}/study`)).version).toBe(1)
  })

  it('made by two at once is one’s, and the other is told', async () => {
    const by = (who: string) =>
      post(`${one}/study`, { version: 0, change: { kind: 'open-phase', build: 'b21' }, who, reason: 'moved' })
    const answers = await Promise.all([by('A'), by('B'), by('C')])
    expect(answers.map((answer) => answer.status).sort()).toEqual([201, 409, 409])
    expect((await server.get<StudyView>(`${one}/study`)).history).toHaveLength(1)
  })

  it.each([
    ['what cannot be', { kind: 'open-phase', build: 'b01' }, 422, /no build before it/],
    ['a build that is not there', { kind: 'open-phase', build: 'b99' }, 400, /no build b99/],
    ['no test', { kind: 'choose-tests', tests: [] }, 400, /at least one/],
    ['a test that does not exist', { kind: 'choose-tests', tests: ['luck'] }, 400, /./],
  ])('refuses %s', async (_, change, status, what) => {
    for (const path of ['study/preview', 'study']) {
      const problem = await refused(`${one}/${path}`, { version: 0, change, ...signed })
      expect(problem.status).toBe(status)
      expect(problem.what).toMatch(what)
      expect(problem.next).not.toBe('')
    }
  })

  it('needs a name and a reason', async () => {
    const change = { kind: 'open-phase', build: 'b21' }
    expect((await refused(`${one}/study`, { version: 0, change, who: ' ', reason: 'x' })).what).toMatch(
      /name/,
    )
    expect((await refused(`${one}/study`, { version: 0, change, who: 'x', reason: '' })).what).toMatch(/why/)
  })
})

describe('what is left out', () => {
  const value = {
    build: 'b07',
    single: { serial: 'b07-2', replicate: 1 },
    who: 'Ines Quark',
    reason: 'mistyped',
  }
  const signalsAt = async (build: string) => {
    const { chart: model } = await chart()
    const at = model.subgroups.findIndex((subgroup) => subgroup.label === build)
    return model.signals.filter((signal) => signal.points.includes(at))
  }

  it('loses its signals, stays in sight, and comes back', async () => {
    const before = await chart()
    expect((await signalsAt('b07')).some(({ panel }) => panel === 'spread')).toBe(true)
    const { exclusions } = await done<ExclusionsView>(`${one}/exclusions`, value)
    expect(exclusions).toMatchObject([
      { designator: '1', build: 'b07', single: { serial: 'b07-2' }, who: 'Ines Quark', reason: 'mistyped' },
    ])
    expect((await signalsAt('b07')).some(({ panel }) => panel === 'spread')).toBe(false)
    const after = await chart()
    expect(after.chart.subgroups[6]).toMatchObject({ n: 3, leftOut: false })
    expect(after.chart.subgroups[6]?.leftOutValues[0]).toBeGreaterThan(18)
    expect(after.exclusions).toEqual(exclusions)
    const values = await server.get<SubgroupView>(`${one}/builds/b07`)
    expect(values.values).toHaveLength(4)
    expect(values.exclusions).toEqual(exclusions)
    const ppk = async () =>
      (await server.get<CapabilityView>(`${base}/capability`)).rows.find(
        (row) => row.characteristic.designator === '1',
      )
    expect((await ppk())?.n).toBe(119)
    await done(`${base}/exclusions/taken-back`, {
      exclusions: exclusions.map(({ id }) => id),
      who: 'Emil Rau',
      reason: 'read again: right',
    })
    expect(await chart()).toEqual(before)
    expect((await ppk())?.n).toBe(120)
  })

  it('may be a whole build of every characteristic', async () => {
    const { exclusions } = await done<ExclusionsView>(`${one}/exclusions`, {
      build: 'b07',
      single: null,
      everyCharacteristic: true,
      who: 'Ines Quark',
      reason: 'furnace alarm',
    })
    expect(exclusions.map(({ designator, single }) => [designator, single])).toEqual([
      ['1', null],
      ['2', null],
    ])
    const { overview } = await server.get<DriftView>(`${base}/drift`)
    expect(overview.rows.map((row) => row.leftOut)).toEqual([[6], [6]])
    expect((await server.get<CapabilityView>(`${base}/capability`)).rows.map((row) => row.n)).toEqual([
      116, 116,
    ])
  })

  it('is left out once, and taken back once, and the other is told by whom', async () => {
    const { exclusions } = await done<ExclusionsView>(`${one}/exclusions`, value)
    const again = await refused(`${one}/exclusions`, { ...value, who: 'Emil Rau' })
    expect(again.status).toBe(409)
    expect(again.what).toMatch(/Ines Quark left this out already: mistyped/)
    const back = { exclusions: exclusions.map(({ id }) => id), who: 'Emil Rau', reason: 'right' }
    await done(`${base}/exclusions/taken-back`, back)
    const twice = await refused(`${base}/exclusions/taken-back`, { ...back, who: 'Ines Quark' })
    expect(twice.status).toBe(409)
    expect(twice.what).toMatch(/Emil Rau took it back/)
  })

  it('must be there', async () => {
    const wrong = { ...value, single: { serial: 'b07-9', replicate: 1 } }
    expect((await refused(`${one}/exclusions`, wrong)).status).toBe(404)
    expect((await refused(`${one}/exclusions`, { ...value, build: 'b99' })).status).toBe(404)
    const back = { exclusions: [9999], who: 'Emil Rau', reason: 'right' }
    expect((await refused(`${base}/exclusions/taken-back`, back)).status).toBe(404)
  })
})

describe('a finding', () => {
  const finding = {
    characteristics: ['1', '2'],
    from: 'b21',
    to: 'b30',
    cause: 'powder lot K8 shrinks more',
    action: 'scale factor under review',
    state: 'open',
    verified: 'not yet',
    who: 'Ines Quark',
  }

  it('answers its signals once its cause is known, and the first sentence speaks of others', async () => {
    const said = async () => plain((await server.get<EventsView>(`${base}/events`)).headline)
    const moved = await said()
    expect(moved).toMatch(/^Since build b21/)
    const [open] = (await done<FindingsView>(`${base}/findings`, finding)).findings
    expect(open).toMatchObject({ revision: 1, state: 'open', places: { from: 20, to: 29 } })
    const number = open?.number
    expect(await said()).toBe(moved)
    await done(`${base}/findings/${number}`, {
      ...finding,
      revision: 1,
      state: 'explained',
      who: 'Emil Rau',
    })
    const after = await server.get<DriftView>(`${base}/drift`)
    expect(after.findings).toMatchObject([
      { number, revision: 2, who: 'Emil Rau', first: { who: 'Ines Quark' } },
    ])
    expect(await said()).not.toMatch(/^Since build b21/)
    const view = await server.get<ChartView>(`${base}/characteristics/2/chart`)
    expect(view.answers).toContain(number)
  })

  it('takes its events out of the news of the shop', async () => {
    const news = async () =>
      (await server.get<ShopNewsView>('/api/shop/news')).partNumbers.find(
        ({ number }) => number === partNumber,
      )
    expect(await news()).toMatchObject({ movedSince: 'b21', further: 0 })
    await done(`${base}/findings`, { ...finding, from: 'b01', state: 'explained' })
    expect(await news()).toMatchObject({ movedSince: null, further: 0 })
  })

  it('changed on stale sight is refused with what the other did', async () => {
    const number = (await done<FindingsView>(`${base}/findings`, finding)).findings[0]?.number
    await done(`${base}/findings/${number}`, { ...finding, revision: 1, state: 'done', who: 'Emil Rau' })
    const problem = await refused(`${base}/findings/${number}`, {
      ...finding,
      revision: 1,
      cause: 'furnace 2',
    })
    expect(problem.status).toBe(409)
    expect(problem.what).toMatch(/Emil Rau changed finding \d+: it is done/)
    expect((await server.get<FindingsView>(`${base}/findings`)).findings[0]?.cause).toBe(finding.cause)
  })

  it.each([
    ['without a cause', { cause: '' }, 400],
    ['that runs backwards', { from: 'b30', to: 'b21' }, 422],
    ['about a characteristic that is not there', { characteristics: ['77'] }, 422],
    ['about a build that is not there', { to: 'b99' }, 404],
  ])('%s is refused', async (_, patch, status) => {
    expect((await refused(`${base}/findings`, { ...finding, ...patch })).status).toBe(status)
    expect((await refused(`${base}/findings/9999`, { ...finding, revision: 1 })).status).toBe(404)
  })
})

describe('a remark', () => {
  it('stands at its build, is changed, and is taken back', async () => {
    const remark = { build: 'b12', text: 'furnace 2 serviced', who: 'Emil Rau' }
    const { remarks } = await done<RemarksView>(`${base}/remarks`, remark)
    expect(remarks).toMatchObject([{ revision: 1, place: 11, ...remark }])
    const own = `${base}/remarks/${remarks[0]?.number}`
    await done(own, { revision: 1, text: 'furnace 2 relined', who: 'Emil Rau' })
    const stale = await refused(own, { revision: 1, text: null, who: 'Ines Quark' })
    expect(stale.status).toBe(409)
    expect(stale.what).toMatch(/Emil Rau changed the remark to “furnace 2 relined”/)
    expect((await server.get<DriftView>(`${base}/drift`)).remarks[0]?.text).toBe('furnace 2 relined')
    await done(own, { revision: 2, text: null, who: 'Emil Rau' })
    expect((await server.get<RemarksView>(`${base}/remarks`)).remarks).toEqual([])
  })
})

describe('decisions about what an import brought', () => {
  it('outlive its withdrawal', async () => {
    await done(`${one}/study`, { version: 0, change: { kind: 'open-phase', build: 'b21' }, ...signed })
    await done(`${one}/exclusions`, {
      build: 'b07',
      single: { serial: 'b07-2', replicate: 1 },
      who: 'Ines Quark',
      reason: 'mistyped',
    })
    await done(`/api/imports/${importId}/withdraw`, { who: 'Emil Rau', reason: 'wrong gauge' })
    expect((await server.get<StudyView>(`${one}/study`)).history).toHaveLength(1)
    expect((await server.get<ExclusionsView>(`${base}/exclusions`)).exclusions).toEqual([])
    expect((await server.get<DriftView>(`${base}/drift`)).overview.rows).toEqual([])
    // The same bytes again: a new import, whose values nobody has left out.
    expect((await server.bring('again.csv', file(partNumber))).verdict).toBe('taken')
    const view = await chart()
    expect(view.chart.subgroups[6]).toMatchObject({ n: 4, leftOutValues: [] })
    expect(view.chart.phases).toHaveLength(2)
  })
})
