import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, afterEach, beforeAll, describe, expect, it, vi } from 'vitest'
import { OPEN_ENTRANCE, proxyList } from '../../../server/access/connection.ts'
import { hashPassword } from '../../../server/access/passwords.ts'
import { createApp } from '../../../server/app.ts'
import type {
  LinkMade,
  PeopleView,
  SessionsView,
  SessionView,
  TokenMade,
} from '../../../server/contract/access.ts'
import type { Report } from '../../../server/contract/report.ts'
import { createIntake, type Intake } from '../../../server/intake/jobs.ts'
import type { Problem } from '../../../server/problem.ts'
import { openStore, type Store } from '../../../server/store/store.ts'
import { type App, type AppBrowser, appBrowser } from '../../tools/app-browser.ts'
import { quickPassword } from '../../tools/quick-password.ts'

const PASSWORD = 'three kilns by the river'

let folder: string
let store: Store
let intake: Intake
let app: App

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'as-sintered-'))
  store = await openStore({ file: join(folder, 'store.sqlite') })
  intake = createIntake({ store, dataFolder: folder })
  app = createApp({ store, intake, sampleFolder: folder, clientFolder: folder })
  // Nobody is on record yet.
  const here = appBrowser(app, '127.0.0.1')
  expect(await who(here)).toEqual({ kind: 'single user' })
  expect(await who(appBrowser(app))).toEqual({ kind: 'nobody', people: false })
  const password = quickPassword(PASSWORD)
  const doing = { at: 1_790_000_000, who: null }
  await store.write(async (writer) => {
    await writer.put('part_number', [{ id: 1, number: 'HB-1', revision: 'A', name: null }])
    await writer.addPerson({ name: 'Ada Root', role: 'administrator', password }, doing)
    await writer.addPerson({ name: 'Ines Quark', role: 'inspector', password }, doing)
    await writer.addPerson({ name: 'Sina Lot', role: 'supplier quality', password }, doing)
    await writer.addReport(1, (number) => reportOf(number))
    await writer.addReport(1, (number) => reportOf(number))
  })
})
afterAll(async () => {
  await intake.close()
  await store.close()
  rmSync(folder, { recursive: true })
})
afterEach(() => {
  vi.useRealTimers()
})

function reportOf(number: number): Report {
  return {
    kind: 'as-sintered report',
    version: 1,
    number,
    madeAt: 1_790_000_000,
    madeBy: 'Sina Lot',
    fingerprint: 'f'.repeat(64),
    content: {
      settings: { title: `Report ${number}` },
      partNumber: { number: 'HB-1', revision: 'A' },
      headline: 'All hold.',
      grounds: 'Builds 1 to 9.',
    },
  } as unknown as Report
}

async function who(browser: AppBrowser): Promise<SessionView['who']> {
  return ((await (await browser.send('GET', '/api/session')).json()) as SessionView).who
}

/** How a person stands on record just now. */
async function seen(id: number) {
  const person = await store.person(id)
  return { role: person?.role, disabledAt: person?.disabledAt }
}

async function problemOf(answer: Response): Promise<Problem> {
  return ((await answer.json()) as { error: Problem }).error
}

/** A browser in which somebody has signed in. */
async function signedIn(name: string, address?: string): Promise<AppBrowser> {
  const browser = appBrowser(app, address)
  const answer = await browser.send('POST', '/api/session', { name, password: PASSWORD })
  expect(answer.status).toBe(201)
  return browser
}

/** From now on it is so many seconds later, and time stands still. */
function later(seconds: number): void {
  vi.useFakeTimers({ toFake: ['Date'], now: Date.now() + seconds * 1000 })
}

