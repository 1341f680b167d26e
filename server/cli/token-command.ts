import { mkdirSync } from 'node:fs'
import { newToken, secretHash } from '../access/secrets.ts'
import { now } from '../clock.ts'
import { SCOPES, type Scope } from '../contract/access.ts'
import { PLACE_OPTIONS, placeOf } from '../options.ts'
import { openStore, type Store } from '../store/store.ts'
import { parseOptions } from './parse-options.ts'
import { patientStore } from './patient-store.ts'
import { type Terminal, UsageError } from './terminal.ts'

/** Longest name of a token; it stands on receipts as who brought a file. */
const LONGEST_NAME = 200

/**
 * Make, list and revoke the tokens of machines.
 *
 * @returns the status to end with
 * @throws UsageError
 */
export async function tokenCommand(args: string[], terminal: Terminal): Promise<number> {
  const { values, positionals } = parse(args)
  const [action, ...names] = positionals
  if (action !== 'list' && action !== 'add' && action !== 'revoke') {
    throw new UsageError('token takes add, list or revoke.')
  }
  const name = names[0]?.trim() ?? ''
  if (
    action === 'list' ? names.length > 0 : names.length !== 1 || name === '' || name.length > LONGEST_NAME
  ) {
    throw new UsageError(action === 'list' ? 'token list takes no name.' : `token ${action} takes one name.`)
  }
  const { dataFolder, database } = placeOf(values, terminal.environment)
  mkdirSync(dataFolder, { recursive: true })
  const opened = await openStore(database)
  try {
    const store = patientStore(opened, terminal.err)
    if (action === 'add') return await add(store, name, scopesOf(values.for), terminal)
    if (action === 'revoke') return await revoke(store, name, terminal)
    return await list(store, terminal)
  } finally {
    await opened.close()
  }
}

async function add(
  store: Store,
  name: string,
  scopes: readonly Scope[],
  { out, err }: Terminal,
): Promise<number> {
  const token = newToken()
  if (!(await store.write((writer) => writer.addToken(name, secretHash(token), scopes, now())))) {
    err(`There is or was a token named ${name}. Choose another name, so that receipts stay clear.`)
    return 1
  }
  out(token)
  err(`This is the token of ${name}. It is shown this once; only its hash is kept.`)
  return 0
}

async function revoke(store: Store, name: string, { out, err }: Terminal): Promise<number> {
  if (!(await store.write((writer) => writer.revokeToken(name, now())))) {
    err(`No token named ${name} is in force.`)
    return 1
  }
  out(`The token of ${name} is not in force any more.`)
  return 0
}

async function list(store: Store, { out }: Terminal): Promise<number> {
  const tokens = await store.tokens()
  for (const { name, scopes, createdAt, revokedAt } of tokens) {
    out(
      `${name}\t${scopes.join(', ')}\tmade ${day(createdAt)}${revokedAt === null ? '' : `\trevoked ${day(revokedAt)}`}`,
    )
  }
  if (tokens.length === 0) out('There are no tokens.')
  return 0
}

/** @throws UsageError */
function scopesOf(given: readonly string[] = ['bring files']): Scope[] {
  return [...new Set(given)].map((each) => {
    const scope = SCOPES.find((known) => known === each)
    if (scope === undefined) throw new UsageError(`--for takes “${SCOPES.join('”, “')}”, not “${each}”.`)
    return scope
  })
}

function day(seconds: number): string {
  return new Date(seconds * 1000).toISOString().slice(0, 10)
}

function parse(args: string[]) {
  return parseOptions({
    args,
    allowPositionals: true,
    options: { ...PLACE_OPTIONS, for: { type: 'string', multiple: true } },
  })
}
