import { Hono } from 'hono'
import { limitFromText } from '../../src/capability/supposed-limit.ts'
import type { Characteristic } from '../../src/domain/characteristic.ts'
import { capabilityQuery, stageQuery, valueQuery, whatIfQuery } from '../contract/requests.ts'
import type { PartNumber, SubgroupView, TracedValue } from '../contract/views.ts'
import type { Intake } from '../intake/jobs.ts'
import { notFound } from '../problem.ts'
import { onReportThread } from '../report/report-thread.ts'
import type { Store } from '../store/store.ts'
import { capabilityDetailView, indexCourseView } from '../views/capability-detail-view.ts'
import type { CapabilityQuestion } from '../views/capability-span.ts'
import { capabilityView } from '../views/capability-view.ts'
import { chartView, driftView } from '../views/drift-view.ts'
import { eventsView } from '../views/events-view.ts'
import { exclusionViews } from '../views/studies.ts'
import type { ValuesReaders } from '../views/values-detail.ts'
import { whatIfView } from '../views/what-if-view.ts'
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
        const { partNumber, characteristic } = await findCharacteristic(store, c.req.param())
        const question = c.req.valid('query')
        const readers = onThread(store, partNumber, characteristic, question)
        return c.json(await capabilityDetailView(store, partNumber, characteristic, question, readers))
      },
    )
    .get(
      '/:number/:revision/characteristics/:designator/index-course',
      validated('query', capabilityQuery),
      async (c) => {
        const { partNumber, characteristic } = await findCharacteristic(store, c.req.param())
        const question = c.req.valid('query')
        const readers = onThread(store, partNumber, characteristic, question)
        return c.json(await indexCourseView(store, partNumber, characteristic, question, readers))
      },
    )
    .get(
      '/:number/:revision/characteristics/:designator/what-if',
      validated('query', whatIfQuery),
      async (c) => {
        const { partNumber, characteristic } = await findCharacteristic(store, c.req.param())
        const { centred, alike, lower, upper, ...question } = c.req.valid('query')
        const wish = {
          centred,
          buildsAlike: alike,
          lower: lower === undefined ? undefined : limitFromText(lower),
          upper: upper === undefined ? undefined : limitFromText(upper),
        }
        const readers = onThread(store, partNumber, characteristic, question)
        return c.json(await whatIfView(store, partNumber, characteristic, question, wish, readers))
      },
    )
    .get(
      '/:number/:revision/characteristics/:designator/chart',
      validated('query', stageQuery),
      async (c) => {
        const { partNumber, characteristic } = await findCharacteristic(store, c.req.param())
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
        const { partNumber, characteristic } = await findCharacteristic(store, c.req.param())
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
        const { partNumber, characteristic } = await findCharacteristic(store, c.req.param())
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
            writtenValue(each) === writtenValue(value) &&
            each.importId === value.importId &&
            each.line === value.line,
        ).length
        const called = [characteristic.designator, characteristic.name]
        return c.json(
          await keptRows(intake, receipt, value.line, {
            serial,
            called,
            value: writtenValue(value),
            before,
          }),
        )
      },
    )
}

/** As its file has it, but for its unit. */
function writtenValue({ value, own }: TracedValue): number {
  return own?.measured ?? value
}

/** Reads single values on another thread, so that charts never wait for a distribution. */
function onThread(
  { location }: Store,
  partNumber: PartNumber,
  { id: characteristicId }: Characteristic,
  question: CapabilityQuestion,
): ValuesReaders {
  const of = { location, partNumber, question, characteristicId }
  return {
    shapedValues: () => onReportThread({ what: 'look at values', ...of }),
    courseOf: (shape) => onReportThread({ what: 'follow index', ...of, shape }),
    shapeAgainst: (limits) => onReportThread({ what: 'judge against', ...of, limits }),
  }
}
