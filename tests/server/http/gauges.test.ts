import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { GaugePlanView, GaugeStudyView, GaugesView, GaugeView } from '../../../server/contract/gauges.ts'
import type { Report, ReportSummary, Verification } from '../../../server/contract/report.ts'
import type { CapabilityView, ChartView } from '../../../server/contract/views.ts'
import { reportChanges } from '../../../server/report/compare.ts'
import { GAUGE_EXAMPLE } from '../../../src/evidence/data/gauge-example.ts'
import { gaugeStudy } from '../../../src/gauges/gauge-study.ts'
import { plain } from '../../../src/words/sentence.ts'
import { drawStudy } from '../../src/gauges/readings.ts'
import { normalSource } from '../../src/run-length/simulation.ts'
import { type RunningServer, startServer } from '../../tools/running-server.ts'

/** Gauges, studies and plans over HTTP, from the register to the sheet that comes back. */

let server: RunningServer

const DRAWING = `part_number,revision,designator,name,kind,nominal,lower,upper,unit,axis
HB-204,C,9,step,length,0,-5,5,mm,Z
HB-204,C,10,lug height,length,9,8.92,9.08,mm,Z
`

const EXAMPLE = [
  'gauge;characteristic;part;appraiser;trial;reading (mm)',
  ...GAUGE_EXAMPLE.map(
    ({ part, inspector, value }, i) =>
      `caliper 3;9;${part};${inspector};${(Math.floor(i / 10) % 3) + 1};${value}`,
  ),
].join('\n')

beforeAll(async () => {
  server = await startServer()
  await server.bring('drawing.csv', DRAWING)
})
afterAll(() => server.stop())

const get = async <T>(address: string) => (await (await fetch(`${server.url}${address}`)).json()) as T
const post = (address: string, body: unknown) =>
  fetch(`${server.url}${address}`, {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify(body),
  })

const ENTRY = {
  kind: 'caliper',
  unit: 'mm',
  resolution: 0.01,
  certificate: { number: 'K 17', expanded: 0.02, coverageFactor: 2, date: '2020-01-10' },
  due: '2021-01-10',
  characteristics: [1, 2],
  inUse: true,
  reason: 'bought',
  who: 'Ines Quark',
  version: 0,
}

describe('the register of gauges', () => {
  it('opens by saying that nobody has looked', async () => {
    const view = await get<GaugesView>('/api/gauges')
    expect(plain(view.headline)).toBe(
      'How finely the two characteristics are measured nobody has studied yet.',
    )
  })

  it('takes what is said of a gauge, and names what is overdue', async () => {
    expect((await post('/api/gauges/register/caliper%203', ENTRY)).status).toBe(201)
    const view = await get<GaugesView>('/api/gauges')
    expect(view.gauges).toMatchObject([{ name: 'caliper 3', kind: 'caliper', state: 'overdue' }])
    expect(plain(view.grounds)).toMatch(/^Caliper 3 is overdue by [\d,]+ days\.$/)
  })

  it('refuses what was said on the sight of an older version, with what the other said', async () => {
    const stale = await post('/api/gauges/register/caliper%203', ENTRY)
    expect(stale.status).toBe(409)
    expect(((await stale.json()) as { error: { what: string } }).error.what).toContain(
      'Ines Quark said of caliper 3: bought',
    )
  })

  it('refuses a date that is none and a characteristic that is not there', async () => {
    const date = await post('/api/gauges/register/c', { ...ENTRY, due: 'soon' })
    expect(date.status).toBe(400)
    const missing = await post('/api/gauges/register/c', { ...ENTRY, characteristics: [77] })
    expect(missing.status).toBe(422)
    expect((await fetch(`${server.url}/api/gauges/register/c`)).status).toBe(404)
  })
})

