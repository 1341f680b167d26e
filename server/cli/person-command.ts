import { mkdirSync } from 'node:fs'
import { hashPassword, passwordFault } from '../access/passwords.ts'
import { now } from '../clock.ts'
import { personName, ROLES, type Role } from '../contract/access.ts'
import { PLACE_OPTIONS, placeOf } from '../options.ts'
import { openStore, type Store } from '../store/store.ts'
import { parseOptions } from './parse-options.ts'
import { patientStore } from './patient-store.ts'
import { type Terminal, UsageError } from './terminal.ts'

/**
 * Put people on record, list them, and give them a new password: for the first administrator, and for when no
 * administrator can sign in. A password is typed or comes on standard input; it is never an argument, which others at
 * the machine could read.
 *
 * @returns the status to end with
 * @throws UsageError
 */
export async function personCommand(args: string[], terminal: Terminal): Promise<number> {
  const { values, positionals } = parse(args)
  const [action, ...names] = positionals
  if (action !== 'list' && action !== 'add' && action !== 'password') {
    throw new UsageError('person takes add, list or password.')
  }
  if (action === 'list' ? names.length > 0 : names.length !== 1) {
    throw new UsageError(
      action === 'list'
        ? 'person list takes no name.'
        : `person ${action} takes one name; put one of several words into quotation marks.`,
    )
  }
  if (action !== 'add' && values.role !== undefined) throw new UsageError('--role is for person add.')
  const role = action === 'add' ? roleOf(values.role) : null
  const name = action === 'list' ? '' : nameOf(names[0] as string)
  const { dataFolder, database } = placeOf(values, terminal.environment)
  mkdirSync(dataFolder, { recursive: true })
  const opened = await openStore(database)
  try {
    const store = patientStore(opened, terminal.err)
    if (role !== null) return await add(store, name, role, terminal)
    if (action === 'password') return await setPassword(store, name, terminal)
    return await list(store, terminal)
  } finally {
    await opened.close()
  }
}

async function add(store: Store, name: string, role: Role, terminal: Terminal): Promise<number> {
  if ((await store.personNamed(name)) !== null) return taken(name, terminal)
  const password = await askPassword(name, terminal)
  if (password === null) return 1
  const id = await store.write((writer) =>
    writer.addPerson({ name, role, password }, { at: now(), who: null }),
  )
  if (id === null) return taken(name, terminal)
  terminal.out(`${name} is on record as ${role}.`)
  return 0
}

async function setPassword(store: Store, name: string, terminal: Terminal): Promise<number> {
  const person = await store.personNamed(name)
  if (person === null) {
    terminal.err(`There is nobody named ${name} on record.`)
    return 1
  }
  const password = await askPassword(person.name, terminal)
  if (password === null) return 1
  await store.write(async (writer) => {
    await writer.setPassword(person.id, password, { at: now(), who: null })
    await writer.endSessionsOf(person.id, now())
  })
  terminal.out(`The password of ${person.name} is set, and their sessions are ended.`)
  return 0
}

async function list(store: Store, { out }: Terminal): Promise<number> {
  const people = await store.people()
  for (const { name, role, disabledAt, hasPassword } of people) {
    const state = disabledAt !== null ? '\tmay not sign in' : hasPassword ? '' : '\thas no password yet'
    out(`${name}\t${role}${state}`)
  }
  if (people.length === 0) out('Nobody is on record.')
  return 0
}

/** What is kept of the password that was typed; null, with the reason said, where it will not do. */
async function askPassword(name: string, { secret, err }: Terminal): Promise<string | null> {
  const password = await secret(`Password of ${name}: `)
  const fault = passwordFault(password, name)
  if (fault === null) return await hashPassword(password)
  err(fault)
  return null
}

function taken(name: string, { err }: Terminal): number {
  err(`There is, or was, somebody named ${name} on record. Give a name that tells the two apart.`)
  return 1
}

/** @throws UsageError */
function roleOf(given: string | undefined): Role {
  const role = ROLES.find((known) => known === given)
  if (role === undefined) throw new UsageError(`--role takes one of “${ROLES.join('”, “')}”.`)
  return role
}

/** @throws UsageError */
function nameOf(given: string): string {
  const result = personName.safeParse(given)
  if (!result.success) throw new UsageError(result.error.issues[0]?.message ?? 'This is no name.')
  return result.data
}

function parse(args: string[]) {
  return parseOptions({
    args,
    allowPositionals: true,
    options: { ...PLACE_OPTIONS, role: { type: 'string' } },
  })
}
