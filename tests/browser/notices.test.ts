import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { accessibilityFaults, pageFaults } from '../tools/page-faults.ts'
import { type Program, startProgram } from './program.ts'

let program: Program
beforeAll(async () => {
  program = await startProgram({ sample: true })
})
afterAll(() => program.stop())

describe('notices', () => {
  it('are asked for on a page, under a name, and a trial tells what came of it', async () => {
    const page = await program.open('/drift/HB-204/C')
    await page.getByRole('link', { name: 'Notices of new events' }).click()
    await page.locator('h1', { hasText: 'Nobody gets notice' }).waitFor()
    await page.getByRole('button', { name: 'Decide who gets notices' }).click()
    await page.getByLabel('E-mail addresses, one a line').fill('ines@shop.example')
    await page.getByLabel('all, and those to come').uncheck()
    await page.getByLabel('HB-204 rev C').check()
    await page.getByLabel('Your name, for the record').first().fill('Ines Quark')
    await page.getByLabel('Why').fill('nobody looks on Sundays')
    expect(await accessibilityFaults(page)).toEqual([])
    await page.getByRole('button', { name: 'Keep it' }).click()
    await page.locator('h1', { hasText: 'of one part number goes to one recipient.' }).waitFor()
    await page.getByRole('button', { name: 'Send a trial notice' }).click()
    await page.getByText(/ines@shop\.example: not sent\. No mail server is set/).waitFor()
    await page.getByRole('cell', { name: /given up/ }).waitFor()
    expect(await accessibilityFaults(page)).toEqual([])
    await page.close()
  })

  it('lead to the event that they are about', async () => {
    const { events } = (await (await fetch(`${program.url}/api/part-numbers/HB-204/C/events`)).json()) as {
      events: {
        kind: string
        from: number
        members: { designator: string }[]
        sentence: { text: string }[]
      }[]
    }
    const drift = (await (await fetch(`${program.url}/api/part-numbers/HB-204/C/drift`)).json()) as {
      builds: { name: string }[]
    }
    const last = events.at(-1)
    const address = `/drift/HB-204/C/${last?.members[0]?.designator}?event=${drift.builds[last?.from ?? 0]?.name}&kind=${last?.kind}`
    const page = await program.open(address)
    const sentence = last?.sentence.map(({ text }) => text).join('') ?? 'none'
    await page.locator('h1', { hasText: sentence }).waitFor()
    await page.close()
  })

  it.each([
    ['light', 1440],
    ['dark', 390],
  ] as const)('are shown in %s at %i wide', async (scheme, width) => {
    const page = await program.open('/drift/notices', { width, height: 900 }, scheme)
    await page.getByRole('heading', { name: 'What was sent' }).waitFor()
    expect(await pageFaults(page)).toEqual([])
    if (process.env.PICTURES !== undefined) {
      await page.getByRole('button', { name: 'Decide who gets notices' }).click()
      await page.screenshot({
        path: `${process.env.PICTURES}/notices-${scheme}-${width}.png`,
        fullPage: true,
      })
    }
    await page.close()
  })

  it('reported no error', () => {
    expect(program.errors).toEqual([])
  })
})