describe('a study', () => {
  let id: number
  beforeAll(async () => {
    await server.bring('study.csv', EXAMPLE)
    id = (await get<GaugesView>('/api/gauges')).studies[0]?.id as number
  })
  const study = (query = '') => get<GaugeStudyView>(`/api/gauges/studies/${id}${query}`)

  it('is the published example: components, categories, interaction pooled by its test', async () => {
    const view = await study()
    // AIAG, Measurement Systems Analysis, fourth edition (2010), chapter III, section B (from memory).
    expect(view.spread?.study.components.gauge?.sd.value).toBeCloseTo(0.30237, 5)
    expect(view.spread?.study.components.repeatability?.sd.value).toBeCloseTo(0.19993, 5)
    expect(view.spread?.study.interaction).toBe('pooled')
    expect(Math.floor(view.spread?.study.categories?.value ?? 0)).toBe(4)
    expect(view.spread?.averageAndRange).toMatchObject({ gauge: expect.closeTo(0.30588, 3) })
    expect(plain(view.headline)).toContain('usable with care for 9 step: it takes 18 % of the tolerance')
  })

  it('leads from every reading to its row', async () => {
    const { readings } = await study()
    expect(readings).toHaveLength(90)
    expect(readings[0]).toMatchObject({
      importId: 2,
      line: 2,
      part: '1',
      inspector: 'A',
      trial: 1,
      value: 0.29,
    })
  })

  it('is analysed by restricted maximum likelihood where that is asked for', async () => {
    const view = await study('?method=restricted%20maximum%20likelihood&interaction=pooled')
    expect(view.spread?.study.method).toBe('restricted maximum likelihood')
    // Balanced, without interaction, both agree.
    expect(view.spread?.study.components.gauge?.sd.value).toBeCloseTo(0.30237, 4)
    expect((await fetch(`${server.url}/api/gauges/studies/${id}?method=guess`)).status).toBe(400)
  })

  it('of many pairs is analysed on a thread, with the same result', async () => {
    const uneven = drawStudy(
      16,
      2,
      2,
      { part: 1, inspector: 0.2, interaction: 0.1, repeatability: 0.2 },
      normalSource(7),
    ).slice(1)
    const rows = uneven.map(
      ({ part, inspector, value }, i) => `caliper 9,${part},${inspector},${i + 1},${value}`,
    )
    const receipt = await server.bring('uneven.csv', `gauge,part,inspector,trial,value\n${rows.join('\n')}\n`)
    expect(receipt).toMatchObject({ verdict: 'taken', refused: [] })
    const newest = (await get<GaugesView>('/api/gauges')).studies[0]?.id
    const view = await get<GaugeStudyView>(`/api/gauges/studies/${newest}`)
    expect(view.spread?.study.method).toBe('restricted maximum likelihood')
    const here = gaugeStudy(uneven, { interaction: 'tested' })
    expect(view.spread?.study.components.gauge?.sd.value).toBeCloseTo(
      here.components.gauge?.sd.value ?? Number.NaN,
      6,
    )
  })

  it('is taken for nested where its parts are each inspector’s own', async () => {
    const view = await study('?layout=nested')
    expect(view.spread?.study.layout).toBe('nested')
    expect(plain(view.grounds)).toContain('Each inspector had other parts')
  })

  it('makes the verdict on its characteristic, and the gauge leads to it', async () => {
    const view = await get<GaugesView>('/api/gauges')
    expect(plain(view.headline)).toBe(
      'The gauges at hand are usable with care for one of two characteristics; nobody has looked at one.',
    )
    const gauge = await get<GaugeView>('/api/gauges/register/caliper%203')
    expect(gauge.studies.map((each) => each.id)).toContain(id)
    expect(gauge.results[0]?.uncertainty?.sources.map(({ name }) => name)).toContain('calibration')
  })

  it('that is not there is not found', async () => {
    expect((await fetch(`${server.url}/api/gauges/studies/999`)).status).toBe(404)
  })
})

