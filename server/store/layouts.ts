import type { Kysely } from 'kysely'
import type { LayoutChoices } from '../contract/receipt.ts'
import type { Recorder } from './record/recorder.ts'
import type { Schema } from './schema.ts'

/** What a person decided of files of one layout. */
export interface RememberedLayout {
  readonly choices: LayoutChoices & { readonly partNumber?: string; readonly revision?: string }
  readonly who: string
  /** Seconds since 1970-01-01 UTC. */
  readonly at: number
}

export interface LayoutReads {
  /** Null where nobody had to decide anything of such files. */
  rememberedLayout(fingerprint: string): Promise<RememberedLayout | null>
}

export interface LayoutWrites {
  /** Put the decision in the place of an earlier one. */
  rememberLayout(fingerprint: string, layout: RememberedLayout): Promise<void>
}

export function layoutReads(db: Kysely<Schema>): LayoutReads {
  return {
    async rememberedLayout(fingerprint) {
      const row = await db
        .selectFrom('layout')
        .selectAll()
        .where('fingerprint', '=', fingerprint)
        .executeTakeFirst()
      return row === undefined
        ? null
        : {
            choices: JSON.parse(row.choices) as RememberedLayout['choices'],
            who: row.who,
            at: Number(row.at),
          }
    },
  }
}

export function layoutWrites(db: Kysely<Schema>, record: Recorder): LayoutWrites {
  return {
    async rememberLayout(fingerprint, { choices, who, at }) {
      const decided = { choices: JSON.stringify(choices), who, at }
      await db
        .insertInto('layout')
        .values({ fingerprint, ...decided })
        .onConflict((conflict) => conflict.column('fingerprint').doUpdateSet(decided))
        .execute()
      await record.append({
        kind: 'layout',
        at,
        who,
        about: [],
        details: { layout: fingerprint },
        words: { choices: decided.choices },
      })
    },
  }
}
