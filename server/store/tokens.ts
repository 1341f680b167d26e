import type { Kysely } from 'kysely'
import type { Recorder } from './record/recorder.ts'
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
  addToken(name: string, sha256: string, at: number, who?: string | null): Promise<boolean>
  /** False where no token of this name is in force. */
  revokeToken(name: string, at: number, who?: string | null): Promise<boolean>
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

export function tokenWrites(db: Kysely<Schema>, record: Recorder): TokenWrites {
  return {
    async addToken(name, sha256, at, who = null) {
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
      await record.append({ kind: 'token', at, who, about: [{ kind: 'token', id }], words: { name } })
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
