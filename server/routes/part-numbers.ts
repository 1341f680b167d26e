import { Hono } from 'hono'
import { capabilityQuery, stageQuery, valueQuery } from '../contract/requests.ts'
import type { SubgroupView } from '../contract/views.ts'
import type { Intake } from '../intake/jobs.ts'
import { notFound } from '../problem.ts'
import { onReportThread } from '../report/report-thread.ts'
import type { Store } from '../store/store.ts'
import { capabilityDetailView } from '../views/capability-detail-view.ts'
import { capabilityView } from '../views/capability-view.ts'
import { chartView, driftView } from '../views/drift-view.ts'
import { eventsView } from '../views/events-view.ts'
import { exclusionViews } from '../views/studies.ts'
import { findBuild, findCharacteristic, findPartNumber } from './finders.ts'
import { keptJson } from './kept-json.ts'
import { keptRows } from './source-rows.ts'
import { validated } from './validated.ts'

/** Reading routes of one part number and revision, below /api/part-numbers. */
export function partNumberRoutes(store: Store, intake: Intake) {
  return new Hono()
    .get('/:number/:revision/drift', validated('query', stageQuery), async (c) => {
      const partNumber = await findPartNumber(store, c.req.param())
      const { stage } = c.req.valid('query')
      return keptJson(c, store, `drift ${partNumber.id} ${stage}`, () => driftView(store, partNumber, stage))
    })
    .get('/:number/:revision/events', validated('query', stageQuery), async (c) => {
      const partNumber = await findPartNumber(store, c.req.param())
      return c.json(await eventsView(store, partNumber, c.req.valid('query').stage))
    })
    .get('/:number/:revision/capability', validated('query', capabilityQuery), async (c) => {
      const partNumber = await findPartNumber(store, c.req.param())
      const question = c.req.valid('query')
      const { location } = store
      return c.json(
        await capabilityView(store, partNumber, question, () =>
          onReportThread({ what: 'find shapes', location, partNumber, question }),
        ),
      )
    })
    .get(
      '/:number/:revision/characteristics/:designator/capability',
      validated('query', capabilityQuery),
      async (c) => {
        const partNumber = await findPartNumber(store, c.req.param())
        const characteristic = await findCharacteristic(store, partNumber, c.req.param('designator'))
        const question = c.req.valid('query')
        const { location } = store
        const characteristicId = characteristic.id
        return c.json(
          await capabilityDetailView(store, partNumber, characteristic, question, () =>
            onReportThread({ what: 'look at values', location, partNumber, question, characteristicId }),
          ),
        )
      },
    )
    .get(
      '/:number/:revision/characteristics/:designator/chart',
      validated('query', stageQuery),
      async (c) => {
        const partNumber = await findPartNumber(store, c.req.param())
        const characteristic = await findCharacteristic(store, partNumber, c.req.param('designator'))
        const { stage } = c.req.valid('query')
        return keptJson(c, store, `chart ${characteristic.id} ${stage}`, () =>
          chartView(store, partNumber, characteristic, stage),
        )
      },
    )
    .get(
      '/:number/:revision/characteristics/:designator/builds/:build',
      validated('query', stageQuery),
      async (c) => {
        const { stage } = c.req.valid('query')
        const partNumber = await findPartNumber(store, c.req.param())
        const characteristic = await findCharacteristic(store, partNumber, c.req.param('designator'))
        const builds = await store.builds(partNumber.id, stage)
        const build = findBuild(builds, partNumber, c.req.param('build'), stage)
        const [values, records] = await Promise.all([
          store.values(characteristic.id, build.id, stage),
          store.exclusions(partNumber.id, stage),
        ])
        const own = records.filter(
          (record) =>
            record.undone === null &&
            record.characteristicId === characteristic.id &&
            record.buildId === build.id,
        )
        const exclusions = exclusionViews(own, [characteristic], builds)
        return c.json({ build, values, exclusions } satisfies SubgroupView)
      },
    )
    .get(
      '/:number/:revision/characteristics/:designator/builds/:build/source',
      validated('query', valueQuery),
      async (c) => {
        const { stage, serial, replicate } = c.req.valid('query')
        const partNumber = await findPartNumber(store, c.req.param())
        const characteristic = await findCharacteristic(store, partNumber, c.req.param('designator'))
        const builds = await store.builds(partNumber.id, stage)
        const build = findBuild(builds, partNumber, c.req.param('build'), stage)
        const values = await store.values(characteristic.id, build.id, stage)
        const value = values.find((each) => each.serial === serial && each.replicate === replicate)
        const receipt = value === undefined ? null : await store.receipt(value.importId)
        if (value === undefined || receipt === null) {
          throw notFound(
            `Build ${build.name} has no value ${replicate} of characteristic ${characteristic.designator} on part ${serial}.`,
            'Pick one from the values of the build.',
          )
        }
        const before = values.filter(
          (each) =>
            each.serial === serial &&
            each.replicate < replicate &&
            each.value === value.value &&
            each.importId === value.importId &&
            each.line === value.line,
        ).length
        const called = [characteristic.designator, characteristic.name]
        return c.json(
          await keptRows(intake, receipt, value.line, { serial, called, value: value.value, before }),
        )
      },
    )
}
