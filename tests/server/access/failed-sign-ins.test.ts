import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest'
import {
  COUNTED_TOGETHER,
  ENTRIES_OF_THEIR_OWN,
  failedSignIns,
} from '../../../server/access/failed-sign-ins.ts'
import { createApp } from '../../../server/app.ts'
import { createIntake, type Intake } from '../../../server/intake/jobs.ts'
import { openStore, type Store } from '../../../server/store/store.ts'
import { entryWords } from '../../../server/views/record-words.ts'
import { type App, appBrowser } from '../../tools/app-browser.ts'
import { quickPassword } from '../../tools/quick-password.ts'

let folder: string
let store: Store
beforeEach(async () => {
  folder = mkdtempSync(join(tmpdir(), 'as-sintered-failed-'))
  store = await openStore({ file: join(folder, 'store.sqlite') })
  const doing = { at: 1_790_000_000, who: null }
  const password = quickPassword('three kilns by the river')
  await store.write(async (writer) => {
    await writer.addPerson({ name: 'Ada Root', role: 'administrator', password }, doing)
    await writer.addPerson({ name: 'Ines Quark', role: 'inspector', password }, doing)
  })
})
afterEach(async () => {
  vi.useRealTimers()
  await store.close()
  rmSync(folder, { recursive: true })
})

/** Entries about failures, oldest first, once all that was begun is kept. */
async function failures() {
  await store.write((writer) => writer.withoutEntry('only to wait for those before it'))
  return (await store.recordEntries({ kinds: ['sign-in-failed'] }, 100)).toReversed()
}
const said = async () => (await failures()).map((entry) => entryWords(entry, () => ''))

describe('a sign-in that fails', () => {
  let app: App
  let intake: Intake
  beforeEach(() => {
    intake = createIntake({ store, dataFolder: folder })
    app = createApp({ store, intake, sampleFolder: folder, clientFolder: folder })
  })
  afterEach(() => intake.close())
  const refused = async (path: string, body: unknown, status: number, address?: string) => {
    const answer = await appBrowser(app, address).send('POST', path, body)
    expect(answer.status).toBe(status)
  }

  it('is put on record, with whose name was given and from where, and without what was typed', async () => {
    await refused('/api/session', { name: 'ines quark', password: 'mistyped-secret-1' }, 401)
    // A password in the field of the name.
    await refused(
      '/api/session',
      { name: 'mistyped-secret-2', password: 'mistyped-secret-3' },
      401,
      '192.0.2.9',
    )
    await refused('/api/session/guest', { link: 'mistyped-secret-4' }, 410)
    await refused(
      '/api/session/password-link',
      { link: 'mistyped-secret-5', password: 'mistyped-secret-6' },
      410,
    )
    const entries = await failures()
    expect(entries).toMatchObject([
      {
        who: null,
        about: [{ kind: 'person', id: 2 }],
        details: { way: 'password' },
        words: { name: 'Ines Quark', address: '192.0.2.7' },
      },
      { who: null, about: [], words: { name: null, address: '192.0.2.9' } },
      { details: { way: 'guest link' } },
      { details: { way: 'password link' } },
    ])
    expect(await said()).toEqual([
      'Somebody at 192.0.2.7 was refused under the name of Ines Quark.',
      'Somebody at 192.0.2.9 was refused under a name that is not on record.',
      'Somebody at 192.0.2.7 tried a guest’s link that was not good.',
      'Somebody at 192.0.2.7 tried a link to choose a password that was not good.',
    ])
    for (const file of readdirSync(folder).filter((name) => name.startsWith('store.sqlite'))) {
      expect(readFileSync(join(folder, file)).includes('mistyped-secret')).toBe(false)
    }
    expect((await store.verifyRecord()).faults).toEqual([])
  })

  it('is on record for who may not sign in any more, and for a wrong present password', async () => {
    const browser = appBrowser(app)
    const password = 'three kilns by the river'
    await browser.send('POST', '/api/session', { name: 'Ines Quark', password })
    const change = { present: 'not it', password: 'four kilns by the river' }
    expect((await browser.send('PUT', '/api/session/password', change)).status).toBe(401)
    await store.write((writer) => writer.disablePerson(2, { at: 1_790_000_000, who: null }))
    await refused('/api/session', { name: 'Ines Quark', password }, 401)
    expect(await said()).toEqual([
      'Somebody at 192.0.2.7 was refused under the name of Ines Quark.',
      'Somebody at 192.0.2.7 was refused under the name of Ines Quark.',
    ])
  })

  it('leaves no entry where it succeeds, and loses the name once that is erased', async () => {
    const password = 'three kilns by the river'
    await refused('/api/session', { name: 'Ines Quark', password }, 201)
    expect(await failures()).toEqual([])
    await refused('/api/session', { name: 'Ines Quark', password: 'not it' }, 401)
    const doing = { at: 1_790_000_000, who: 'Ada Root' }
    await store.write((writer) => writer.disablePerson(2, doing))
    await store.write((writer) =>
      writer.erase({ what: 'person', name: 'Ines Quark' }, { ...doing, reason: 'left' }),
    )
    expect(await said()).toEqual(['Somebody at 192.0.2.7 was refused under the name of person 1.'])
    expect((await store.verifyRecord()).faults).toEqual([])
  })
})

