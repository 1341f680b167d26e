import type { Kysely } from 'kysely'
import type { Role } from '../contract/access.ts'
import { StaleDecisionError } from './decision-writes.ts'
import type { Recorder } from './record/recorder.ts'
import type { Schema } from './schema.ts'

/** A person on record, without the password. Times are seconds since 1970-01-01 UTC. */
export interface Person {
  readonly id: number
  readonly name: string
  readonly role: Role
  readonly createdAt: number
  /** Null while the person may sign in. */
  readonly disabledAt: number | null
  /** False until the person has chosen a password. */
  readonly hasPassword: boolean
}

/** Nobody would be left to let people in. Nothing was written. */
export class LastAdministratorError extends Error {
  override readonly name = 'LastAdministratorError'
}

export interface PeopleReads {
  /** By name. */
  people(): Promise<Person[]>
  person(id: number): Promise<Person | null>
  /** By name, however it is spaced and capitalised, with the hash of the password. */
  personNamed(name: string): Promise<(Person & { readonly password: string | null }) | null>
  /** Whether anybody is on record. */
  hasPeople(): Promise<boolean>
  /** Whether an administrator is on record who can sign in. */
  hasAdministrator(): Promise<boolean>
  /** Whose password a link that is still good at this time sets. */
  personOfPasswordLink(sha256: string, at: number): Promise<Person | null>
}

/** When something was done, and by whom; null where nobody is named. */
export interface Doing {
  readonly at: number
  readonly who: string | null
}

export interface NewPerson {
  readonly name: string
  readonly role: Role
  readonly password: string | null
}

export interface PeopleWrites {
  /** Identity of the new person; null where there is, or was, one of this name. */
  addPerson(person: NewPerson, doing: Doing): Promise<number | null>
  /** @throws LastAdministratorError */
  changeRole(id: number, role: Role, doing: Doing): Promise<void>
  /**
   * Keep a person from signing in. Sessions are for the caller to end.
   *
   * @throws LastAdministratorError
   */
  disablePerson(id: number, doing: Doing): Promise<void>
  enablePerson(id: number, doing: Doing): Promise<void>
  /** @throws StaleDecisionError where the person stands otherwise than they were seen */
  requirePerson(id: number, seen: Pick<Person, 'role' | 'disabledAt'>): Promise<void>
  setPassword(id: number, password: string, doing: Doing): Promise<void>
  /** In the place of any earlier one. */
  addPasswordLink(personId: number, sha256: string, expiresAt: number, doing: Doing): Promise<void>
  /**
   * Close a link that is good; the password that it sets is the act. @returns whose password it sets; null where it is
   * not good any more
   */
  usePasswordLink(sha256: string, at: number): Promise<number | null>
}

/** Names that read the same are the same. */
function nameKey(name: string): string {
  return name.normalize('NFKC').trim().replace(/\s+/g, ' ').toLowerCase()
}

export function peopleReads(db: Kysely<Schema>): PeopleReads {
  return {
    async people() {
      return (await db.selectFrom('person').selectAll().orderBy('name_key').execute()).map(personOf)
    },

    async person(id) {
      const row = await db.selectFrom('person').selectAll().where('id', '=', id).executeTakeFirst()
      return row === undefined ? null : personOf(row)
    },

    async personNamed(name) {
      const row = await db
        .selectFrom('person')
        .selectAll()
        .where('name_key', '=', nameKey(name))
        .executeTakeFirst()
      return row === undefined ? null : { ...personOf(row), password: row.password }
    },

    async hasPeople() {
      return (await db.selectFrom('person').select('id').limit(1).executeTakeFirst()) !== undefined
    },

    async hasAdministrator() {
      return await hasAdministrator(db)
    },

    async personOfPasswordLink(sha256, at) {
      const row = await db
        .selectFrom('password_link')
        .innerJoin('person', 'person.id', 'password_link.person_id')
        .selectAll('person')
        .where('password_link.sha256', '=', sha256)
        .where('closed_at', 'is', null)
        .where('expires_at', '>', at)
        .where('disabled_at', 'is', null)
        .executeTakeFirst()
      return row === undefined ? null : personOf(row)
    },
  }
}

