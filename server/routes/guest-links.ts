import { Hono } from 'hono'
import { newSecret, secretHash } from '../access/secrets.ts'
import { doingOf, signed } from '../access/signer.ts'
import { now } from '../clock.ts'
import { type GuestLinksView, guestLinkId, type LinkMade, newGuestLink } from '../contract/access.ts'
import { reportNumber } from '../contract/report-requests.ts'
import { notFound } from '../problem.ts'
import type { Store } from '../store/store.ts'
import { staleByRecord } from './stale-by-record.ts'
import { validated } from './validated.ts'

const DAY = 24 * 3600

/** Links that open one report to a guest; below /api/reports. */
export function guestLinkRoutes(store: Store) {
  const view = async (report: number): Promise<GuestLinksView> => ({
    links: (await store.guestLinks(report)).map(({ report: _, ...link }) => link),
  })
  return new Hono()
    .get('/:report{[0-9]+}/guest-links', validated('param', reportNumber), async (c) =>
      c.json(await view(c.req.valid('param').report)),
    )
    .post(
      '/:report{[0-9]+}/guest-links',
      validated('param', reportNumber),
      validated('json', newGuestLink),
      async (c) => {
        const { report } = c.req.valid('param')
        const { givenTo, days, who } = signed(c, c.req.valid('json'))
        if ((await store.report(report)) === null) {
          throw notFound(`There is no report ${report} on record.`, 'Pick one from the list of reports.')
        }
        const secret = newSecret()
        const madeAt = now()
        const link = { report, givenTo, who, madeAt, expiresAt: madeAt + days * DAY }
        await store.write((writer) => writer.addGuestLink(secretHash(secret), link))
        // Behind # it stays in the browser: no log on the way has it.
        return c.json({ link: `/guest#${secret}`, expiresAt: link.expiresAt } satisfies LinkMade, 201)
      },
    )
    .delete('/:report{[0-9]+}/guest-links/:link{[0-9]+}', validated('param', guestLinkId), async (c) => {
      const { report, link } = c.req.valid('param')
      if (!(await store.write((writer) => writer.revokeGuestLink(report, link, doingOf(c))))) {
        if ((await view(report)).links.some(({ id }) => id === link)) {
          throw await staleByRecord(store, { kind: 'guest-link', id: link }, 'this link')
        }
        throw notFound('There is no such link to this report.', 'Look at the list anew.')
      }
      return c.json(await view(report))
    })
}
