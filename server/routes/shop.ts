import { existsSync } from 'node:fs'
import { Hono } from 'hono'
import type { ShopView } from '../contract/views.ts'
import type { Intake } from '../intake/jobs.ts'
import { ProblemError } from '../problem.ts'
import type { Store } from '../store/store.ts'
import { shopNewsView } from '../views/shop-news-view.ts'

/** What the database holds, and the sample shop for a database that holds nothing; below /api. */
export function shopRoutes(store: Store, intake: Intake, sampleFolder: string) {
  const shop = async (): Promise<ShopView> => {
    const partNumbers = await store.partNumbers()
    return { partNumbers, sampleOffered: partNumbers.length === 0 && existsSync(sampleFolder) }
  }
  return new Hono()
    .get('/shop', async (c) => c.json(await shop()))
    .get('/shop/news', async (c) => c.json(await shopNewsView(store)))
    .post('/sample-shop', async (c) => {
      if (!(await shop()).sampleOffered) {
        throw new ProblemError(409, {
          what: 'The sample shop is for an empty database, and this one has parts in it.',
          where: null,
          next: 'Start the program with a data folder of its own for the sample: npm run demo.',
        })
      }
      const job = await intake.acceptFolder(sampleFolder)
      return c.json(intake.progress(job), 202)
    })
}
