import { zValidator } from '@hono/zod-validator'
import { Hono } from 'hono'
import type { Characteristic } from '../../src/domain/characteristic.ts'
import { capabilityQuery, stageQuery } from '../contract/requests.ts'
import type { PartNumber, SubgroupView } from '../contract/views.ts'
import { explainFault, notFound } from '../problem.ts'
import type { Store } from '../store/store.ts'
import { capabilityView } from '../views/capability-view.ts'
import { chartView, driftView } from '../views/drift-view.ts'

/** Reading routes of one part number and revision, below /api/part-numbers. */
export function partNumberRoutes(store: Store) {
  return new Hono()
    .get('/:number/:revision/drift', zValidator('query', stageQuery, explainFault), async (c) => {
      const partNumber = await findPartNumber(store, c.req.param())
      return c.json(await driftView(store, partNumber, c.req.valid('query').stage))
    })
    .get('/:number/:revision/capability', zValidator('query', capabilityQuery, explainFault), async (c) => {
      const partNumber = await findPartNumber(store, c.req.param())
      return c.json(await capabilityView(store, partNumber, c.req.valid('query')))
    })
    .get(
      '/:number/:revision/characteristics/:designator/chart',
      zValidator('query', stageQuery, explainFault),
      async (c) => {
        const partNumber = await findPartNumber(store, c.req.param())
        const characteristic = await findCharacteristic(store, partNumber, c.req.param('designator'))
        return c.json(await chartView(store, partNumber, characteristic, c.req.valid('query').stage))
      },
    )
    .get(
      '/:number/:revision/characteristics/:designator/builds/:build',
      zValidator('query', stageQuery, explainFault),
      async (c) => {
        const { stage } = c.req.valid('query')
        const partNumber = await findPartNumber(store, c.req.param())
        const characteristic = await findCharacteristic(store, partNumber, c.req.param('designator'))
        const build = (await store.builds(partNumber.id, stage)).find((b) => b.name === c.req.param('build'))
        if (build === undefined) {
          throw notFound(
            `Build ${c.req.param('build')} has no ${stage} parts of ${partNumber.number}.`,
            'Pick a build from the chart.',
          )
        }
        const values = await store.values(characteristic.id, build.id, stage)
        return c.json({ build, values } satisfies SubgroupView)
      },
    )
}

async function findPartNumber(store: Store, at: { number: string; revision: string }): Promise<PartNumber> {
  const found = await store.partNumber(at.number, at.revision)
  if (found === null) {
    throw notFound(
      `Part number ${at.number}, revision ${at.revision}, is not known.`,
      'Pick one from the list of part numbers.',
    )
  }
  return found
}

async function findCharacteristic(
  store: Store,
  partNumber: PartNumber,
  designator: string,
): Promise<Characteristic> {
  const found = (await store.characteristics(partNumber.id)).find((c) => c.designator === designator)
  if (found === undefined) {
    throw notFound(
      `${partNumber.number} ${partNumber.revision} has no characteristic ${designator}.`,
      'Pick one from the list of characteristics.',
    )
  }
  return found
}
