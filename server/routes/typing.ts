import { Hono } from 'hono'
import { mergedSpreads } from '../../src/checks/expectation.ts'
import { isStated } from '../../src/domain/characteristic.ts'
import { characteristicTitle } from '../../src/words/format.ts'
import { stageQuery } from '../contract/requests.ts'
import type { ChartGround, TypingView } from '../contract/typing.ts'
import type { Store } from '../store/store.ts'
import { studyAtHand } from '../views/study-change.ts'
import { findCharacteristic, findPartNumber } from './finders.ts'
import { validated } from './validated.ts'

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
      return c.json({
        partNumber,
        stage,
        characteristics: characteristics.filter(isStated),
        inFilesOnly: characteristics.filter((each) => !isStated(each)).map(characteristicTitle),
        spreads: mergedSpreads(cells),
        builds,
      } satisfies TypingView)
    })
    .get(
      '/:number/:revision/characteristics/:designator/ground',
      validated('query', stageQuery),
      async (c) => {
        const partNumber = await findPartNumber(store, c.req.param())
        const characteristic = await findCharacteristic(store, partNumber, c.req.param('designator'))
        const { stage } = c.req.valid('query')
        const { study, cells, builds } = await studyAtHand(store, partNumber, characteristic, stage)
        return c.json({ study, cells, builds } satisfies ChartGround)
      },
    )
}
