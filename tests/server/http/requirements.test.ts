import { afterAll, beforeAll, expect, it } from 'vitest'
import { createApp } from '../../../server/app.ts'
import type { Report } from '../../../server/contract/report.ts'
import type { RequirementsView } from '../../../server/contract/requirements.ts'
import type { CapabilityView } from '../../../server/contract/views.ts'
import { createIntake, type Intake } from '../../../server/intake/jobs.ts'
import type { Shop } from '../intake/shop.ts'
import { openReportShop } from '../report/report-shop.ts'

const PART = '/api/part-numbers/HB-204/C'
const CRITICAL = { name: 'critical', index: 'Cpk', value: 2.5, confidence: 0.99 } as const
const DECISION = {
  version: 0,
  fallback: { index: 'Ppk', value: 1, confidence: 0.9 },
  classes: [CRITICAL],
  assigned: [{ designator: '5', class: 'critical' }],
  who: 'Ines Quark',
  reason: 'order 4711, annex 2',
}

let shop: Shop
let intake: Intake
let app: ReturnType<typeof createApp>

beforeAll(async () => {
  shop = await openReportShop()
  intake = createIntake({ store: shop.store, dataFolder: shop.folder })
  app = createApp({
    store: shop.store,
    intake,
    sampleFolder: shop.folder,
    clientFolder: shop.folder,
  })
}, 60_000)
afterAll(async () => {
  await intake.close()
  await shop.close()
})

const get = async <T>(path: string) => (await (await app.request(PART + path)).json()) as T
const decide = (body: unknown) =>
  app.request(`${PART}/requirements`, {
    method: 'POST',
    headers: { 'Content-Type': 'application/json' },
    body: JSON.stringify(body),
  })

it('has a default, and says that nobody decided it', async () => {
  const view = await get<RequirementsView>('/requirements')
  expect(view).toMatchObject({
    version: 0,
    fallback: { index: 'Ppk', value: 1.33, confidence: 0.95 },
    classes: [],
  })
  expect(view.characteristics.map(({ class: name }) => name)).toEqual(new Array(7).fill(null))
})

it.each([
  ['two classes of one name', { ...DECISION, classes: [CRITICAL, CRITICAL] }, 422],
  ['a class that is not there', { ...DECISION, assigned: [{ designator: '5', class: 'major' }] }, 422],
  [
    'a characteristic that is not there',
    { ...DECISION, assigned: [{ designator: '99', class: 'critical' }] },
    422,
  ],
  [
    'a characteristic in two classes',
    { ...DECISION, assigned: [...DECISION.assigned, ...DECISION.assigned] },
    422,
  ],
  ['no reason', { ...DECISION, reason: ' ' }, 400],
  ['an index of 0', { ...DECISION, fallback: { ...DECISION.fallback, value: 0 } }, 400],
] as const)('refuses %s', async (_, body, status) => {
  expect((await decide(body)).status).toBe(status)
  expect((await get<RequirementsView>('/requirements')).version).toBe(0)
})

it('keeps a decision, and judges page and report by it', async () => {
  const kept = await decide(DECISION)
  expect(kept.status).toBe(201)
  expect(await kept.json()).toMatchObject({
    version: 1,
    history: [{ reason: 'order 4711, annex 2', who: 'Ines Quark' }],
  })
  const view = await get<CapabilityView>('/capability?stage=sintered')
  const report = await get<Report>('/report?stage=sintered&format=json')
  const reported = report.content.characteristics
  for (const [i, row] of view.rows.entries()) {
    const isCritical = row.characteristic.designator === '5'
    const { index, value, confidence } = isCritical ? CRITICAL : DECISION.fallback
    expect(row.requirement).toEqual({ index, value, confidence, class: isCritical ? 'critical' : null })
    expect(row.judged).toEqual(isCritical ? row.cpk : row.ppk)
    expect(row.ppk?.confidence).toBe(confidence)
    expect(reported[i]?.summary.verdict).toBe(row.verdict)
    expect(reported[i]?.summary.judged).toEqual(row.judged)
  }
  expect(view.headline.map(({ text }) => text).join('')).toContain('what is asked')
})

it('lets one index be asked of all for a look', async () => {
  const view = await get<CapabilityView>('/capability?stage=sintered&required=1.5')
  expect(new Set(view.rows.map(({ requirement }) => requirement.value))).toEqual(new Set([1.5]))
})

it('refuses a decision made on the sight of an older version, and says what the other did', async () => {
  const late = await decide({ ...DECISION, who: 'Emil Rau' })
  expect(late.status).toBe(409)
  expect(JSON.stringify(await late.json())).toContain('order 4711, annex 2')
})
