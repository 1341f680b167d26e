import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { createApp } from '../../../server/app.ts'
import type {
  CapabilityDetailView,
  IndexCourseView,
  WhatIfView,
} from '../../../server/contract/capability-detail.ts'
import type { CapabilityView } from '../../../server/contract/views.ts'
import { createIntake, type Intake } from '../../../server/intake/jobs.ts'
import type { Problem } from '../../../server/problem.ts'
import { plain } from '../../../src/words/sentence.ts'
import type { Shop } from '../intake/shop.ts'
import { openReportShop } from '../report/report-shop.ts'

/** One characteristic by itself; the shop has 30 builds of 6 parts, and seven characteristics. */

const PART = '/api/part-numbers/HB-204/C'

let shop: Shop
let intake: Intake
let app: ReturnType<typeof createApp>

beforeAll(async () => {
  shop = await openReportShop()
  intake = createIntake({ store: shop.store, dataFolder: shop.folder })
  app = createApp({ store: shop.store, intake, sampleFolder: shop.folder, clientFolder: shop.folder })
}, 60_000)
afterAll(async () => {
  await intake.close()
  await shop.close()
})

const get = async <T>(path: string) => (await (await app.request(PART + path)).json()) as T
const detail = (designator: string, query = '') =>
  get<CapabilityDetailView>(`/characteristics/${designator}/capability?stage=sintered${query}`)

describe('the detail of a characteristic', () => {
  it.each(['', '&last=10', '&required=1.6&confidence=0.9'])(
    'says the same as the table, asked %s',
    async (query) => {
      const { rows } = await get<CapabilityView>(`/capability?stage=sintered${query}`)
      const view = await detail('5', query)
      expect(view.measured?.summary).toEqual(
        rows.find(({ characteristic }) => characteristic.designator === '5'),
      )
    },
  )

  it('leads to its neighbours, and names none beyond the ends', async () => {
    expect(await detail('1')).toMatchObject({ place: 1, of: 7, before: null, after: { designator: '2' } })
    expect(await detail('7')).toMatchObject({ place: 7, before: { designator: '6' }, after: null })
  })

  it('holds every value, and the builds that they are of', async () => {
    const { measured } = await detail('5')
    expect(measured?.binned?.n).toBe(180)
    expect(measured?.seenOutside.total).toMatchObject({ count: 0, value: 0 })
    expect(measured?.buildNames).toHaveLength(30)
    expect(measured?.nEffective).toBeLessThanOrEqual(180)
  })

  it('has its index followed over the same builds', async () => {
    const follow = (query: string) =>
      get<IndexCourseView>(`/characteristics/5/index-course?stage=sintered${query}`)
    const { course, buildNames } = await follow('')
    expect(buildNames).toEqual((await detail('5')).measured?.buildNames)
    const points = course?.points ?? []
    expect(points.map(({ to, n }) => [to, n])).toEqual([24, 25, 26, 27, 28, 29].map((to) => [to, 150]))
    const narrow = await follow('&last=26&required=1.6')
    expect(narrow.course?.points).toHaveLength(2)
    // The last window of 25 builds is a span of its own.
    expect(narrow.course?.points[1]?.index).toEqual((await detail('5', '&last=25')).measured?.summary.ppk)
    expect((await follow('&last=25')).course).toBeNull()
    expect(await get<IndexCourseView>('/characteristics/5/index-course?stage=green')).toEqual({
      course: null,
      buildNames: [],
    })
  })

  it('is said to be not measured where it is not', async () => {
    const view = await get<CapabilityDetailView>('/characteristics/5/capability?stage=green')
    expect(view).toMatchObject({ place: null, of: 0, before: null, after: null, measured: null })
    expect(plain(view.headline)).toBe('5 +cmd is not measured in these builds.')
  })

  it.each([
    ['a characteristic that is not there', '/characteristics/99/capability', 404, /no characteristic 99/],
    ['no number of builds', '/characteristics/5/capability?last=few', 400, /number/],
  ])('%s is said so', async (_, path, status, what) => {
    const answer = await app.request(PART + path)
    expect(answer.status).toBe(status)
    expect(((await answer.json()) as { error: Problem }).error.what).toMatch(what)
  })
})

describe('what if', () => {
  const whatIf = (query: string) => get<WhatIfView>(`/characteristics/5/what-if?stage=sintered&${query}`)

  it('answers with figures and with words that say what is supposed', async () => {
    const { measured } = await detail('5')
    const { words, supposed, verdict } = await whatIf('centred=true&lower=15.8&upper=16.2')
    expect(plain(words)).toMatch(
      /^If the limits were 15\.8 and 16\.2 mm, and the values lay in the middle of the tolerance, Ppk would be/,
    )
    expect(supposed?.mean).toBeCloseTo(16, 12)
    expect(supposed?.limits).toEqual({ lower: 15.8, upper: 16.2 })
    // Twice the tolerance of 15.9 to 16.1, in the middle: Ppk is twice today’s Pp.
    expect(supposed?.nearer?.value).toBeCloseTo(2 * (measured?.summary.pp?.value as number), 10)
    expect(verdict).toBe('holds')
  })

  it('is today’s Ppk where nothing is supposed', async () => {
    const { measured } = await detail('5')
    expect((await whatIf('')).supposed?.nearer).toEqual(measured?.summary.ppk)
  })

  it.each([
    ['crossed limits', 'lower=17', /lower limit has to lie below/],
    ['no limits', 'lower=&upper=', /Without any limit/],
    ['a far limit', 'upper=16000000', /check its unit/],
    ['one limit and a middle', 'upper=&centred=true', /no middle without two limits/],
    ['nothing measured', 'stage=green&centred=true', /not measured/],
  ])('says why it cannot be told: %s', async (_, query, why) => {
    const view = await get<WhatIfView>(`/characteristics/5/what-if?${query}`)
    expect(view.supposed).toBeNull()
    expect(plain(view.words)).toMatch(why)
  })

  it('refuses what is no number, with what to write', async () => {
    const answer = await app.request(`${PART}/characteristics/5/what-if?upper=wide`)
    expect(answer.status).toBe(400)
    const { error } = (await answer.json()) as { error: Problem }
    expect(error).toMatchObject({ where: 'upper', what: expect.stringContaining('such as 12.35') })
  })
})