describe('signing in', () => {
  it('gives a cookie that scripts cannot read and other sites cannot send', async () => {
    const browser = await signedIn('ines  quark')
    expect(browser.cookie).toMatch(
      /^as-sintered=[\w-]{43}; Max-Age=604800; Path=\/; HttpOnly; SameSite=Strict$/,
    )
    expect(await who(browser)).toEqual({ kind: 'person', id: 2, name: 'Ines Quark', role: 'inspector' })
    const [entry] = await store.recordEntries({ kinds: ['sign-in'] }, 1)
    expect(entry).toMatchObject({ who: 'Ines Quark', words: { address: '192.0.2.7' } })
  })

  it('keeps the secret of a session nowhere', async () => {
    const browser = await signedIn('Ines Quark')
    const secret = /=([\w-]{43})/.exec(browser.cookie)?.[1] as string
    await store.write((writer) => writer.withoutEntry('only to have everything in the file'))
    const { readFileSync, readdirSync } = await import('node:fs')
    for (const file of readdirSync(folder).filter((name) => name.startsWith('store.sqlite'))) {
      expect(readFileSync(join(folder, file)).includes(secret)).toBe(false)
    }
  })

  it('ends the rights of the single user at this machine', async () => {
    const here = appBrowser(app, '127.0.0.1')
    expect(await who(here)).toEqual({ kind: 'nobody', people: true })
    expect((await here.send('GET', '/api/shop')).status).toBe(401)
  })

  it('says the same of a wrong name as of a wrong password, at about the same cost', async () => {
    // Kept at its full cost.
    const password = await hashPassword(PASSWORD)
    await store.write((writer) => writer.setPassword(3, password, { at: 1_790_000_000, who: null }))
    const times: number[] = []
    const said: string[] = []
    for (const name of ['Sina Lot', 'Nemo Nusquam']) {
      const begun = process.cpuUsage()
      const answer = await appBrowser(app, '198.51.100.1').send('POST', '/api/session', {
        name,
        password: 'not this one at all',
      })
      times.push(process.cpuUsage(begun).user)
      expect(answer.status).toBe(401)
      said.push((await problemOf(answer)).what)
    }
    expect(said[0]).toBe(said[1])
    // Of the processor, as other tests wait for one too. A hundredth of the time would show that nothing was computed.
    expect(Math.min(...times)).toBeGreaterThan(Math.max(...times) / 5)
    await store.write((writer) =>
      writer.setPassword(3, quickPassword(PASSWORD), { at: 1_790_000_000, who: null }),
    )
  })

  it('slows down who guesses, and not the one who has signed in from elsewhere before', async () => {
    await signedIn('Sina Lot', '192.0.2.50')
    later(0)
    const guesser = appBrowser(app, '198.51.100.2')
    const guess = () =>
      guesser.send('POST', '/api/session', { name: 'Sina Lot', password: 'a guess a guess' })
    const answers = await Promise.all(Array.from({ length: 8 }, guess))
    expect(answers.map(({ status }) => status).sort()).toEqual([401, 401, 401, 401, 401, 429, 429, 429])
    const refused = answers.find(({ status }) => status === 429) as Response
    expect(Number(refused.headers.get('Retry-After'))).toBeGreaterThan(0)
    expect((await problemOf(refused)).what).toMatch(/looked at in \d+ s/)
    const right = { name: 'Sina Lot', password: PASSWORD }
    expect((await guesser.send('POST', '/api/session', right)).status).toBe(429)
    expect((await appBrowser(app, '192.0.2.50').send('POST', '/api/session', right)).status).toBe(201)
    later(61)
    expect((await guesser.send('POST', '/api/session', right)).status).toBe(201)
  })
})

