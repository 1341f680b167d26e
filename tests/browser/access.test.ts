import type { BrowserContext, Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { pageFaults } from '../tools/page-faults.ts'
import { type Program, startProgram } from './program.ts'

/** Who may come in: an administrator, an inspector, a guest, each in a browser of their own. */

const WIDE = { width: 1440, height: 900 }
const NARROW = { width: 390, height: 844 }
const PASSWORD = 'three kilns by the river'
/** Would run, were it ever taken for a part of the page. */
const SCRIPT = '<img src=x onerror="window.ran=1"><script>window.ran=1</script>'

const BUILDS = ['B1', 'B2', 'B3', 'B4', 'B5']
/** As little as a report can be made of. */
const FILES: Readonly<Record<string, string>> = {
  'characteristics.csv':
    'part_number,revision,designator,name,kind,nominal,lower,upper,unit\nHB-1,A,1,length,length,42,41,43,mm\n',
  'values.csv': `part_number,revision,serial,build,characteristic,value\n${BUILDS.flatMap((build, i) =>
    [0, 1, 2].map((k) => `HB-1,A,${build}-${k},${build},1,${42 + 0.01 * i - 0.02 * k}`),
  ).join('\n')}\n`,
}

let program: Program
let administrator: Visitor
let inspector: Visitor

interface Visitor {
  readonly context: BrowserContext
  readonly page: Page
  go(path: string): Promise<void>
}

async function visitor(): Promise<Visitor> {
  const context = await program.browser.newContext({ viewport: WIDE })
  const page = await context.newPage()
  page.setDefaultTimeout(20_000)
  return {
    context,
    page,
    async go(path) {
      await page.goto(program.url + path)
    },
  }
}

async function signIn({ page }: Visitor, name: string, password: string): Promise<void> {
  await page.getByLabel('Name').fill(name)
  await page.getByLabel('Password').fill(password)
  await page.getByRole('button', { name: 'Sign in' }).click()
}

/** At both widths. */
async function expectNoFaults(page: Page): Promise<void> {
  for (const size of [WIDE, NARROW]) {
    await page.setViewportSize(size)
    expect(await pageFaults(page)).toEqual([])
  }
  await page.setViewportSize(WIDE)
}

/** As the administrator's browser sends them. */
async function cookies(): Promise<string> {
  return (await administrator.context.cookies()).map(({ name, value }) => `${name}=${value}`).join('; ')
}

async function send(path: string, body: string, type: string): Promise<Response> {
  const headers = { Cookie: await cookies(), 'Content-Type': type }
  return await fetch(program.url + path, { method: 'POST', body, headers })
}

/** Brings a file, which has to be taken in. */
async function bring(name: string, text: string): Promise<void> {
  const { job } = (await (await send(`/api/imports?name=${name}`, text, 'text/csv')).json()) as {
    job: string
  }
  const address = `${program.url}/api/imports/jobs/${job}/progress`
  const progress = await (await fetch(address, { headers: { Cookie: await cookies() } })).text()
  expect(progress).toContain('"verdict":"taken"')
}

async function linkShown({ page }: Visitor): Promise<string> {
  const field = page.locator('.shown-once input')
  await field.waitFor()
  return await field.inputValue()
}

beforeAll(async () => {
  program = await startProgram({ sample: false, administrator: { name: 'Ada Root', password: PASSWORD } })
  administrator = await visitor()
  inspector = await visitor()
})

afterAll(async () => {
  await program.stop()
})

describe('the administrator', () => {
  it('signs in where the page was asked for, which opens then', async () => {
    const { page, go } = administrator
    await go('/record/people')
    await page.getByRole('heading', { name: 'Sign in.' }).waitFor()
    await expectNoFaults(page)
    await signIn(administrator, 'Ada Root', 'a wrong password')
    await page.getByText('There is nobody of this name with this password.').waitFor()
    await signIn(administrator, 'ada root', PASSWORD)
    await page.getByRole('heading', { name: 'One person may sign in' }).waitFor()
    await expect.poll(() => page.getByRole('banner').textContent()).toContain('Ada Root')
  })

  it('puts people on record and gives them links', async () => {
    const { page } = administrator
    for (const [name, role] of [
      ['Ines Quark', 'inspector'],
      [SCRIPT, 'supplier quality'],
    ] as const) {
      await page.getByLabel('Name, as it stands under decisions').fill(name)
      await page.locator('select[name=role]').selectOption(role)
      await page.getByRole('button', { name: 'Put on record' }).click()
      await page.getByText(`Give this link to ${name}.`).waitFor()
      if (role === 'inspector') await inspector.page.goto(await linkShown(administrator))
    }
    await page.getByRole('button', { name: 'Signed in once' }).click()
    await page.getByText('now, here').waitFor()
    await expectNoFaults(page)
  })

  it('makes a token for a machine, which is shown once', async () => {
    const { page, go } = administrator
    await go('/record/tokens')
    await page.getByLabel('Name of the machine').fill('CMM room')
    await page.getByLabel('bring files').check()
    await page.getByRole('button', { name: 'Make it' }).click()
    const token = await linkShown(administrator)
    expect(token).toMatch(/^sintered_/)
    await expectNoFaults(page)
    const csv = `part_number,serial,build,characteristic,value\nHB-1,${SCRIPT},B1,1,42\n`
    const send = (path: string, init: RequestInit) =>
      fetch(program.url + path, { ...init, headers: { Authorization: `Bearer ${token}` } })
    const name = encodeURIComponent(`${SCRIPT.replaceAll('/', '')}.csv`)
    expect((await send(`/api/imports?name=${name}`, { method: 'POST', body: csv })).status).toBe(202)
    expect((await send('/api/people', {})).status).toBe(403)
    await page.reload()
    await page.getByRole('button', { name: 'Revoke it, token of CMM room' }).waitFor()
    expect(await page.content()).not.toContain(token)
  })

  it('is asked to sign in again where the session ended, and the page stays', async () => {
    const { page, go, context } = administrator
    await go('/record/people')
    await page.getByLabel('Name, as it stands under decisions').fill('Rosa Rau')
    await context.clearCookies()
    await page.getByRole('button', { name: 'Put on record' }).click()
    const again = page.getByRole('region', { name: 'Sign in again' })
    await again.waitFor()
    await again.getByLabel('Name').fill('Ada Root')
    await again.getByLabel('Password').fill(PASSWORD)
    await again.getByRole('button', { name: 'Sign in' }).click()
    await again.waitFor({ state: 'detached' })
    await expect
      .poll(() => page.getByLabel('Name, as it stands under decisions').inputValue())
      .toBe('Rosa Rau')
    await page.getByRole('button', { name: 'Put on record' }).click()
    await page.getByText('Give this link to Rosa Rau.').waitFor()
  })
})

describe('a guest', () => {
  it('opens one report by a link, and nothing else', async () => {
    const { page, go } = administrator
    for (const [name, text] of Object.entries(FILES)) await bring(name, text)
    const made = await send(
      '/api/part-numbers/HB-1/A/report',
      JSON.stringify({ who: 'x' }),
      'application/json',
    )
    expect(made.status).toBe(201)
    await go('/record/reports')
    await page.getByRole('button', { name: 'Links for guests' }).click()
    await page.getByLabel('For whom it is').fill('a customer')
    await expectNoFaults(page)
    await page.getByRole('button', { name: 'Make the link' }).click()
    const link = await linkShown(administrator)
    const guest = await (await program.browser.newContext({ viewport: WIDE })).newPage()
    guest.setDefaultTimeout(20_000)
    await guest.goto(link)
    await guest.getByText('Open to a customer until').waitFor()
    await guest.locator('h1', { hasText: /characteristic|measured/ }).waitFor()
    expect(guest.url()).toBe(`${program.url}/`)
    await guest.getByRole('button', { name: 'Does it still follow from the data?' }).click()
    await guest.getByRole('heading', { name: 'Report 1:' }).waitFor()
    await expectNoFaults(guest)
    await guest.goto(`${program.url}/drift/HB-1/A`)
    await guest.getByText('Open to a customer until').waitFor()
    await page.getByRole('button', { name: 'Take it back' }).click()
    await page.getByText('taken back').first().waitFor()
    await guest.goto(program.url)
    await guest.getByRole('heading', { name: 'Sign in.' }).waitFor()
  })
})

describe('a script', () => {
  it('in part number, serial, build, characteristic, remark or report is text', async () => {
    const { page, go } = administrator
    const P = '<img src=x onerror=window.ran=1>'
    const of = `${encodeURIComponent(P)}/A`
    const rows = [1, 2, 3, 4].flatMap((i) => [0, 1].map((k) => `${P},A,${P}${i}${k},${P}${i},${P},${i + k}`))
    await bring('script.csv', `part_number,revision,serial,build,characteristic,value\n${rows.join('\n')}\n`)
    const remark = { build: `${P}1`, text: P, who: 'x' }
    const written = await send(`/api/part-numbers/${of}/remarks`, JSON.stringify(remark), 'application/json')
    expect(written.status).toBe(201)
    for (const path of [
      `/drift/${of}`,
      `/drift/${of}/${encodeURIComponent(P)}`,
      `/capability/${of}`,
      '/record',
    ]) {
      await go(path)
      await page.getByRole('heading', { level: 1 }).waitFor()
      await page.getByText(P).first().waitFor({ state: 'attached' })
      expect(await page.evaluate(() => (window as { ran?: number }).ran), path).toBeUndefined()
      await expect.poll(() => page.locator('img').count(), { message: path }).toBe(0)
    }
    const report = await fetch(`${program.url}/api/part-numbers/${of}/report?format=html`, {
      headers: { Cookie: await cookies() },
    })
    const html = await report.text()
    expect(html).toContain('&lt;img src=x')
    expect(html).not.toContain('<img src=x')
    expect(report.headers.get('Content-Disposition')).toMatch(/^attachment/)
  })
})

describe('a script, in what else people name and write,', () => {
  it('is text: gauge, inspector, furnace load, tray, finding, reason, class of the customer, plan of a study', async () => {
    const { page, go } = administrator
    const P = '<img src=x onerror=window.ran=2>'
    const rows = ['S1', 'S2', 'S3'].map((serial, i) => `HB-2,A,${serial},B1,${P},${P},${P},${P},1,${i}`)
    const headings =
      'part_number,revision,serial,build,furnace_load,tray,gauge,inspector,characteristic,value'
    await bring('more.csv', `${headings}\n${rows.join('\n')}\n`)
    const part = '/api/part-numbers/HB-2/A'
    const decide = async (path: string, body: unknown) => {
      const answer = await send(path, JSON.stringify(body), 'application/json')
      expect(answer.status, `${path}: ${await answer.clone().text()}`).toBe(201)
    }
    await decide(`${part}/findings?stage=sintered`, {
      characteristics: ['1'],
      from: 'B1',
      to: 'B1',
      cause: P,
      action: P,
      state: 'open',
      verified: 'not yet',
      who: 'x',
    })
    await decide(`${part}/characteristics/1/exclusions?stage=sintered`, {
      build: 'B1',
      single: { serial: 'S1', replicate: 1 },
      everyCharacteristic: false,
      who: 'x',
      reason: P,
    })
    const asked = { index: 'Ppk', value: 1.33, confidence: 0.95 }
    await decide(`${part}/requirements`, {
      version: 0,
      fallback: asked,
      classes: [{ name: P, ...asked }],
      assigned: [{ designator: '1', class: P }],
      who: 'x',
      reason: P,
    })
    await decide('/api/gauges/plans', {
      characteristic: null,
      gauge: P,
      parts: [P, 'another'],
      inspectors: [P],
      trials: 2,
      seed: 1,
      who: 'x',
    })
    for (const path of [
      '/drift/HB-2/A/1',
      '/capability/HB-2/A?open=requirements',
      '/gauges',
      `/gauges/of/${encodeURIComponent(P)}`,
      '/gauges/plans/1',
      '/record/parts/HB-2/A/S1',
      '/record',
    ]) {
      await go(path)
      await page.getByRole('heading', { level: 1 }).waitFor()
      await page.getByText(P).first().waitFor({ state: 'attached' })
      expect(await page.evaluate(() => (window as { ran?: number }).ran), path).toBeUndefined()
      await expect.poll(() => page.locator('img').count(), { message: path }).toBe(0)
    }
  })
})

describe('the inspector', () => {
  it('chooses a password by the link, and finds the name in the head and not to be filled in', async () => {
    const { page, go } = inspector
    await page.getByRole('heading', { name: 'Choose a password.' }).waitFor()
    // What the link held does not stay in the address.
    expect(page.url()).toBe(`${program.url}/welcome`)
    await expectNoFaults(page)
    await page.getByLabel('New password').fill('a shelf of green parts')
    await page.getByRole('button', { name: 'Keep it and sign in' }).click()
    await page.getByRole('banner').getByText('Ines Quark').waitFor()
    await go('/intake')
    await page.getByText('On record as Ines Quark').waitFor()
    await expect.poll(() => page.getByLabel('Your name').count()).toBe(0)
  })

  it('does not see what is the administrator’s, and is refused it with a sentence that says whose it is', async () => {
    const { page, go } = inspector
    await go('/record')
    await page.getByRole('heading', { name: 'The record holds' }).waitFor()
    await expect.poll(() => page.getByText('People who may sign in').count()).toBe(0)
    await go('/capability/HB-1/A?open=report')
    await page.getByText('Reports are made by the process engineer').waitFor()
    await go('/record/people')
    await page.getByText('This is for the administrator; you are signed in as inspector.').waitFor()
  })

  it('reads names that hold scripts as names', async () => {
    const { page, go } = inspector
    await go('/record/imports')
    await page.getByRole('link', { name: '<img src=x' }).first().click()
    await page.waitForURL(/\/record\/\d+/)
    await expect.poll(() => page.getByText(/<script>window\.ran=1/).count()).toBeGreaterThan(0)
    await administrator.go('/record/people')
    await administrator.page.getByText(SCRIPT).first().waitFor()
    for (const each of [page, administrator.page]) {
      expect(await each.evaluate(() => (window as { ran?: number }).ran)).toBeUndefined()
      await expect.poll(() => each.locator('main img').count()).toBe(0)
    }
  })

  it('signs out, and nothing of the page stays', async () => {
    const { page } = inspector
    await page.getByRole('button', { name: 'Sign out' }).click()
    await page.getByRole('heading', { name: 'Sign in.' }).waitFor()
    expect((await inspector.context.cookies()).length).toBe(0)
    await page.goto(`${program.url}/guide/care`)
    await page.getByRole('heading', { name: 'Care', level: 1 }).waitFor()
  })
})
