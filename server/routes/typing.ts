import { Hono } from 'hono'
import { mergedSpreads } from '../../src/checks/expectation.ts'
import { partQuery, stageQuery } from '../contract/requests.ts'
import type { ChartGround, MeasuredPart, TypingView } from '../contract/typing.ts'
import type { Store } from '../store/store.ts'
import { studyAtHand } from '../views/study-change.ts'
import { findCharacteristic, findPartNumber } from './finders.ts'
import { validated } from './validated.ts'

/** Last builds that tell which gauge measures what. */
const LATELY = 5

/** What values are typed against; below /api/part-numbers. */
export function typingRoutes(store: Store) {
  return new Hono()
    .get('/:number/:revision/typing', validated('query', stageQuery), async (c) => {
      const { stage } = c.req.valid('query')
      const partNumber = await findPartNumber(store, c.req.param())
      const [characteristics, cells, builds] = await Promise.all([
        store.characteristics(partNumber.id),
        store.cells(partNumber.id, stage),
        store.builds(partNumber.id, stage),
      ])
      const lately = builds.slice(-LATELY).map(({ id }) => id)
      const [gauges, loads] = await Promise.all([
        store.gaugesByCharacteristic(partNumber.id, stage, lately),
        store.loadsOf(partNumber.id, stage),
      ])
      return c.json({
        partNumber,
        stage,
        characteristics,
        spreads: mergedSpreads(cells),
        builds,
        gauges: Object.fromEntries(
          characteristics.map(({ id, designator }) => [
            designator,
            gauges.flatMap((each) => (each.characteristicId === id ? [each.gauge] : [])),
          ]),
        ),
        furnaceLoads: loads.map(({ name }) => name),
      } satisfies TypingView)
    })
    .get('/:number/:revision/typing/part', validated('query', partQuery), async (c) => {
      const { stage, serial } = c.req.valid('query')
      const partNumber = await findPartNumber(store, c.req.param())
      const [characteristics, part, exclusions] = await Promise.all([
        store.characteristics(partNumber.id),
        store.part(partNumber.id, serial),
        store.exclusions(partNumber.id, stage),
      ])
      const measurements =
        part === null ? [] : await store.measurementsOfParts(partNumber.id, part.build.id, [part.id])
      const leftOut = new Set(
        exclusions.flatMap(({ characteristicId, single, undone }) =>
          undone === null && single?.serial === serial ? [`${characteristicId} ${single.replicate}`] : [],
        ),
      )
      const designators = new Map(characteristics.map(({ id, designator }) => [id, designator]))
      return c.json({
        serial,
        build: part?.build.name ?? null,
        values: measurements
          .filter((each) => each.stage === stage)
          .map(({ characteristicId, replicate, value, own, measuredAt, importId, line }) => ({
            designator: designators.get(characteristicId) as string,
            replicate,
            value: own?.measured ?? value,
            judged: value,
            measuredAt,
            importId,
            line,
            isLeftOut: leftOut.has(`${characteristicId} ${replicate}`),
          })),
      } satisfies MeasuredPart)
    })
    .get(
      '/:number/:revision/characteristics/:designator/ground',
      validated('query', stageQuery),
      async (c) => {
        const { partNumber, characteristic } = await findCharacteristic(store, c.req.param())
        const { stage } = c.req.valid('query')
        const { study, cells, builds } = await studyAtHand(store, partNumber, characteristic, stage)
        return c.json({ study, cells, builds } satisfies ChartGround)
      },
    )
}
