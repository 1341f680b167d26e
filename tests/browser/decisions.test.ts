import type { Locator, Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { ChartView } from '../../server/contract/views.ts'
import { accessibilityFaults } from '../tools/page-faults.ts'
import { type Program, startProgram } from './program.ts'

/** What the process engineer decides, on the sample shop. */

let program: Program
beforeAll(async () => {
  program = await startProgram({ sample: true })
})
afterAll(() => program.stop())

const API = '/api/part-numbers/HB-204/C'

async function chartOf(designator: string): Promise<ChartView> {
  const answer = await fetch(`${program.url}${API}/characteristics/${designator}/chart`)
  return (await answer.json()) as ChartView
}

/** Signals on the spread at a build. */
async function spreadSignals(designator: string, build: string): Promise<number> {
  const { chart } = await chartOf(designator)
  const at = chart.subgroups.findIndex((subgroup) => subgroup.label === build)
  return chart.signals.filter(({ panel, points }) => panel === 'spread' && points.includes(at)).length
}

const form = (page: Page): Locator => page.locator('form.decision')

async function sign(page: Page, reason: string | null): Promise<void> {
  if (reason !== null) await form(page).getByLabel(/^Why/).fill(reason)
  await form(page).getByLabel('Your name, for the record').fill('Ines Quark')
}

/** Opens the form behind a button, checks the page with it, and gives the form. */
async function opened(page: Page, button: Locator): Promise<Locator> {
  await button.click()
  await form(page).waitFor()
  expect(await accessibilityFaults(page)).toEqual([])
  return form(page)
}

describe('a mistyped value', () => {
  it('is left out by keyboard, loses its signal, stays in sight, and counts again', async () => {
    expect(await spreadSignals('7', '0449')).toBe(1)
    const page = await program.open('/drift/HB-204/C/7?build=0449')
    const row = page.getByRole('row', { name: /HB-19474.*0449\.csv/ })
    await row.getByRole('button', { name: 'Leave out, HB-19474' }).focus()
    await page.keyboard.press('Enter')
    await form(page).waitFor()
    expect(await page.evaluate('document.activeElement.tagName')).toBe('TEXTAREA')
    await page.keyboard.type('5.129 for 3.129: the first digit mistyped')
    await page.keyboard.press('Tab')
    await page.keyboard.type('Ines Quark')
    await page.keyboard.press('Enter')
    await row.getByText(/left out by Ines Quark, \d{4}-\d\d-\d\d: 5\.129 for 3\.129/).waitFor()
    expect(await spreadSignals('7', '0449')).toBe(0)
    await page.locator('figure text', { hasText: 'one value left out' }).waitFor()
    await expect
      .poll(() => page.locator('.chart > div > .grounds').textContent())
      .toContain('One single value is left out.')

    await row.getByRole('button', { name: 'Count again, HB-19474' }).click()
    await sign(page, 'kept for the record only')
    await form(page).getByRole('button', { name: 'Count it again' }).click()
    await row.getByRole('button', { name: 'Leave out, HB-19474' }).waitFor()
    expect(await spreadSignals('7', '0449')).toBe(1)
    await page.close()
  })

  it('is not left out without a reason, and Escape leaves everything as it is', async () => {
    const page = await program.open('/drift/HB-204/C/7?build=0449')
    const button = page.getByRole('button', { name: 'Leave out this build' })
    const open = await opened(page, button)
    await open.getByLabel('Your name, for the record').fill('Ines Quark')
    await open.getByRole('button', { name: 'Leave it out' }).click()
    await open.getByText('Say why.').waitFor()
    await page.keyboard.press('Escape')
    await open.waitFor({ state: 'detached' })
    expect(await button.evaluate((element) => element === document.activeElement)).toBe(true)
    expect((await chartOf('7')).exclusions).toEqual([])
    await page.close()
  })
})

describe('a finding', () => {
  it('is written at a signal, stands on the chart and in the list, and answers', async () => {
    const page = await program.open('/drift/HB-204/C/3')
    await page.locator('h1').waitFor()
    const headline = await page.locator('h1').textContent()
    const item = page.locator('.signals li').first()
    const open = await opened(page, item.getByRole('button', { name: /^Write a finding, / }))
    await open.getByLabel('Cause, or what is being looked into').fill('powder lot K8 shrinks more along Z')
    await open.getByLabel('Action taken or planned').fill('scale factor Z under review')
    for (const name of ['6 ear height', '9 step']) await open.getByLabel(name).check()
    await open.getByLabel('from build').selectOption('0430')
    await open.getByLabel('State').selectOption('explained')
    await sign(page, null)
    await open.getByRole('button', { name: 'Keep the finding' }).click()
    await page.getByRole('heading', { name: 'Findings' }).waitFor()
    await item.getByText(/Answered by finding 1\./).waitFor()
    await page.locator('figure text', { hasText: 'finding 1: powder lot K8' }).waitFor()
    await page
      .locator('figure text', { hasText: /^1: powder lot K8/ })
      .first()
      .waitFor()
    await expect.poll(() => page.locator('h1').textContent()).not.toBe(headline)
    expect(await accessibilityFaults(page)).toEqual([])
    await page.close()
  })

  it('is offered at the event that the page opens with, about all its characteristics', async () => {
    const page = await program.open('/drift/HB-204/C')
    const opening = page.locator('header.opening')
    const open = await opened(page, opening.getByRole('button', { name: /^Write a finding, builds/ }))
    await expect.poll(() => open.getByRole('checkbox', { checked: true }).count()).toBeGreaterThan(1)
    await page.close()
  })

  it('changed by two people tells the second what the first did, and keeps what was written', async () => {
    const one = await program.open('/drift/HB-204/C/3')
    const two = await program.open('/drift/HB-204/C/3')
    const begin = async (page: Page) => {
      await page.getByRole('button', { name: 'Change it, finding 1' }).click()
      await form(page).waitFor()
    }
    await begin(one)
    await begin(two)
    await form(one).getByLabel('State').selectOption('done')
    await form(one).getByLabel('Your name, for the record').fill('Emil Rau')
    await form(one).getByRole('button', { name: 'Keep the change' }).click()
    await form(one).waitFor({ state: 'detached' })
    await form(two).getByLabel('Action taken or planned').fill('nothing needed')
    await sign(two, null)
    await form(two).getByRole('button', { name: 'Keep the change' }).click()
    await form(two)
      .getByText(/Emil Rau changed finding 1: it is done/)
      .waitFor()
    await expect
      .poll(() => form(two).getByLabel('Action taken or planned').inputValue())
      .toBe('nothing needed')
    await one.close()
    await two.close()
  })
})

describe('a phase', () => {
  it('is opened at build 0430 for a Y characteristic with what it changes in sight', async () => {
    const page = await program.open('/drift/HB-204/C/2?build=0430')
    const open = await opened(page, page.getByRole('button', { name: 'Open a phase here' }))
    const table = open.getByRole('table', { name: 'Limits before and after' })
    await table.waitFor()
    const rows = await table.locator('tbody tr').allTextContents()
    expect(rows.filter((row) => row.startsWith('now'))).toHaveLength(1)
    expect(rows.filter((row) => row.startsWith('then'))).toHaveLength(2)
    await open.getByRole('img', { name: /as it would be/ }).waitFor()
    await open.getByText(/Signals that go|Signals that come|No signal comes or goes/).waitFor()
    await sign(page, 'scale factor Y changed to 1.1794')
    await open.getByRole('button', { name: 'Open the phase' }).click()
    await page.locator('figure text', { hasText: 'from here: scale factor Y' }).waitFor()
    const { chart, study } = await chartOf('2')
    expect(chart.phases).toHaveLength(2)
    expect(chart.subgroups[chart.phases[1]?.from ?? 0]?.label).toBe('0430')
    expect(study.history[0]).toMatchObject({ did: 'opened a phase at build 0430', who: 'Ines Quark' })
    await page.close()
  })

  it('has its limits frozen, and its tests chosen', async () => {
    const page = await program.open('/drift/HB-204/C/2')
    const freeze = page.getByRole('button', { name: /^Freeze these limits, builds 0430/ })
    const open = await opened(page, freeze)
    await open.getByRole('table').waitFor()
    await sign(page, 'agreed with the customer')
    await open.getByRole('button', { name: 'Freeze these limits' }).click()
    await page
      .getByText(/limits frozen by Ines Quark on .* \(agreed with the customer\)/)
      .first()
      .waitFor()

    await page.getByRole('button', { name: 'Choose the tests' }).click()
    await form(page).getByLabel('six in a row steadily rising or falling').check()
    await sign(page, 'tool wear is expected')
    await form(page).getByRole('button', { name: 'Put these tests in force' }).click()
    await page.getByText(/Tests: the four of Western Electric and six in a row steadily/).waitFor()
    expect((await chartOf('2')).study.version).toBe(3)
    expect(await accessibilityFaults(page)).toEqual([])
    await page.close()
  })

  it('that somebody else opened first is not opened again, and the other’s deed is told', async () => {
    const page = await program.open('/drift/HB-204/C/5?build=0430')
    await page.getByRole('button', { name: 'Open a phase here' }).click()
    await form(page).getByRole('table').waitFor()
    await fetch(`${program.url}${API}/characteristics/5/study`, {
      method: 'POST',
      headers: { 'content-type': 'application/json' },
      body: JSON.stringify({
        version: 0,
        change: { kind: 'open-phase', build: '0431' },
        who: 'Emil Rau',
        reason: 'new nozzle',
      }),
    })
    await sign(page, 'scale factor Y changed')
    await form(page).getByRole('button', { name: 'Open the phase' }).click()
    await form(page)
      .getByText(/Emil Rau opened a phase at build 0431 \(new nozzle\)/)
      .waitFor()
    await page.close()
  })
})

describe('a remark', () => {
  it('is written at a build, stands in its lane, and is taken back', async () => {
    const page = await program.open('/drift/HB-204/C/1?build=0412', { width: 360, height: 900 }, 'dark')
    const open = await opened(page, page.getByRole('button', { name: 'Write a remark' }))
    await open.getByLabel('What happened, or what to remember').fill('sieve changed')
    await sign(page, null)
    await open.getByRole('button', { name: 'Keep the remark' }).click()
    await page.locator('figure text', { hasText: 'sieve changed' }).waitFor()
    expect(await page.evaluate('document.documentElement.scrollWidth')).toBeLessThanOrEqual(360)
    await page.getByRole('button', { name: 'Take it back, remark at 0412' }).click()
    await sign(page, null)
    await form(page).getByRole('button', { name: 'Take it back' }).click()
    await page.getByRole('heading', { name: 'Remarks' }).waitFor({ state: 'detached' })
    await page.close()
  })
})

it('no page reported an error beyond the refusals asked for', () => {
  expect(program.errors.filter((error) => !error.includes('409'))).toEqual([])
})
