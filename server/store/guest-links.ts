import type { Kysely } from 'kysely'
import type { Doing } from './people.ts'
import type { Recorder } from './record/recorder.ts'
import type { Schema } from './schema.ts'

/** A link that opens one report to whoever holds it. Times are seconds since 1970-01-01 UTC. */
export interface GuestLink {
  readonly id: number
  readonly report: number
  /** For whom it was made. */
  readonly givenTo: string
  readonly who: string
  readonly madeAt: number
  readonly expiresAt: number
  /** Null while it was not taken back. */
  readonly revokedAt: number | null
}

export interface GuestLinkReads {
  /** Newest first. */
  guestLinks(report: number): Promise<GuestLink[]>
  /** The link in force with this hash; null where there is none. */
  guestLink(sha256: string, at: number): Promise<GuestLink | null>
}

export interface GuestLinkWrites {
  addGuestLink(sha256: string, link: Omit<GuestLink, 'id' | 'revokedAt'>): Promise<number>
  /** False where it is taken back already, or never was. */
  revokeGuestLink(report: number, id: number, doing: Doing): Promise<boolean>
}

export function guestLinkReads(db: Kysely<Schema>): GuestLinkReads {
  return {
    async guestLinks(report) {
      const rows = await db
        .selectFrom('guest_link')
        .selectAll()
        .where('report_id', '=', report)
        .orderBy('id', 'desc')
        .execute()
      return rows.map(linkOf)
    },

    async guestLink(sha256, at) {
      const row = await db
        .selectFrom('guest_link')
        .selectAll()
        .where('sha256', '=', sha256)
        .where('revoked_at', 'is', null)
        .where('expires_at', '>', at)
        .executeTakeFirst()
      return row === undefined ? null : linkOf(row)
    },
  }
}

export function guestLinkWrites(db: Kysely<Schema>, record: Recorder): GuestLinkWrites {
  return {
    async addGuestLink(sha256, { report, givenTo, who, madeAt, expiresAt }) {
      const last = await db
        .selectFrom('guest_link')
        .select((eb) => eb.fn.max('id').as('id'))
        .executeTakeFirst()
      const id = Number(last?.id ?? 0) + 1
      await db
        .insertInto('guest_link')
        .values({
          id,
          sha256,
          report_id: report,
          given_to: givenTo,
          who,
          made_at: madeAt,
          expires_at: expiresAt,
          revoked_at: null,
        })
        .execute()
      await record.append({
        kind: 'guest-link',
        at: madeAt,
        who,
        about: [
          { kind: 'guest-link', id },
          { kind: 'report', id: report },
        ],
        details: { expiresAt },
        words: { givenTo },
      })
      return id
    },

    async revokeGuestLink(report, id, { at, who }) {
      const { numUpdatedRows } = await db
        .updateTable('guest_link')
        .set({ revoked_at: at })
        .where('id', '=', id)
        .where('report_id', '=', report)
        .where('revoked_at', 'is', null)
        .executeTakeFirst()
      if (numUpdatedRows !== 1n) return false
      await record.append({
        kind: 'guest-link-revoked',
        at,
        who,
        about: [
          { kind: 'guest-link', id },
          { kind: 'report', id: report },
        ],
      })
      return true
    },
  }
}

function linkOf(row: {
  id: number
  report_id: number
  given_to: string
  who: string
  made_at: number
  expires_at: number
  revoked_at: number | null
}): GuestLink {
  return {
    id: row.id,
    report: row.report_id,
    givenTo: row.given_to,
    who: row.who,
    madeAt: Number(row.made_at),
    expiresAt: Number(row.expires_at),
    revokedAt: row.revoked_at === null ? null : Number(row.revoked_at),
  }
}
