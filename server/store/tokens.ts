import type { Kysely } from 'kysely'
import type { Scope } from '../contract/access.ts'
import type { Recorder } from './record/recorder.ts'
import type { Schema } from './schema.ts'

/** A token of a machine, without the token itself, which nobody can read again. */
export interface TokenSummary {
  readonly name: string
  readonly scopes: readonly Scope[]
  /** Seconds since 1970-01-01 UTC. */
  readonly createdAt: number
  /** Null while it is in force. */
  readonly revokedAt: number | null
}

export interface TokenReads {
  /** Identity of the token of this name, revoked or not; null where there was none. */
  tokenId(name: string): Promise<number | null>
  /** In the order in which they were made, revoked ones among them. */
  tokens(): Promise<TokenSummary[]>
  /** The token in force with this hash; null where there is none. */
  token(sha256: string): Promise<Pick<TokenSummary, 'name' | 'scopes'> | null>
}

export interface TokenWrites {
  /** False where there is, or was, a token of this name: what it brought must not be taken for another's. */
  addToken(
    name: string,
    sha256: string,
    scopes: readonly Scope[],
    at: number,
    who?: string | null,
  ): Promise<boolean>
  /** False where no token of this name is in force. */
  revokeToken(name: string, at: number, who?: string | null): Promise<boolean>
}

export function tokenReads(db: Kysely<Schema>): TokenReads {
  return {
    async tokenId(name) {
      const row = await db.selectFrom('token').select('id').where('name', '=', name).executeTakeFirst()
      return row?.id ?? null
    },

    async tokens() {
      const rows = await db
        .selectFrom('token')
        .select(['id', 'name', 'created_at as createdAt', 'revoked_at as revokedAt'])
        .orderBy('id')
        .execute()
      const scopes = await db.selectFrom('token_scope').selectAll().orderBy('scope').execute()
      return rows.map(({ id, ...token }) => ({
        ...token,
        scopes: scopes.filter((row) => row.token_id === id).map((row) => row.scope),
      }))
    },

    async token(sha256) {
      const row = await db
        .selectFrom('token')
        .select(['id', 'name'])
        .where('sha256', '=', sha256)
        .where('revoked_at', 'is', null)
        .executeTakeFirst()
      if (row === undefined) return null
      const scopes = await db
        .selectFrom('token_scope')
        .select('scope')
        .where('token_id', '=', row.id)
        .orderBy('scope')
        .execute()
      return { name: row.name, scopes: scopes.map(({ scope }) => scope) }
    },
  }
}

export function tokenWrites(db: Kysely<Schema>, record: Recorder): TokenWrites {
  return {
    async addToken(name, sha256, scopes, at, who = null) {
      const last = await db
        .selectFrom('token')
        .select((eb) => eb.fn.max('id').as('id'))
        .executeTakeFirst()
      const id = Number(last?.id ?? 0) + 1
      const { numInsertedOrUpdatedRows } = await db
        .insertInto('token')
        .values({ id, name, sha256, created_at: at, revoked_at: null })
        .onConflict((conflict) => conflict.column('name').doNothing())
        .executeTakeFirst()
      if (numInsertedOrUpdatedRows !== 1n) return false
      await db
        .insertInto('token_scope')
        .values(scopes.map((scope) => ({ token_id: id, scope })))
        .execute()
      await record.append({
        kind: 'token',
        at,
        who,
        about: [{ kind: 'token', id }],
        details: { scopes: [...scopes] },
        words: { name },
      })
      return true
    },

    async revokeToken(name, at, who = null) {
      const revoked = await db
        .updateTable('token')
        .set({ revoked_at: at })
        .where('name', '=', name)
        .where('revoked_at', 'is', null)
        .returning('id')
        .executeTakeFirst()
      if (revoked === undefined) return false
      const about = [{ kind: 'token' as const, id: revoked.id }]
      await record.append({ kind: 'token-revoked', at, who, about, words: { name } })
      return true
    },
  }
}
