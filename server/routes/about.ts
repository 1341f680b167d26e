import { Hono } from 'hono'
import type { CharacteristicsView } from '../contract/places.ts'
import { spanQuery, stageQuery } from '../contract/requests.ts'
import type { Store } from '../store/store.ts'
import { placesView } from '../views/places-view.ts'
import { togetherView } from '../views/together-view.ts'
import { findCharacteristic, findPartNumber } from './finders.ts'
import { validated } from './validated.ts'

/** What the pages beside the control chart read; below /api/part-numbers. */
export function aboutRoutes(store: Store) {
  return new Hono()
    .get('/:number/:revision/characteristics', async (c) => {
      const partNumber = await findPartNumber(store, c.req.param())
      const characteristics = await store.characteristics(partNumber.id)
      return c.json({ partNumber, characteristics } satisfies CharacteristicsView)
    })
    .get('/:number/:revision/together', validated('query', stageQuery), async (c) => {
      const partNumber = await findPartNumber(store, c.req.param())
      return c.json(await togetherView(store, partNumber, c.req.valid('query').stage))
    })
    .get(
      '/:number/:revision/characteristics/:designator/places',
      validated('query', spanQuery),
      async (c) => {
        const { stage, last } = c.req.valid('query')
        const { partNumber, characteristic } = await findCharacteristic(store, c.req.param())
        return c.json(await placesView(store, partNumber, characteristic, stage, last))
      },
    )
}