describe('other studies', () => {
  const newest = async () => {
    const [row] = (await get<GaugesView>('/api/gauges')).studies
    return get<GaugeStudyView>(`/api/gauges/studies/${row?.id}`)
  }

  it('of known parts tell bias and linearity', async () => {
    await server.bring(
      'known.csv',
      'gauge;characteristic;part;reference value;value\ncaliper 3;10;M1;9;9.01\ncaliper 3;10;M1;9;9.02\ncaliper 3;10;M2;9.05;9.06\ncaliper 3;10;M2;9.05;9.07\n',
    )
    const view = await newest()
    expect(view.purpose).toBe('known parts')
    expect(view.bias?.overall?.value).toBeCloseTo(0.015, 12)
    expect(plain(view.headline)).toMatch(/^The gauge reads high: on average by \+0\.0150/)
  })

  it('of a check part make a control chart by day', async () => {
    const days = Array.from({ length: 12 }, (_, i) => `2026-09-${String(i + 1).padStart(2, '0')}`)
    const values = [9.01, 9.02, 9, 9.01, 9.02, 9.01, 9, 9.02, 9.01, 9.01, 9.02, 9.06]
    await server.bring(
      'check.csv',
      `check part;gauge;characteristic;date;value\n${days.map((day, i) => `R1;caliper 3;10;${day};${values[i]}`).join('\n')}\n`,
    )
    const view = await newest()
    expect(view.check?.chart.form).toBe('individuals')
    expect(plain(view.headline)).toContain('moved at 2026-09-12')
    const gauge = await get<GaugeView>('/api/gauges/register/caliper%203')
    expect(gauge.checks[0]?.readings[11]).toMatchObject({ line: 13, value: 9.06 })
    expect(plain(gauge.headline)).toMatch(/^Caliper 3 moved at 2026-09-12 by its check part R1: calibrate it/)
    expect(plain((await get<GaugesView>('/api/gauges')).headline)).toMatch(/^Caliper 3 moved at 2026-09-12/)
  })

  it('of a check part judge one day by the days before it, whichever file they came in', async () => {
    const head = 'check part;gauge;characteristic;date;value\n'
    const steady = [9.01, 9.02, 9, 9.01, 9.02, 9.01, 9, 9.02, 9.01, 9.01]
    const rows = steady.map((value, i) => `R2;height gauge;10;2026-09-${10 + i};${value}\n`)
    await server.bring('days.csv', head + rows.join(''))
    expect(plain((await newest()).headline)).toMatch(/^The gauge stayed where it was/)
    await server.bring('one-day.csv', `${head}R2;height gauge;10;2026-09-21;9.09\n`)
    const today = await newest()
    expect(today.purpose).toBe('check part')
    expect(today.readings).toHaveLength(1)
    expect(today.check?.readings).toHaveLength(11)
    expect(plain(today.headline)).toContain('moved at 2026-09-21')
    // Calibrated since, it is nothing to begin with any more; the chart still says it.
    const { headline } = await get<GaugeView>('/api/gauges/register/height%20gauge')
    expect(plain(headline)).toMatch(/^Height gauge moved at 2026-09-21/)
    await server.bring(
      'calibrated.csv',
      'gauge;resolution;expanded_uncertainty;calibrated_on;characteristics\nheight gauge;0.01;0.02;2026-09-22;10\n',
    )
    const after = await get<GaugeView>('/api/gauges/register/height%20gauge')
    expect(plain(after.headline)).not.toContain('moved')
    expect(after.checks[0]?.moved).toBe('2026-09-21')
  })

  it('of two gauges tell how far they agree', async () => {
    await server.bring(
      'two.csv',
      'characteristic;part;gauge;trial;value\n10;1;CMM;1;9.00\n10;1;caliper 3;1;9.01\n10;2;CMM;1;9.02\n10;2;caliper 3;1;9.04\n10;3;CMM;1;8.98\n10;3;caliper 3;1;8.99\n',
    )
    const view = await newest()
    expect(view.agreement?.gauges).toEqual(['CMM', 'caliper 3'])
    expect(view.agreement?.pairs).toHaveLength(3)
    expect(plain(view.headline)).toContain('CMM reads')
  })

  it('of one part, one trial or equal readings say what can still be said', async () => {
    await server.bring(
      'one part.csv',
      'characteristic;part;inspector;trial;value\n10;1;A;1;9\n10;1;A;2;9.01\n',
    )
    expect(plain((await newest()).grounds)).toContain('With a single part there is no spread of parts')
    await server.bring(
      'one trial.csv',
      'characteristic;part;inspector;trial;value\n10;1;A;1;9\n10;2;A;1;9.01\n',
    )
    expect(plain((await newest()).grounds)).toContain('No reading was repeated')
    await server.bring('equal.csv', 'characteristic;part;inspector;trial;value\n10;1;A;1;9\n10;2;A;1;9\n')
    expect(plain((await newest()).headline)).toBe('How finely 10 lug height is measured cannot be said yet.')
  })
})