describe('a flood of failed sign-ins', () => {
  const at = 1_790_000_000
  const from = (address: string, seconds: number) => ({
    way: 'password' as const,
    person: null,
    address,
    at: at + seconds,
  })

  it('gets the first of an hour as entries of their own, and the rest as one', async () => {
    const noted = failedSignIns(store)
    for (let i = 0; i < 5000; i++) noted.failed(from(`198.51.100.${i % 250}`, i % 3000))
    for (let i = 0; i < 300; i++) noted.cameTooSoon(from('192.0.2.7', 3000))
    expect(await failures()).toHaveLength(ENTRIES_OF_THEIR_OWN)
    // The hour after.
    noted.failed(from('192.0.2.8', COUNTED_TOGETHER))
    const entries = await failures()
    expect(entries).toHaveLength(ENTRIES_OF_THEIR_OWN + 2)
    expect(entries.at(-2)?.details).toMatchObject({ failures: 5000 - ENTRIES_OF_THEIR_OWN, tooSoon: 300 })
    expect(String(entries.at(-2)?.words.addresses).split(', ')).toHaveLength(20)
    expect((await said()).at(-2)).toMatch(
      /^4,980 further sign-ins failed since \d\d:\d\d UTC, and 300 came too soon after others to be looked at; from 198\.51\.100\.20, /,
    )
  })

  it('is concluded when the hour is over, though nobody fails any more', async () => {
    vi.useFakeTimers({ toFake: ['setTimeout'] })
    const noted = failedSignIns(store)
    for (let i = 0; i < 25; i++)
      noted.failed({ ...from('192.0.2.7', i), person: { id: 2, name: 'Ines Quark' } })
    vi.advanceTimersByTime((COUNTED_TOGETHER - 21) * 1000)
    expect(await failures()).toHaveLength(ENTRIES_OF_THEIR_OWN)
    vi.advanceTimersByTime(1000)
    expect((await failures()).at(-1)).toMatchObject({
      at: at + COUNTED_TOGETHER,
      about: [{ kind: 'person', id: 2 }],
      details: { failures: 5, tooSoon: 0, from: at + 20 },
      words: { addresses: '192.0.2.7' },
    })
  })

  it('changes no answer where the record cannot be written', () => {
    const noted = failedSignIns({ write: () => Promise.reject(new Error('the disk is full')) })
    expect(() => noted.failed(from('192.0.2.7', 0))).not.toThrow()
  })
})