export function peopleWrites(db: Kysely<Schema>, record: Recorder): PeopleWrites {
  const append = async (
    kind: 'person-role' | 'person-disabled' | 'person-enabled' | 'password-link' | 'password',
    id: number,
    doing: Doing,
    details: Readonly<Record<string, unknown>> = {},
  ) => {
    const { name } = await db
      .selectFrom('person')
      .select('name')
      .where('id', '=', id)
      .executeTakeFirstOrThrow()
    await record.append({ kind, ...doing, about: [{ kind: 'person', id }], details, words: { name } })
  }
  const requireAdministrator = async (besides: number) => {
    if (!(await hasAdministrator(db, besides)))
      throw new LastAdministratorError('No other administrator could sign in.')
  }
  const closePasswordLinks = (personId: number, at: number) =>
    db
      .updateTable('password_link')
      .set({ closed_at: at })
      .where('person_id', '=', personId)
      .where('closed_at', 'is', null)
      .execute()

  return {
    async addPerson({ name, role, password }, { at, who }) {
      const last = await db
        .selectFrom('person')
        .select((eb) => eb.fn.max('id').as('id'))
        .executeTakeFirst()
      const id = Number(last?.id ?? 0) + 1
      const { numInsertedOrUpdatedRows } = await db
        .insertInto('person')
        .values({ id, name, name_key: nameKey(name), role, password, created_at: at, disabled_at: null })
        .onConflict((conflict) => conflict.column('name_key').doNothing())
        .executeTakeFirst()
      if (numInsertedOrUpdatedRows !== 1n) return null
      const about = [{ kind: 'person' as const, id }]
      await record.append({ kind: 'person', at, who, about, details: { role }, words: { name } })
      return id
    },

    async changeRole(id, role, doing) {
      if (role !== 'administrator') await requireAdministrator(id)
      await db.updateTable('person').set({ role }).where('id', '=', id).execute()
      await append('person-role', id, doing, { role })
    },

    async disablePerson(id, doing) {
      await requireAdministrator(id)
      await closePasswordLinks(id, doing.at)
      await db.updateTable('person').set({ disabled_at: doing.at }).where('id', '=', id).execute()
      await append('person-disabled', id, doing)
    },

    async requirePerson(id, seen) {
      const now = await peopleReads(db).person(id)
      if (now?.role !== seen.role || now.disabledAt !== seen.disabledAt)
        throw new StaleDecisionError('the person stands otherwise by now')
    },

    async enablePerson(id, doing) {
      await db.updateTable('person').set({ disabled_at: null }).where('id', '=', id).execute()
      await append('person-enabled', id, doing)
    },

    async setPassword(id, password, doing) {
      await db.updateTable('person').set({ password }).where('id', '=', id).execute()
      await append('password', id, doing)
    },

    async addPasswordLink(personId, sha256, expiresAt, doing) {
      await closePasswordLinks(personId, doing.at)
      await db
        .insertInto('password_link')
        .values({ sha256, person_id: personId, made_at: doing.at, expires_at: expiresAt, closed_at: null })
        .execute()
      await append('password-link', personId, doing)
    },

    async usePasswordLink(sha256, at) {
      const person = await peopleReads(db).personOfPasswordLink(sha256, at)
      if (person === null) return null
      await closePasswordLinks(person.id, at)
      return person.id
    },
  }
}

/** @param besides one who does not count */
async function hasAdministrator(db: Kysely<Schema>, besides = 0): Promise<boolean> {
  const found = await db
    .selectFrom('person')
    .select('id')
    .where('role', '=', 'administrator')
    .where('disabled_at', 'is', null)
    .where('password', 'is not', null)
    .where('id', '<>', besides)
    .limit(1)
    .executeTakeFirst()
  return found !== undefined
}

function personOf(row: {
  id: number
  name: string
  role: Role
  password: string | null
  created_at: number
  disabled_at: number | null
}): Person {
  return {
    id: row.id,
    name: row.name,
    role: row.role,
    createdAt: Number(row.created_at),
    disabledAt: row.disabled_at === null ? null : Number(row.disabled_at),
    hasPassword: row.password !== null,
  }
}
