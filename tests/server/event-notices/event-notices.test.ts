import { createHmac } from 'node:crypto'
import { copyFileSync, mkdtempSync, rmSync } from 'node:fs'
import { createServer, type IncomingHttpHeaders, type Server } from 'node:http'
import type { AddressInfo } from 'node:net'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { SMTPServer } from 'smtp-server'
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest'
import type {
  EventNoticesView,
  NoticeSettingsRequest,
  TrialView,
} from '../../../server/contract/event-notices.ts'
import type { EventsView } from '../../../server/contract/views.ts'
import { IN_HAND, MOST_TRIES, waitAfter } from '../../../server/event-notices/deliver.ts'
import type { MailSettings } from '../../../server/event-notices/mail.ts'
import type { Sending } from '../../../server/event-notices/send.ts'
import { noticeService } from '../../../server/event-notices/service.ts'
import { callWebhook, signature } from '../../../server/event-notices/webhook.ts'
import { openStore, type Store } from '../../../server/store/store.ts'
import { momentsOf } from '../../../src/description/moments.ts'
import { plain } from '../../../src/words/sentence.ts'
import { type RunningServer, startServer } from '../../tools/running-server.ts'

const SECRET = 'a secret of more than 24 characters'
const ADDRESS = 'https://spc.shop.example'

interface Call {
  readonly headers: IncomingHttpHeaders
  readonly body: string
}

/** A webhook's receiver, which answers with `status`, and a mail server with one mailbox. */
const calls: Call[] = []
const mails: string[] = []
let status = 204
let mailRefuses = false
let receiver: Server
let smtp: SMTPServer
let mail: MailSettings
/** Holds a database with its schema and nothing else, of which every test gets a copy. */
let blank: string

const DATABASE = 'as-sintered.sqlite'

beforeAll(async () => {
  blank = mkdtempSync(join(tmpdir(), 'as-sintered-blank-'))
  await (await openStore({ file: join(blank, DATABASE) })).close()
  receiver = createServer((request, response) => {
    let body = ''
    request.on('data', (chunk: Buffer) => {
      body += chunk.toString()
    })
    request.on('end', () => {
      calls.push({ headers: request.headers, body })
      response.writeHead(status, status === 302 ? { location: '/elsewhere' } : {}).end()
    })
  })
  await new Promise<void>((resolve) => receiver.listen(0, '127.0.0.1', () => resolve()))
  smtp = new SMTPServer({
    disabledCommands: ['STARTTLS'],
    allowInsecureAuth: true,
    authOptional: false,
    onAuth: ({ username, password }, _session, done) =>
      username === 'spc' && password === 'word' ? done(null, { user: 'spc' }) : done(new Error('wrong')),
    onRcptTo: (_address, _session, done) =>
      mailRefuses ? done(Object.assign(new Error('mailbox busy'), { responseCode: 450 })) : done(),
    onData(stream, _session, done) {
      let text = ''
      stream.on('data', (chunk: Buffer) => {
        text += chunk.toString()
      })
      stream.on('end', () => {
        mails.push(text)
        done()
      })
    },
  })
  await new Promise<void>((resolve) => smtp.listen(0, '127.0.0.1', () => resolve()))
  mail = {
    host: '127.0.0.1',
    port: (smtp.server.address() as AddressInfo).port,
    encryption: 'none',
    user: 'spc',
    password: 'word',
    sender: 'spc@shop.example',
  }
})
afterAll(async () => {
  rmSync(blank, { recursive: true, force: true })
  receiver.close()
  await new Promise<void>((resolve) => smtp.close(() => resolve()))
})

const receiverUrl = () => `http://127.0.0.1:${(receiver.address() as AddressInfo).port}/events`

let server: RunningServer
let store: Store
let sending: Sending
let time: number
const clock = () => time

beforeEach(async () => {
  calls.length = 0
  mails.length = 0
  status = 204
  mailRefuses = false
  time = 1_800_000_000
  sending = { mail, address: ADDRESS }
  const folder = mkdtempSync(join(tmpdir(), 'as-sintered-'))
  copyFileSync(join(blank, DATABASE), join(folder, DATABASE))
  server = await startServer({ sending }, folder)
  store = await openStore({ file: join(folder, DATABASE) })
})
afterEach(async () => {
  await store.close()
  await server.stop()
})