describe('a session', () => {
  it('ends after eight hours without use, and not while it is used', async () => {
    const [used, unused] = [await signedIn('Ines Quark'), await signedIn('Ines Quark')]
    for (const _ of [1, 2]) {
      later(7 * 3600)
      expect((await who(used)).kind).toBe('person')
      // The note of its use is not waited for by the answer, but is by the next write.
      await store.write((writer) => writer.withoutEntry('only to wait'))
    }
    expect((await who(unused)).kind).toBe('nobody')
    expect((await who(used)).kind).toBe('person')
  })

  it('ends after a week however much it is used', async () => {
    const browser = await signedIn('Ines Quark')
    for (let hours = 0; hours < 7 * 24 - 6; hours += 6) {
      later(6 * 3600)
      expect((await who(browser)).kind).toBe('person')
      await store.write((writer) => writer.withoutEntry('only to wait'))
    }
    later(6 * 3600)
    expect((await who(browser)).kind).toBe('nobody')
  })

  it('ends when its person signs out, here and not elsewhere', async () => {
    const [here, elsewhere] = [await signedIn('Ines Quark'), await signedIn('Ines Quark')]
    const cookie = here.cookie
    expect((await here.send('DELETE', '/api/session')).status).toBe(200)
    expect(here.cookie).toMatch(/^as-sintered=; Max-Age=0/)
    // Whoever has kept the cookie has nothing.
    const thief = await appBrowser(app).send('GET', '/api/shop', undefined, { Cookie: cookie })
    expect(thief.status).toBe(401)
    expect((await who(elsewhere)).kind).toBe('person')
  })

  it('is listed, and ended by its person or by the administrator, not by another', async () => {
    const [first, second] = [
      await signedIn('Sina Lot', '192.0.2.50'),
      await signedIn('Sina Lot', '192.0.2.50'),
    ]
    const { sessions } = (await (await second.send('GET', '/api/sessions')).json()) as SessionsView
    expect(sessions[0]).toMatchObject({ own: true, address: '192.0.2.50' })
    expect(sessions[1]?.own).toBe(false)
    const end = (browser: AppBrowser, id: number | undefined) => browser.send('DELETE', `/api/sessions/${id}`)
    expect((await end(await signedIn('Ines Quark'), sessions[1]?.id)).status).toBe(404)
    expect((await end(second, sessions[1]?.id)).status).toBe(200)
    expect((await who(first)).kind).toBe('nobody')
    const administrator = await signedIn('Ada Root')
    const { people } = (await (await administrator.send('GET', '/api/people')).json()) as PeopleView
    const listed = people.find(({ name }) => name === 'Sina Lot')?.sessions
    expect(listed?.map(({ id }) => id)).toContain(sessions[0]?.id)
    expect(listed?.map(({ id }) => id)).not.toContain(sessions[1]?.id)
    expect((await end(administrator, sessions[0]?.id)).status).toBe(200)
    expect((await who(second)).kind).toBe('nobody')
  })
})

