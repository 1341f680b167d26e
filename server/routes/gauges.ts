import { randomInt } from 'node:crypto'
import { Hono } from 'hono'
import { sheetCsv } from '../../src/gauges/measuring-sheet.ts'
import { signed } from '../access/signer.ts'
import { now } from '../clock.ts'
import { gaugeEntry, gaugePlan, planNumber, studyNumber, studyQuery } from '../contract/gauge-requests.ts'
import { notFound, ProblemError } from '../problem.ts'
import { StaleDecisionError } from '../store/decision-writes.ts'
import { gaugesOnRecord } from '../store/gauges-on-record.ts'
import type { Store } from '../store/store.ts'
import { gaugeStudyView } from '../views/gauge-study-view.ts'
import { gaugeChoicesView, gaugePlanView, gaugesView, gaugeView } from '../views/gauges-view.ts'
import { staleProblem } from './stale.ts'
import { validated } from './validated.ts'

/** Gauges, their studies, and plans of studies; below /api/gauges. */
export function gaugeRoutes(store: Store) {
  return new Hono()
    .get('/', async (c) => c.json(await gaugesView(store)))
    .get('/choices', async (c) => c.json(await gaugeChoicesView(store)))
    .get('/register/:gauge', async (c) => c.json(await findGauge(store, c.req.param('gauge'))))
    .post('/register/:gauge', validated('json', gaugeEntry), async (c) => {
      const name = c.req.param('gauge').trim()
      if (name === '' || name.length > 200) {
        throw new ProblemError(400, {
          what: 'A gauge has a name of at most 200 characters.',
          where: 'gauge',
          next: 'Write it as the measuring machine writes it in its files.',
        })
      }
      const { version, characteristics, ...content } = signed(c, c.req.valid('json'))
      await requireCharacteristics(store, characteristics)
      const entry = { ...content, characteristicIds: characteristics, version: version + 1, at: now() }
      try {
        await store.write((writer) => writer.addGaugeEntry(name, entry))
      } catch (error) {
        if (!(error instanceof StaleDecisionError)) throw error
        const [other] = (await gaugeView(store, name))?.entries ?? []
        throw staleProblem(
          other === undefined
            ? 'Nothing is said of this gauge yet.'
            : { ...other, did: `said of ${name}: ${other.reason}` },
        )
      }
      return c.json(await findGauge(store, name), 201)
    })
    .get(
      '/studies/:study{[0-9]+}',
      validated('param', studyNumber),
      validated('query', studyQuery),
      async (c) => {
        const { study } = c.req.valid('param')
        const view = await gaugeStudyView(store, study, c.req.valid('query'))
        if (view === null) {
          throw notFound(
            `There is no gauge study ${study} on record, or it was withdrawn.`,
            'Pick one from the list of studies.',
          )
        }
        return c.json(view)
      },
    )
    .post('/plans', validated('json', gaugePlan), async (c) => {
      const { characteristic, gauge, seed, ...content } = signed(c, c.req.valid('json'))
      await requireCharacteristics(store, characteristic === null ? [] : [characteristic])
      const { gauges } = await gaugesOnRecord(store)
      const known = gauges.find(({ name }) => name === gauge)
      if (gauge !== null && known === undefined) {
        throw new ProblemError(422, {
          what: `Gauge ${gauge} is not on record.`,
          where: 'gauge',
          next: 'Enter it in the register first.',
        })
      }
      const plan = {
        ...content,
        seed: seed ?? randomInt(2 ** 32),
        characteristicId: characteristic,
        gaugeId: known?.id ?? null,
        at: now(),
      }
      const number = await store.write((writer) => writer.addGaugePlan(plan))
      return c.json(await findPlan(store, number), 201)
    })
    .get('/plans/:plan{[0-9]+}', validated('param', planNumber), async (c) =>
      c.json(await findPlan(store, c.req.valid('param').plan)),
    )
    .get('/plans/:plan{[0-9]+}/sheet', validated('param', planNumber), async (c) => {
      const { number, lines } = await findPlan(store, c.req.valid('param').plan)
      c.header('Content-Type', 'text/csv; charset=utf-8')
      c.header('Content-Disposition', `attachment; filename="gauge-study-plan-${number}.csv"`)
      return c.body(sheetCsv(lines, number))
    })
}

async function findGauge(store: Store, name: string) {
  const view = await gaugeView(store, name)
  if (view === null) {
    throw notFound(`Nothing on record names a gauge ${name}.`, 'Pick one from the list, or enter it.')
  }
  return view
}

async function findPlan(store: Store, number: number) {
  const view = await gaugePlanView(store, number)
  if (view === null) throw notFound(`There is no plan ${number} on record.`, 'Pick one from the list.')
  return view
}

async function requireCharacteristics(store: Store, ids: readonly number[]): Promise<void> {
  const { characteristics } = await gaugesOnRecord(store)
  const missing = ids.find((id) => !characteristics.has(id))
  if (missing === undefined) return
  throw new ProblemError(422, {
    what: `There is no characteristic of the identity ${missing} on record.`,
    where: 'characteristics',
    next: 'Pick from the list of characteristics.',
  })
}