/** Values of the five parts of a build, which scatter by a pattern without a trend, `shift` off the nominal. */
function valuesOf(build: number, shift: number): number[] {
  return [0, 1, 2, 3, 4].map((part) => {
    const noise = 0.02 * Math.sin(12.9898 * (build * 5 + part)) + 0.01 * Math.cos(78.233 * build)
    return Number((42 + shift + noise).toFixed(4))
  })
}

/** A drawing with one length. */
async function draw(id: number, number: string, revision: string) {
  await store.write(async (writer) => {
    await writer.put('part_number', [{ id, number, revision, name: null }])
    const size = {
      kind: 'length',
      nominal: 42,
      lower: 41,
      upper: 43,
      unit: 'mm',
      own_limits: null,
      axis: 'X',
    } as const
    await writer.put('characteristic', [{ id, part_number_id: id, designator: '1', name: 'length', ...size }])
    await writer.withoutEntry('the ground of a test')
  })
}

/** Builds as an import leaves them, written straight into the store. */
async function bring(first: number, last: number, shift: number): Promise<number> {
  const builds = Array.from({ length: last - first + 1 }, (_, i) => first + i)
  const values = new Map(builds.map((build) => [build, valuesOf(build, shift)]))
  const rows = builds.length * 5
  const each = <T>(of: (build: number, part: number) => T) =>
    builds.flatMap((build) => [0, 1, 2, 3, 4].map((part) => of(build, part)))
  const imported = {
    id: first,
    sha256: String(first).padStart(64, '0'),
    file_name: `${first}.csv`,
    bytes: rows,
    kind: 'measurements',
    verdict: 'taken',
    who: 'tests',
    at: time,
    rows_read: rows,
    rows_taken: rows,
    rows_refused: 0,
    out_of_specification: 0,
    receipt: JSON.stringify({ kind: 'measurements', fileName: `${first}.csv` }),
  } as const
  await store.write(async (writer) => {
    await writer.put(
      'build',
      builds.map((id) => ({
        ...{ id, name: String(id), printed_at: null, printer: null, build_box: null, powder_lot: null },
        ...{ powder_reuse: null, scale_x: null, scale_y: null, scale_z: null, conditions: '{}' },
      })),
    )
    await writer.beginImport(imported)
    await writer.insertParts(
      each((build, part) => ({
        ...{ id: build * 5 + part, part_number_id: 1, serial: `S-${build}-${part}`, build_id: build },
        ...{ bed_x: null, bed_y: null, bed_z: null, furnace_load_id: null, tray: null, tray_place: null },
        stages: 2,
      })),
    )
    const stage = 'sintered' as const
    await writer.insertCells(
      builds.map((id) => ({ id, characteristic_id: 1, build_id: id, furnace_load_id: null, stage })),
    )
    await writer.insertMeasurements(
      first,
      {
        cell: Int32Array.from(each((build) => build)),
        part: Int32Array.from(each((build, part) => build * 5 + part)),
        replicate: new Int32Array(rows).fill(1),
        value: Float64Array.from(each((build, part) => values.get(build)?.[part] ?? Number.NaN)),
        gauge: new Int32Array(rows),
        inspector: new Int32Array(rows),
        measuredAt: new Float64Array(rows).fill(Number.NaN),
        line: Int32Array.from({ length: rows }, (_, i) => i + 2),
      },
      Uint32Array.from({ length: rows }, (_, i) => i),
    )
    await writer.mergeCells(
      new Map(builds.map((build) => [build, momentsOf(Float64Array.from(values.get(build) ?? []))])),
    )
    await writer.countParts(builds.map((id) => ({ part_number_id: 1, stage, build_id: id, parts: 5 })))
    await writer.concludeImport(imported, [1])
  })
  return first
}

/** The same parts measured anew, through the intake. */
function bringAgain(first: number, last: number, shift: number) {
  const lines = ['part_number,revision,serial,build,characteristic,nominal,value,unit']
  for (let build = first; build <= last; build++)
    for (const [part, value] of valuesOf(build, shift).entries())
      lines.push(`HB-204,C,S-${build}-${part},${build},1,42,${value},mm`)
  return server.bring('again.csv', lines.join('\n'))
}