describe('the administrator', () => {
  let administrator: AppBrowser
  let rosa: number
  beforeAll(async () => {
    administrator = await signedIn('Ada Root')
  })
  const secretOf = ({ link }: LinkMade) => link.slice(link.indexOf('#') + 1)
  const peopleNow = async () =>
    ((await (await administrator.send('GET', '/api/people')).json()) as PeopleView).people

  it('puts a person on record, who chooses a password by a link, once', async () => {
    const answer = await administrator.send('POST', '/api/people', { name: 'Rosa Rau', role: 'inspector' })
    expect(answer.status).toBe(201)
    const made = (await answer.json()) as LinkMade
    expect(made.link).toMatch(/^\/welcome#[\w-]{43}$/)
    const browser = appBrowser(app)
    const choose = (password: string) =>
      browser.send('POST', '/api/session/password-link', { link: secretOf(made), password })
    const weak = await choose('short')
    expect(weak.status).toBe(400)
    expect((await problemOf(weak)).what).toMatch(/at least 12/)
    expect((await choose('a shelf of green parts')).status).toBe(201)
    expect(await who(browser)).toMatchObject({ kind: 'person', name: 'Rosa Rau' })
    expect((await choose('another shelf of parts')).status).toBe(410)
    expect(
      (await administrator.send('POST', '/api/people', { name: 'rosa rau', role: 'inspector' })).status,
    ).toBe(409)
    rosa = (await peopleNow()).find(({ name }) => name === 'Rosa Rau')?.id as number
  })

  it('gives a new link, which ends sessions once it is used and expires after three days', async () => {
    const link = async () =>
      (await (await administrator.send('POST', `/api/people/${rosa}/password-link`)).json()) as LinkMade
    const rosas = appBrowser(app)
    const name = 'Rosa Rau'
    await rosas.send('POST', '/api/session', { name, password: 'a shelf of green parts' })
    expect((await who(rosas)).kind).toBe('person')
    const made = await link()
    const choose = (secret: string, password: string) =>
      appBrowser(app).send('POST', '/api/session/password-link', { link: secret, password })
    expect((await choose(secretOf(made), 'a shelf of brown parts')).status).toBe(201)
    expect((await who(rosas)).kind).toBe('nobody')
    const late = secretOf(await link())
    later(3 * 24 * 3600 + 1)
    expect((await choose(late, 'a shelf of old parts')).status).toBe(410)
  })

  it('changes roles, which hold at once, and keeps people out, who are out at once', async () => {
    const rosas = appBrowser(app)
    const signIn = () =>
      rosas.send('POST', '/api/session', { name: 'Rosa Rau', password: 'a shelf of brown parts' })
    expect((await signIn()).status).toBe(201)
    expect((await rosas.send('GET', '/api/people')).status).toBe(403)
    const put = async (what: string, body: object) =>
      await administrator.send('PUT', `/api/people/${rosa}/${what}`, { ...body, seen: await seen(rosa) })
    expect((await put('role', { role: 'administrator' })).status).toBe(204)
    expect((await rosas.send('GET', '/api/people')).status).toBe(200)
    expect((await put('disabled', { disabled: true })).status).toBe(204)
    expect((await rosas.send('GET', '/api/people')).status).toBe(401)
    expect((await signIn()).status).toBe(401)
    expect((await administrator.send('POST', `/api/people/${rosa}/password-link`)).status).toBe(409)
    expect((await put('disabled', { disabled: false })).status).toBe(204)
    expect((await signIn()).status).toBe(201)
    expect((await put('role', { role: 'chief' })).status).toBe(400)
  })

  it('cannot be the last one to go', async () => {
    const rosaIs = async (role: string) =>
      await administrator.send('PUT', `/api/people/${rosa}/role`, { role, seen: await seen(rosa) })
    await rosaIs('inspector')
    const demoted = await administrator.send('PUT', '/api/people/1/role', {
      role: 'inspector',
      seen: await seen(1),
    })
    expect(demoted.status).toBe(409)
    expect((await problemOf(demoted)).what).toMatch(/last administrator/)
    const disabled = await administrator.send('PUT', '/api/people/1/disabled', {
      disabled: true,
      seen: await seen(1),
    })
    expect(disabled.status).toBe(409)
  })

  it('makes tokens, shown once, good for what they are made for until they are revoked', async () => {
    const made = (await (
      await administrator.send('POST', '/api/tokens', { name: 'press 2', scopes: ['read'] })
    ).json()) as TokenMade
    const machine = appBrowser(app)
    const ask = (method: string, path: string) =>
      machine.send(method, path, undefined, { Authorization: `Bearer ${made.token}` })
    expect((await ask('GET', '/api/shop')).status).toBe(200)
    const refused = await ask('POST', '/api/imports?name=x.csv')
    expect(refused.status).toBe(403)
    expect((await problemOf(refused)).what).toMatch(/press 2 is not good for this.*“bring files”/)
    expect((await ask('POST', '/api/people')).status).toBe(403)
    const [entry] = await store.recordEntries({ kinds: ['token'] }, 1)
    expect(entry).toMatchObject({ who: 'Ada Root', words: { name: 'press 2' } })
    const listed = await (await administrator.send('GET', '/api/tokens')).text()
    expect(listed).toContain('press 2')
    expect(listed).not.toContain(made.token)
    expect((await administrator.send('DELETE', '/api/tokens/press%202')).status).toBe(200)
    expect((await ask('GET', '/api/shop')).status).toBe(401)
  })
})

describe('a password', () => {
  it('is changed with the present one, and other browsers are signed out', async () => {
    const [here, elsewhere] = [await signedIn('Ines Quark'), await signedIn('Ines Quark')]
    const change = (present: string, password: string) =>
      here.send('PUT', '/api/session/password', { present, password })
    expect((await change('not this one at all', 'four kilns by the sea')).status).toBe(401)
    expect((await change(PASSWORD, 'Ines Quark 12')).status).toBe(400)
    expect((await change(PASSWORD, 'four kilns by the sea')).status).toBe(200)
    expect((await who(here)).kind).toBe('person')
    expect((await who(elsewhere)).kind).toBe('nobody')
    expect((await change('four kilns by the sea', PASSWORD)).status).toBe(200)
  })
})

describe('a guest', () => {
  it('reads one report until the link expires or is taken back', async () => {
    const sina = await signedIn('Sina Lot', '192.0.2.50')
    const answer = await sina.send('POST', '/api/reports/1/guest-links', {
      givenTo: 'a customer',
      days: 2,
      who: 'somebody else',
    })
    expect(answer.status).toBe(201)
    const { link, expiresAt } = (await answer.json()) as LinkMade
    const listed = await (await sina.send('GET', '/api/reports/1/guest-links')).json()
    expect(listed).toMatchObject({ links: [{ id: 1, givenTo: 'a customer', who: 'Sina Lot' }] })
    const guest = appBrowser(app, '203.0.113.9')
    const open = (browser: AppBrowser) =>
      browser.send('POST', '/api/session/guest', { link: link.slice(link.indexOf('#') + 1) })
    expect((await open(guest)).status).toBe(201)
    expect(await who(guest)).toMatchObject({
      kind: 'guest',
      givenTo: 'a customer',
      expiresAt,
      report: { number: 1, title: 'Report 1' },
    })
    // The guest reads first what the report says.
    expect(await who(guest)).toMatchObject({ said: { headline: 'All hold.', grounds: 'Builds 1 to 9.' } })
    const status = async (path: string) => (await guest.send('GET', path)).status
    expect(await status('/api/reports/1/file?format=json')).toBe(200)
    expect(await status('/api/reports/2/file?format=json')).toBe(403)
    expect(await status('/api/reports')).toBe(403)
    expect(await status('/api/shop')).toBe(403)
    expect(await status('/api/part-numbers/HB-1/A/drift')).toBe(403)
    expect((await guest.send('POST', '/api/reports/1/guest-links', {})).status).toBe(403)
    expect((await sina.send('DELETE', '/api/reports/1/guest-links/1')).status).toBe(200)
    expect(await status('/api/reports/1/file')).toBe(401)
    expect((await open(guest)).status).toBe(410)
  })
})

describe('the name on record', () => {
  it('is that of the session, whatever the request says', async () => {
    const ines = await signedIn('Ines Quark')
    const address = '/api/imports?name=x.csv&who=Somebody%20Else'
    const answer = await ines.send('POST', address, 'part_number,serial\n')
    const { job } = (await answer.json()) as { job: string }
    await intake.finished(job)
    expect(intake.progress(job)?.receipt?.who).toBe('Ines Quark')
  })
})

describe('a proxy', () => {
  const behind = () =>
    createApp({
      store,
      intake,
      sampleFolder: folder,
      clientFolder: folder,
      entrance: { ...OPEN_ENTRANCE, isProxy: proxyList(['10.0.0.0/8', '127.0.0.1']) },
    })
  const forwarded = { 'X-Forwarded-For': '6.6.6.6, 203.0.113.4, 10.1.1.1', 'X-Forwarded-Proto': 'https' }
  const lastAddress = async () => (await store.recordEntries({ kinds: ['sign-in'] }, 1))[0]?.words.address
  const body = { name: 'Ada Root', password: PASSWORD }

  it('is believed where it is trusted: the address before it counts, and cookies are for encrypted connections', async () => {
    const browser = appBrowser(behind(), '127.0.0.1')
    expect((await browser.send('POST', '/api/session', body, forwarded)).status).toBe(201)
    expect(await lastAddress()).toBe('203.0.113.4')
    expect(browser.cookie).toMatch(/^__Host-as-sintered=.*; Secure/)
    expect((await browser.send('GET', '/api/shop', undefined, forwarded)).status).toBe(200)
  })

  it('is not believed by default', async () => {
    const browser = appBrowser(app, '10.1.1.2')
    expect((await browser.send('POST', '/api/session', body, forwarded)).status).toBe(201)
    expect(await lastAddress()).toBe('10.1.1.2')
    expect(browser.cookie).not.toContain('Secure')
  })

  it('at this machine is never taken for the single user', async () => {
    const empty = await openStore({ file: ':memory:' })
    const alone = createApp({ store: empty, intake, sampleFolder: folder, clientFolder: folder })
    const here = appBrowser(alone, '::ffff:127.0.0.1')
    expect(await who(here)).toEqual({ kind: 'single user' })
    const through = await here.send('GET', '/api/session', undefined, { 'X-Forwarded-For': '127.0.0.1' })
    expect(((await through.json()) as SessionView).who.kind).toBe('nobody')
    await empty.close()
  })

  it.each(['10.0.0.0/33', 'proxy.example', '10.0.0.1/8/8', '10.0.0.1/x'])('is not named by %s', (given) => {
    expect(() => proxyList([given])).toThrow(RangeError)
  })
})
