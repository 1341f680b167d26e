import { Hono } from 'hono'
import { newToken as drawToken, secretHash } from '../access/secrets.ts'
import { doingOf } from '../access/signer.ts'
import { newToken, type TokenMade, type TokensView, tokenName } from '../contract/access.ts'
import { notFound, ProblemError } from '../problem.ts'
import type { Store } from '../store/store.ts'
import { staleByRecord } from './stale-by-record.ts'
import { validated } from './validated.ts'

/** Tokens of machines, for the administrator; below /api/tokens. */
export function tokenRoutes(store: Store) {
  return new Hono()
    .get('/', async (c) => c.json({ tokens: await store.tokens() } satisfies TokensView))
    .post('/', validated('json', newToken), async (c) => {
      const { name, scopes, who: said } = c.req.valid('json')
      const token = drawToken()
      const unique = [...new Set(scopes)]
      const { at, who } = doingOf(c, said)
      if (!(await store.write((writer) => writer.addToken(name, secretHash(token), unique, at, who)))) {
        throw new ProblemError(409, {
          what: `There is or was a token named ${name}.`,
          where: 'name',
          next: 'Choose another name, so that receipts stay clear.',
        })
      }
      return c.json({ token } satisfies TokenMade, 201)
    })
    .delete('/:token', validated('param', tokenName), async (c) => {
      const { token } = c.req.valid('param')
      const { at, who } = doingOf(c)
      if (!(await store.write((writer) => writer.revokeToken(token, at, who)))) {
        const id = await store.tokenId(token)
        if (id !== null) throw await staleByRecord(store, { kind: 'token', id }, `the token ${token}`)
        throw notFound(`No token named ${token} is in force.`, 'Look at the list of tokens anew.')
      }
      return c.json({ tokens: await store.tokens() } satisfies TokensView)
    })
}