async function post<T>(path: string, body: unknown): Promise<{ status: number; answer: T }> {
  const answer = await fetch(`${server.url}/api/event-notices${path}`, {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify(body),
  })
  return { status: answer.status, answer: (await answer.json()) as T }
}

const view = () => server.get<EventNoticesView>('/api/event-notices')

async function decide(change: Partial<NoticeSettingsRequest> = {}) {
  const request: NoticeSettingsRequest = {
    version: 0,
    recipients: ['ines@shop.example', 'emil@shop.example'],
    webhook: { address: receiverUrl(), secret: SECRET },
    partNumbers: null,
    quiet: null,
    who: 'Ines Quark',
    reason: 'nobody looks on Sundays',
    ...change,
  }
  return post<EventNoticesView>('/settings', request)
}

const service = () => noticeService(store, sending, clock)

/** Calm builds, known; then a lasting shift that is new. */
async function shifted(change: Partial<NoticeSettingsRequest> = {}) {
  await draw(1, 'HB-204', 'C')
  await bring(101, 130, 0)
  expect((await decide(change)).status).toBe(201)
  await service().round()
  expect(calls).toHaveLength(0)
  return bring(131, 138, 0.08)
}

describe('a new event', () => {
  it('is told once to each receiver, in the words of the screen, and not again as it goes on', async () => {
    await shifted()
    await service().round()
    expect(mails).toHaveLength(2)
    expect(calls).toHaveLength(1)
    const { events } = await server.get<EventsView>('/api/part-numbers/HB-204/C/events')
    expect(events).toHaveLength(1)
    const sentence = plain(events[0]?.sentence ?? [])
    const { type, data } = JSON.parse(calls[0]?.body ?? '') as { type: string; data: Record<string, unknown> }
    expect(type).toBe('event')
    expect(data).toMatchObject({
      sentence,
      grounds: plain(events[0]?.grounds ?? []),
      from: '131',
      to: null,
      page: `${ADDRESS}/drift/HB-204/C/1?event=131&kind=level`,
    })
    const text = decoded(mails[0] ?? '')
    expect(text).toContain(sentence)
    expect(text).toContain(`${ADDRESS}/drift/HB-204/C/1?event=131&kind=level`)
    expect(mails[0]).toMatch(/^From: spc@shop\.example$/m)
    await bring(139, 142, 0.08)
    await service().round()
    expect(mails).toHaveLength(2)
    expect(calls).toHaveLength(1)
  })

  it('is told again when it was taken out and comes back', async () => {
    const importId = await shifted()
    await service().round()
    await fetch(`${server.url}/api/imports/${importId}/withdraw`, {
      method: 'POST',
      headers: { 'content-type': 'application/json' },
      body: JSON.stringify({ who: 'Ines Quark', reason: 'wrong gauge' }),
    })
    await service().round()
    expect(calls).toHaveLength(1)
    await bringAgain(131, 138, 0.09)
    await service().round()
    expect(calls).toHaveLength(2)
  })

  it('is sent by one of two processes that look at the same moment', async () => {
    await shifted()
    const other = await openStore({ file: join(server.folder, DATABASE) })
    await Promise.all([service().round(), noticeService(other, sending, clock).round()])
    await other.close()
    expect(calls).toHaveLength(1)
    expect(mails).toHaveLength(2)
  })

  it('is not told of part numbers that nobody asked for', async () => {
    await draw(2, 'LV-1', 'A')
    await shifted({ partNumbers: [{ number: 'LV-1', revision: 'A' }] })
    await service().round()
    expect(calls).toHaveLength(0)
  })

  it('waits for the end of quiet hours', async () => {
    // 1 800 000 000 is 2027-01-15 08:00 UTC.
    await shifted({ quiet: { from: '07:30', to: '09:00', zone: 'UTC' } })
    await service().round()
    expect(calls).toHaveLength(0)
    time += 3600 - 1
    await service().round()
    expect(calls).toHaveLength(0)
    time += 1
    await service().round()
    expect(calls).toHaveLength(1)
  })
})