describe('a plan', () => {
  it('keeps its order, gives a sheet, and gets its study back', async () => {
    const made = await post('/api/gauges/plans', {
      characteristic: 2,
      gauge: 'caliper 3',
      parts: ['1', '2', '3'],
      inspectors: ['Ines', 'Emil'],
      trials: 2,
      seed: 7,
      who: 'Ines Quark',
    })
    expect(made.status).toBe(201)
    const plan = (await made.json()) as GaugePlanView
    expect(plan.lines).toHaveLength(12)
    const sheet = await (await fetch(`${server.url}/api/gauges/plans/${plan.number}/sheet`)).text()
    const lines = sheet.trimEnd().split('\r\n')
    expect(lines[0]).toBe('study_plan,order,trial,inspector,part,value')
    const filled = lines
      .slice(1)
      .map((line, i) => `${line}${9 + i / 1000}`)
      .toReversed()
    const receipt = await server.bring('sheet.csv', [lines[0], ...filled].join('\r\n'))
    expect(receipt).toMatchObject({ verdict: 'taken', kind: 'gauge-study', rowsTaken: 12 })
    expect(receipt.gaugeStudies).toMatchObject([{ plan: plan.number }])
    const again = await get<GaugePlanView>(`/api/gauges/plans/${plan.number}`)
    const view = await get<GaugeStudyView>(`/api/gauges/studies/${again.studyId}`)
    expect(view).toMatchObject({
      plan: plan.number,
      gauges: ['caliper 3'],
      missing: 0,
      on: { characteristic: { designator: '10' } },
    })
  })

  it('refuses readings that are not in it, and a sheet of another record', async () => {
    const receipt = await server.bring(
      'stray.csv',
      'study_plan,trial,inspector,part,value\n1,1,Ines,4,9\n1,1,Otto,1,9\n1,3,Ines,1,9\n99,1,Ines,1,9\n',
    )
    expect(receipt.refused.map(({ column }) => column)).toEqual(['part', 'inspector', 'trial', 'study_plan'])
  })

  it('refuses names that stand twice', async () => {
    const body = {
      characteristic: null,
      gauge: null,
      parts: ['1', '1'],
      inspectors: ['A'],
      trials: 2,
      seed: 1,
      who: 'I',
    }
    const answer = await post('/api/gauges/plans', body)
    expect(answer.status).toBe(400)
    expect(((await answer.json()) as { error: { what: string } }).error.what).toBe(
      'Two parts have the same name.',
    )
  })
})

