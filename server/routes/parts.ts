import { Hono } from 'hono'
import { type PartsFoundView, partsQuery } from '../contract/parts.ts'
import { notFound } from '../problem.ts'
import { onReportThread } from '../report/report-thread.ts'
import { kept } from '../store/kept.ts'
import type { Store } from '../store/store.ts'
import { partView } from '../views/part-view.ts'
import { findPartNumber } from './finders.ts'
import { validated } from './validated.ts'

/** Parts listed at a time: more than that are better looked for by a longer text. */
const MOST = 50

/** Finding a part by its serial number, whatever its part number; below /api/parts. */
export function findingParts(store: Store) {
  return new Hono().get('/', validated('query', partsQuery), async (c) => {
    const parts = await store.partsNamed(c.req.valid('query').serial, MOST + 1)
    return c.json({ parts: parts.slice(0, MOST), more: parts.length > MOST } satisfies PartsFoundView)
  })
}

/** Everything on record of one part, and whether each part of a build conforms; below /api/part-numbers. */
export function partRoutes(store: Store) {
  return new Hono()
    .get('/:number/:revision/parts/:serial', async (c) => {
      const partNumber = await findPartNumber(store, c.req.param())
      const serial = c.req.param('serial')
      const view = await partView(store, partNumber, serial)
      if (view === null) {
        throw notFound(
          `No part “${serial}” of ${partNumber.number}, revision ${partNumber.revision}, is on record.`,
          'Look for it by a part of its serial number.',
        )
      }
      return c.json(view)
    })
    .get('/:number/:revision/parts-of-build/:build', async (c) => {
      const partNumber = await findPartNumber(store, c.req.param())
      const build = c.req.param('build')
      // Of a large build it takes seconds, in which charts go on being served.
      const view = await kept(store, `parts of ${partNumber.id} in ${build}`, () =>
        onReportThread({ what: 'judge parts', location: store.location, partNumber, build }),
      )
      if (view === null) {
        throw notFound(
          `Build “${build}” has no part of ${partNumber.number}, revision ${partNumber.revision}.`,
          'Pick a build from the page Drift.',
        )
      }
      return c.body(view, 200, { 'content-type': 'application/json' })
    })
}