describe('a webhook', () => {
  it('is signed so that its receiver can tell it from a forgery and a replay', async () => {
    await shifted()
    await service().round()
    const { headers, body } = calls[0] as Call
    const [id, at] = [headers['webhook-id'], headers['webhook-timestamp']]
    expect(Number(at)).toBe(time)
    const mac = createHmac('sha256', SECRET).update(`${id}.${at}.${body}`).digest('base64')
    expect(headers['webhook-signature']).toBe(`v1,${mac}`)
  })

  it('is tried again later and later after a failure, by another process after a restart', async () => {
    status = 503
    await shifted({ recipients: [] })
    await service().round()
    expect((await view()).deliveries[0]).toMatchObject({
      state: 'waiting',
      tries: 1,
      error: 'It answered 503.',
      nextAt: time + 60,
    })
    time += 59
    await service().round()
    expect(calls).toHaveLength(1)
    time += 1
    await service().round()
    expect((await view()).deliveries[0]).toMatchObject({ tries: 2, nextAt: time + 120 })
    await store.close()
    store = await openStore({ file: join(server.folder, DATABASE) })
    status = 200
    time += 120
    await service().round()
    expect(calls).toHaveLength(3)
    expect(new Set(calls.map(({ headers }) => headers['webhook-id'])).size).toBe(1)
    expect((await view()).deliveries[0]).toMatchObject({ state: 'sent', tries: 3, error: null, nextAt: null })
  })

  it('is given up after the last try, and tried again on request', async () => {
    status = 500
    await shifted({ recipients: [] })
    for (let tries = 1; tries <= MOST_TRIES; tries++) {
      await service().round()
      time += waitAfter(tries)
    }
    const [failed] = (await view()).deliveries
    expect(failed).toMatchObject({ state: 'failed', tries: MOST_TRIES, nextAt: null })
    status = 200
    time = Math.max(time, Math.floor(Date.now() / 1000))
    expect((await post(`/deliveries/${failed?.id}/again`, {})).status).toBe(200)
    await service().round()
    expect((await view()).deliveries[0]).toMatchObject({ state: 'sent', tries: MOST_TRIES + 1 })
  })

  it('does not follow to another address, and does not wait for ever', async () => {
    status = 302
    const message = { id: 'notice-1', at: time, body: '{}' }
    await expect(callWebhook(receiverUrl(), SECRET, message)).rejects.toThrow(/302 and pointed elsewhere/)
    expect(calls).toHaveLength(1)
    const silent = createServer(() => {})
    await new Promise<void>((resolve) => silent.listen(0, '127.0.0.1', () => resolve()))
    const address = `http://127.0.0.1:${(silent.address() as AddressInfo).port}/`
    await expect(callWebhook(address, SECRET, message, 20)).rejects.toThrow('It did not answer in time.')
    silent.closeAllConnections()
    silent.close()
    await expect(callWebhook(address, SECRET, message)).rejects.toThrow(/cannot be reached/)
  })

  it('whose process died on the way is sent by another once its claim has run out', async () => {
    const content = { kind: 'trial', who: 'Ines Quark' } as const
    await store.write((writer) =>
      writer.addTrial(content, [{ channel: 'webhook', target: receiverUrl() }], time - 1, time),
    )
    expect(await store.write((writer) => writer.claimDelivery(time, time + IN_HAND))).not.toBeNull()
    expect(await store.write((writer) => writer.claimDelivery(time, time + IN_HAND))).toBeNull()
    time += IN_HAND
    expect(await store.write((writer) => writer.claimDelivery(time, time + IN_HAND))).not.toBeNull()
  })
})