describe('the gauge in what other pages say', () => {
  const PART = '/api/part-numbers/HB-204/C'
  /** Thirty builds of four parts of 10 lug height; from the 25th on another gauge, which reads 0.03 higher. */
  const rows = Array.from({ length: 30 }, (_, build) =>
    Array.from({ length: 4 }, (_, part) => {
      const late = build >= 24
      const value = 9 + 0.004 * ((build * 7 + part * 5) % 9) - 0.016 + (late ? 0.03 : 0)
      const name = `B${String(build + 1).padStart(2, '0')}`
      return `HB-204,C,${name}-${part},${name},10,${value.toFixed(3)},sintered,${late ? 'CMM' : 'caliper 3'}`
    }),
  ).flat()

  beforeAll(async () => {
    const builds = Array.from(
      { length: 30 },
      (_, i) => `B${String(i + 1).padStart(2, '0')},2026-08-${String(i + 1).padStart(2, '0')}`,
    )
    await server.bring('builds.csv', `build,printed_at\n${builds.join('\n')}\n`)
    const receipt = await server.bring(
      'values.csv',
      `part_number,revision,serial,build,characteristic,value,stage,gauge\n${rows.join('\n')}\n`,
    )
    if (receipt.verdict !== 'taken') throw new Error(JSON.stringify(receipt))
  })

  it('is taken out of the indices beside the plain ones', async () => {
    const view = await get<CapabilityView>(`${PART}/capability?stage=sintered&required=1.33&confidence=0.95`)
    const [row] = view.corrected
    const plainPpk = view.rows.find(({ characteristic }) => characteristic.designator === '10')?.ppk
    expect(row?.indices.ppk?.plain).toEqual(plainPpk)
    const { gaugeShare, corrected } = row?.indices.ppk ?? { gaugeShare: Number.NaN, corrected: null }
    // By the formula: plain over the root of one less the gauge's share of the variance.
    expect(corrected?.value).toBeCloseTo((plainPpk?.value ?? 0) / Math.sqrt(1 - gaugeShare), 12)
  })

  it('stands in the report, with what its values prove', async () => {
    const { content } = await get<Report>(
      `${PART}/report?stage=sintered&required=1.33&confidence=0.95&format=json`,
    )
    const gauge = content.characteristics[0]?.gauge
    expect(gauge?.expanded).toBeGreaterThan(0)
    expect(gauge?.misjudged?.wronglyRejected).toBeGreaterThan(0)
    const counts = Object.values(gauge?.conformity ?? {})
    expect(counts.reduce((sum, count) => sum + count, 0)).toBe(120)
    // 24 builds by the gauge that was studied; nothing is known of the other, and the report says so.
    const { expanded = null } = gauge ?? {}
    expect(gauge?.judgedBy).toEqual([
      { gauge: 'caliper 3', from: 'caliper 3', expanded, values: 96 },
      { gauge: 'CMM', from: 'caliper 3', expanded, values: 24 },
    ])
    const capability = await get<CapabilityView>(
      `${PART}/capability?stage=sintered&required=1.33&confidence=0.95`,
    )
    const { cp, cpk, pp, ppk } = gauge ?? {}
    expect({ cp, cpk, pp, ppk }).toEqual(capability.corrected[0]?.indices)
  })

  it('judges each value of a report by the gauge that its row names', async () => {
    const before = await get<Report>(
      `${PART}/report?stage=sintered&required=1.33&confidence=0.95&format=json`,
    )
    const { id } = before.content.characteristics[0]?.characteristic ?? { id: 0 }
    const made = await post(`${PART}/report`, { who: 'Ines Quark', required: 1.33 })
    const { number } = (await made.json()) as ReportSummary
    const certificate = { number: 'K 1', expanded: 0.002, coverageFactor: 2, date: '2026-01-31' }
    const entry = { ...ENTRY, certificate, characteristics: [id], resolution: 0.0001, reason: 'bought' }
    expect((await post('/api/gauges/register/CMM', entry)).status).toBe(201)
    const { content } = await get<Report>(
      `${PART}/report?stage=sintered&required=1.33&confidence=0.95&format=json`,
    )
    const { judgedBy = [], conformity } = content.characteristics[0]?.gauge ?? {}
    expect(judgedBy.map(({ gauge, from, values }) => [gauge, from, values])).toEqual([
      ['caliper 3', 'caliper 3', 96],
      ['CMM', 'CMM', 24],
    ])
    // The certificate and the step of 0.0001: √(0.001² + (0.00005 / √3)²), twice.
    expect(judgedBy[1]?.expanded).toBeCloseTo(2 * Math.hypot(0.001, 0.00005 / Math.sqrt(3)), 12)
    // Its 24 values lie between 9.014 and 9.046, which proves that they conform; the caliper's prove what they did.
    const caliper = before.content.characteristics[0]?.gauge?.conformity
    expect(conformity?.conforming).toBeGreaterThanOrEqual(24)
    expect(conformity?.conforming).toBeGreaterThanOrEqual(caliper?.conforming ?? 0)

    // The report made before says otherwise, of measuring alone.
    const verification = await get<Verification>(`/api/reports/${number}/verify`)
    expect(verification.verdict).toBe('changed')
    expect(verification.said).toBe(
      'The figures of this report follow from the data on record; one statement about measuring does not any more.',
    )
    expect(verification.changes.map(({ what }) => what)).toEqual(['measuring: judged by'])
  })

  it('is no contradiction of a report made before anything was known of it', async () => {
    const { content } = await get<Report>(
      `${PART}/report?stage=sintered&required=1.33&confidence=0.95&format=json`,
    )
    const before = { ...content, characteristics: content.characteristics.map(({ gauge: _, ...row }) => row) }
    const { figures, measuring, since } = reportChanges(before, content)
    expect([figures, measuring]).toEqual([[], []])
    expect(since).toHaveLength(1)
    expect(since[0]).toMatch(/^10 lug height: since it was made, gauge study \d+ of caliper 3 was added;/)
    // A figure that moved is told apart from it.
    const [row] = before.characteristics
    const other = {
      ...before,
      characteristics: [{ ...row, outside: { below: 1, above: 0 } } as typeof row & object],
    }
    expect(reportChanges(other, content).figures.map(({ what }) => what)).toEqual([
      'values beyond the limits',
    ])
  })

  it('is named where a signal begins at a change of it', async () => {
    const view = await get<ChartView>(`${PART}/characteristics/10/chart?stage=sintered`)
    const at = view.chart.signals.findIndex(
      ({ points }) => view.chart.subgroups[points[0] ?? 0]?.label === 'B25',
    )
    expect(view.gaugeWords[at]).toBe(
      'It begins where the gauge changed from caliper 3 to CMM: measure some of the same parts with both before the process is blamed.',
    )
    expect(plain(view.grounds)).toContain('the gauge changed from caliper 3 to CMM')
  })
})
