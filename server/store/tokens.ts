import type { Kysely } from 'kysely'
import type { Schema } from './schema.ts'

/** A token of a machine that brings files, without the token itself, which nobody can read again. */
export interface TokenSummary {
  readonly name: string
  /** Seconds since 1970-01-01 UTC. */
  readonly createdAt: number
  /** Null while it is in force. */
  readonly revokedAt: number | null
}

export interface TokenReads {
  /** In the order in which they were made, revoked ones among them. */
  tokens(): Promise<TokenSummary[]>
  /** Name of the token in force with this hash; null where there is none. */
  tokenName(sha256: string): Promise<string | null>
}

export interface TokenWrites {
  /** False where there is, or was, a token of this name: what it brought must not be taken for another's. */
  addToken(name: string, sha256: string, at: number): Promise<boolean>
  /** False where no token of this name is in force. */
  revokeToken(name: string, at: number): Promise<boolean>
}

export function tokenReads(db: Kysely<Schema>): TokenReads {
  return {
    async tokens() {
      return await db
        .selectFrom('token')
        .select(['name', 'created_at as createdAt', 'revoked_at as revokedAt'])
        .orderBy('id')
        .execute()
    },

    async tokenName(sha256) {
      const row = await db
        .selectFrom('token')
        .select('name')
        .where('sha256', '=', sha256)
        .where('revoked_at', 'is', null)
        .executeTakeFirst()
      return row?.name ?? null
    },
  }
}

export function tokenWrites(db: Kysely<Schema>): TokenWrites {
  return {
    async addToken(name, sha256, at) {
      const last = await db
        .selectFrom('token')
        .select((eb) => eb.fn.max('id').as('id'))
        .executeTakeFirst()
      const { numInsertedOrUpdatedRows } = await db
        .insertInto('token')
        .values({ id: Number(last?.id ?? 0) + 1, name, sha256, created_at: at, revoked_at: null })
        .onConflict((conflict) => conflict.column('name').doNothing())
        .executeTakeFirst()
      return numInsertedOrUpdatedRows === 1n
    },

    async revokeToken(name, at) {
      const { numUpdatedRows } = await db
        .updateTable('token')
        .set({ revoked_at: at })
        .where('name', '=', name)
        .where('revoked_at', 'is', null)
        .executeTakeFirst()
      return numUpdatedRows === 1n
    },
  }
}