describe('an e-mail', () => {
  it('that its server refuses is tried again, and the page says what the server said', async () => {
    mailRefuses = true
    await shifted({ webhook: null, recipients: ['ines@shop.example'] })
    await service().round()
    expect((await view()).deliveries[0]?.error).toMatch(/450/)
    mailRefuses = false
    time += 60
    await service().round()
    expect(mails).toHaveLength(1)
  })

  it('waits where no mail server is set, and says what is missing', async () => {
    sending = { mail: null, address: ADDRESS }
    await shifted({ webhook: null, recipients: ['ines@shop.example'] })
    await service().round()
    expect((await view()).deliveries[0]).toMatchObject({
      state: 'waiting',
      error: expect.stringMatching(/AS_SINTERED_SMTP_HOST/),
    })
  })

  it('says nothing of links where nobody said what address the server has', async () => {
    sending = { mail, address: null }
    await shifted({ recipients: ['ines@shop.example'] })
    await service().round()
    const text = decoded(mails[0] ?? '')
    expect(text).toContain('HB-204 rev C')
    expect(text).not.toMatch(/Look at it|Who receives it|null|undefined|\/drift/)
    expect(JSON.parse(calls[0]?.body ?? '').data.page).toBeNull()
  })

  it('is not sent, nor a password told, where encryption is asked for and not to be had', async () => {
    sending = { mail: { ...mail, encryption: 'starttls' }, address: ADDRESS }
    await shifted({ webhook: null, recipients: ['ines@shop.example'] })
    await service().round()
    expect(mails).toHaveLength(0)
    expect((await view()).deliveries[0]).toMatchObject({ state: 'waiting', tries: 1 })
    expect((await view()).deliveries[0]?.error).not.toContain('word')
  })
})

describe('settings', () => {
  it('are kept by version under a name, and never tell the secret', async () => {
    await decide()
    const second = await decide({
      version: 1,
      webhook: { address: receiverUrl(), secret: null },
      recipients: [],
    })
    expect(second.answer.settings).toMatchObject({ version: 2, recipients: [], webhook: receiverUrl() })
    expect(second.answer.history.map(({ did }) => did)).toEqual([
      'left out ines@shop.example, emil@shop.example',
      `added ines@shop.example, emil@shop.example; set the webhook ${receiverUrl()}; set a new secret`,
    ])
    expect(JSON.stringify(await view())).not.toContain(SECRET)
    expect(await store.webhookSecret()).toBe(SECRET)
  })

  it('are refused on the sight of older ones, without a secret, and with what is no address', async () => {
    await decide()
    expect((await decide()).status).toBe(409)
    expect((await decide({ version: 1, recipients: ['nobody'] })).status).toBe(400)
    const file = { address: 'file:///etc/passwd', secret: SECRET }
    expect((await decide({ version: 1, webhook: file })).status).toBe(400)
    await decide({ version: 1, webhook: null })
    const bare = await decide({ version: 2, webhook: { address: receiverUrl(), secret: null } })
    expect(bare.status).toBe(422)
  })

  it('are tried with a notice that says it is a trial, and tells what came of it', async () => {
    await decide({ recipients: ['ines@shop.example'] })
    status = 404
    const { answer } = await post<TrialView>('/trial', { who: 'Ines Quark' })
    expect(answer.outcomes).toEqual([
      { channel: 'e-mail', target: 'ines@shop.example', error: null },
      { channel: 'webhook', target: receiverUrl(), error: 'It answered 404.' },
    ])
    expect(decoded(mails[0] ?? '')).toContain('Ines Quark asked for this notice')
    expect((await view()).deliveries.map(({ state }) => state).sort()).toEqual(['failed', 'sent'])
  })
})

describe('a signature', () => {
  it('takes the bytes of a secret in base64', () => {
    const key = Buffer.from('0123456789abcdef0123456789abcdef')
    const message = { id: 'notice-7', at: 1_800_000_000, body: '{"type":"trial"}' }
    expect(signature(`whsec_${key.toString('base64')}`, message)).toBe(
      `v1,${createHmac('sha256', key).update('notice-7.1800000000.{"type":"trial"}').digest('base64')}`,
    )
  })
})

/** The text of an e-mail, from quoted-printable or base64. */
function decoded(raw: string): string {
  const at = raw.indexOf('\r\n\r\n')
  const [head, body] = [raw.slice(0, at), raw.slice(at + 4)]
  if (/^Content-Transfer-Encoding: base64/im.test(head)) return Buffer.from(body, 'base64').toString()
  if (!/quoted-printable/i.test(head)) return body
  const bytes = body
    .replace(/=\r\n/g, '')
    .replace(/=([0-9A-F]{2})/g, (_, hex: string) => String.fromCharCode(Number.parseInt(hex, 16)))
  return Buffer.from(bytes, 'latin1').toString('utf8')
}
