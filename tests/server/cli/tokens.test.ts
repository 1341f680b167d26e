import { createHash } from 'node:crypto'
import { join } from 'node:path'
import Database from 'better-sqlite3'
import { Hono } from 'hono'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { OPEN_ENTRANCE } from '../../../server/access/connection.ts'
import { identify } from '../../../server/access/identify.ts'
import type { ImportProgress } from '../../../server/contract/receipt.ts'
import type { Problem } from '../../../server/problem.ts'
import { openStore } from '../../../server/store/store.ts'
import { lastReceipt, type RunningServer, startServer } from '../../tools/running-server.ts'
import { openTerminal, type TestTerminal } from './terminal.ts'

let server: RunningServer
let terminal: TestTerminal
const token = (...args: string[]) => terminal.run('token', ...args, '--data', server.folder)

beforeAll(async () => {
  server = await startServer()
  terminal = openTerminal()
})
afterAll(async () => {
  await server.stop()
  terminal.remove()
})

const ROWS = 'part_number,serial,build,characteristic,value\n'

async function bring(serial: string, headers: Record<string, string> = {}) {
  return await fetch(`${server.url}/api/imports?name=${serial}.csv&who=somebody`, {
    method: 'POST',
    body: `${ROWS}HB-1,${serial},B1,1,42\n`,
    headers,
  })
}

describe('a token', () => {
  let shown = ''

  it('is shown once, of 256 random bits, and only its hash is kept', async () => {
    expect(await token('add', 'CMM room')).toBe(0)
    shown = terminal.written.out[0] as string
    expect(shown).toMatch(/^sintered_[\w-]{43}$/)
    const database = new Database(join(server.folder, 'as-sintered.sqlite'), { readonly: true })
    const rows = database.prepare('select * from token').all() as { sha256: string }[]
    database.close()
    expect(rows).toMatchObject([{ name: 'CMM room', revoked_at: null }])
    expect(rows[0]?.sha256).toBe(createHash('sha256').update(shown).digest('hex'))
    expect(JSON.stringify(rows)).not.toContain(shown)
  })

  it('brings files in its name, whatever the request says, and the job tells its receipt', async () => {
    const answer = await bring('S1', { Authorization: `Bearer ${shown}` })
    expect(answer.status).toBe(202)
    const begun = (await answer.json()) as ImportProgress
    expect(await lastReceipt(server.url, begun)).toMatchObject({ verdict: 'taken', who: 'CMM room' })
    expect(await server.get(`/api/imports/jobs/${begun.job}`)).toMatchObject({
      state: 'finished',
      receipt: { verdict: 'taken' },
    })
  })

  it('has a name that nobody else has had', async () => {
    expect(await token('add', 'CMM room')).toBe(1)
    expect(terminal.written.out).toEqual([])
    expect(terminal.written.err[0]).toMatch(/is or was a token named CMM room/)
  })

  it('is of no use once it is revoked, at once and for good', async () => {
    expect(await token('revoke', 'CMM room')).toBe(0)
    const answer = await bring('S2', { Authorization: `Bearer ${shown}` })
    expect(answer.status).toBe(401)
    expect(await token('revoke', 'CMM room')).toBe(1)
    expect(await token('add', 'CMM room')).toBe(1)
  })

  it('is listed without itself', async () => {
    await token('add', 'scales')
    expect(await token('list')).toBe(0)
    expect(terminal.written.out).toEqual([
      expect.stringMatching(/^CMM room\tbring files\tmade \d{4}-\d\d-\d\d\trevoked \d{4}-\d\d-\d\d$/),
      expect.stringMatching(/^scales\tbring files\tmade \d{4}-\d\d-\d\d$/),
    ])
  })

  it.each([[[]], [['add']], [['add', 'a', 'b']], [['list', 'a']], [['burn', 'a']], [['add', ' ']]])(
    'command with %j says how it is used',
    async (args) => {
      expect(await token(...args)).toBe(1)
      expect(terminal.written.err[0]).toContain('token add NAME')
    },
  )
})

describe('a hand-in', () => {
  it('without a token is the single user’s, as long as it comes from this machine', async () => {
    const answer = await bring('S3')
    expect(await lastReceipt(server.url, (await answer.json()) as ImportProgress)).toMatchObject({
      verdict: 'taken',
      who: 'somebody',
    })
  })

  it.each([
    ['a token that nobody made', 'Bearer sintered_AAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAA'],
    ['no token behind the word', 'Bearer'],
    ['another way to log in', 'Basic c29tZWJvZHk6c2VjcmV0'],
    ['nothing', ''],
  ])('with %s is refused, even from this machine', async (_, authorization) => {
    const answer = await bring('S4', { Authorization: authorization })
    expect(answer.status).toBe(401)
    const { error } = (await answer.json()) as { error: Problem }
    expect(error).toMatchObject({ where: 'Authorization', what: expect.stringMatching(/not in force/) })
    expect(error.next).toMatch(/token add NAME/)
  })

  it.each([
    ['192.0.2.7', 'nobody'],
    ['2001:db8::7', 'nobody'],
    ['::ffff:192.0.2.7', 'nobody'],
    ['127.0.0.1', 'single user'],
    ['::ffff:127.0.0.1', 'single user'],
    ['::1', 'single user'],
  ])('without a token from %s is sent by %s', async (address, kind) => {
    const store = await openStore({ file: ':memory:' })
    const app = new Hono().post('/', async (c) => c.json(await identify(c, store, OPEN_ENTRANCE)))
    const socket = {
      remoteAddress: address,
      remotePort: 9,
      remoteFamily: address.includes(':') ? 'IPv6' : 'IPv4',
    }
    const answer = await app.request('/', { method: 'POST' }, { incoming: { socket } })
    expect(await answer.json()).toEqual({ kind })
    await store.close()
  })
})
