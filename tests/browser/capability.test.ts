import { readFileSync } from 'node:fs'
import type { Page } from 'playwright-core'
import { PNG } from 'pngjs'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { accessibilityFaults } from '../tools/page-faults.ts'
import { type Program, startProgram } from './program.ts'

/** Supplier quality decides what the customer asks, on the sample shop. */

let program: Program

beforeAll(async () => {
  program = await startProgram({ sample: true })
})
afterAll(() => program.stop())

/** Pixels by which the page is wider than its window. */
const sideways = (page: Page) =>
  page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth)

describe('the page on capability', () => {
  it('names the distribution of what is not normal, and has every column in sight', async () => {
    const page = await program.open('/capability/HB-204/C')
    const row = page.getByRole('row', { name: /flatness of face A/ })
    await row.getByText('Rayleigh').waitFor()
    const table = page.getByRole('region', { name: 'Capability by characteristic' })
    for (const width of [1440, 1280]) {
      await page.setViewportSize({ width, height: 900 })
      const hidden = () => table.evaluate((region) => region.scrollWidth - region.clientWidth)
      await expect.poll(hidden).toBe(0)
    }
    await page.close()
  })

  it('keeps a class with its reason, and judges by it', async () => {
    const page = await program.open('/capability/HB-204/C?open=asked')
    await page.getByText(/^Of characteristics without a class: Ppk 1\.33, sure to 95 %/).waitFor()
    await page.getByRole('button', { name: 'Change what the customer asks' }).click()
    await page.getByRole('button', { name: 'Add a class' }).click()
    await page.getByLabel('Name', { exact: true }).fill('critical')
    await page.getByLabel('11 flatness of face A').selectOption('critical')
    await page.getByLabel(/^Why/).fill('order 4711, annex 2')
    await page.getByLabel(/^Your name/).fill('S. Quell')
    expect(await accessibilityFaults(page)).toEqual([])
    await page.getByRole('button', { name: 'Keep these requirements' }).click()
    await page.getByText('order 4711, annex 2').waitFor()
    await page
      .getByRole('row', { name: /flatness of face A/ })
      .getByText('critical: Ppk 1.67')
      .waitFor()
    // The others are in no class still.
    await page.locator('h1', { hasText: /surely holds? what is asked/ }).waitFor()
    await page.getByText('Characteristics 11.').waitFor()
    await page.close()
  })

  it('opens all figures on the page, in a table that scrolls inside itself', async () => {
    const page = await program.open('/capability/HB-204/C?open=figures', { width: 390, height: 900 })
    const table = page.getByRole('region', { name: 'All figures of HB-204 rev C' })
    await table.getByRole('columnheader', { name: 'sigma within' }).waitFor()
    expect(await table.evaluate((region) => region.scrollWidth > region.clientWidth)).toBe(true)
    expect(await sideways(page)).toBe(0)
    await page.close()
  })
})

describe('the page of one characteristic', () => {
  it('is reached from the picture without loading anew, and has every figure', async () => {
    const page = await program.open('/capability/HB-204/C?last=30')
    await page.evaluate(() => document.body.setAttribute('data-same', 'yes'))
    await page
      .getByRole('group', { name: /^Where each/ })
      .getByRole('link', { name: '2 width' })
      .locator('text')
      .click()
    await page.locator('h1', { hasText: '2 width' }).waitFor()
    expect(new URL(page.url()).pathname).toBe('/capability/HB-204/C/2')
    expect(new URL(page.url()).search).toBe('?last=30')
    await expect.poll(() => page.getAttribute('body', 'data-same')).toBe('yes')
    for (const name of ['Histogram of 2 width', 'Probability plot of 2 width', 'Control chart of 2 width']) {
      await page.getByRole('img', { name }).waitFor()
    }
    await page.getByRole('img', { name: /^Ppk of 2 width over a running window of 25 builds/ }).waitFor()
    expect(await accessibilityFaults(page)).toEqual([])
    await page.close()
  })

  it('goes on to the next by an arrow key, with the span that was chosen', async () => {
    const page = await program.open('/capability/HB-204/C/2?last=30')
    const next = page.getByRole('link', { name: '3 height →' })
    await next.focus()
    await page.keyboard.press('ArrowRight')
    await page.locator('h1', { hasText: '3 height' }).waitFor()
    expect(new URL(page.url()).search).toBe('?last=30')
    await page.getByRole('link', { name: '4 boss spacing →' }).waitFor()
    await page.keyboard.press('ArrowRight')
    await page.locator('h1', { hasText: '4 boss spacing' }).waitFor()
    await page.close()
  })

  it('supposes what the address says, and keeps to sentences with bad input', async () => {
    const page = await program.open('/capability/HB-204/C/2', { width: 390, height: 900 }, 'dark')
    await page.getByLabel('values in the middle of the tolerance').check()
    const said = page.getByText(/^If the values lay in the middle of the tolerance, Ppk would be/)
    await said.waitFor()
    expect(new URL(page.url()).search).toBe('?centred=yes')
    await page.getByText(/^A supposition, worked out from the figures of today/).waitFor()
    expect(await sideways(page)).toBe(0)
    expect(await accessibilityFaults(page)).toEqual([])
    await page.reload()
    await said.waitFor()
    const upper = page.getByLabel('upper limit, mm')
    await upper.fill('wide')
    await upper.blur()
    await page.getByText(/^A limit is a number such as 12\.35/).waitFor()
    await said.waitFor({ state: 'detached' })
    await upper.fill('25')
    await upper.blur()
    await page.getByText('The lower limit has to lie below the upper one: correct one of them.').waitFor()
    await page.getByRole('button', { name: 'As it is' }).click()
    await expect.poll(() => upper.inputValue()).toBe('26.12')
    expect(new URL(page.url()).search).toBe('')
    await page.close()
  })

  it('saves figure and table', async () => {
    const page = await program.open('/capability/HB-204/C/12')
    const figure = page.getByRole('figure').filter({ has: page.getByRole('img', { name: /running window/ }) })
    const saved = async (name: string) => {
      const [download] = await Promise.all([
        page.waitForEvent('download'),
        figure.getByRole('button', { name }).click(),
      ])
      return readFileSync(await download.path(), 'utf8')
    }
    expect(await saved('Save as SVG')).toContain('<svg')
    const lines = (await saved('Save the table as CSV')).trim().split('\r\n')
    expect(lines[0]).toContain('first build,last build,builds,values,fitted to,Ppk,from,to')
    expect(lines.at(-1)).toMatch(/^0435,0459,25,(\d+),\1,1\.\d+/)
    await page.close()
  })
})

/** Positions of a bore at maximum material condition: each part with a bonus of its own. */
const OWN_LIMITS = [
  'part number,revision,serial,build,characteristic,name,kind,nominal,lower limit,upper limit,tolerance,bonus,value',
  ...Array.from({ length: 180 }, (_, i) => {
    const bonus = [0, 0.05, 0.1, 0.2][i % 4] as number
    // Quantiles of the Rayleigh distribution of scale 0.17, in a scattered order, as multiples of the part's own tolerance.
    const multiple = 0.17 * Math.sqrt(-2 * Math.log(1 - (((i * 67) % 180) + 0.5) / 180))
    return `P-1,A,${i + 1},${100 + Math.floor(i / 6)},7,position of bore,position,,,,0.2,${bonus},${((0.2 + bonus) * multiple).toFixed(5)}`
  }),
].join('\n')

describe('parts with limits of their own', () => {
  it('are judged in units of them, on the page, and by what is supposed', async () => {
    const sent = await fetch(`${program.url}/api/imports?name=own.csv&who=tests`, {
      method: 'POST',
      body: OWN_LIMITS,
    })
    const { job } = (await sent.json()) as { job: string }
    expect(await (await fetch(`${program.url}/api/imports/jobs/${job}/progress`)).text()).toContain('"taken"')
    const page = await program.open('/capability/P-1/A')
    await page.getByText(/Judged in units of the part’s own tolerance: 7 position of bore\./).waitFor()
    await page.getByRole('link', { name: 'position of bore' }).click()
    await page.locator('h1', { hasText: '7 position of bore surely holds Ppk 1.33' }).waitFor()
    await page
      .getByText(/The drawing states at most 0\.2 mm\. Here the parts’ own limits were 0\.2 to 0\.4 mm\./)
      .waitFor()
    // Ppk of the Rayleigh distribution against a limit of 1, with X50 = 1.17741 s and X99.865 = 3.63523 s, s near 0.17.
    const ppk = page.getByRole('row', { name: /^Ppk / })
    await ppk.waitFor()
    const expected = (1 - 1.17741 * 0.17) / ((3.63523 - 1.17741) * 0.17)
    const shown = Number(/^Ppk\s*([\d.]+)/.exec((await ppk.textContent()) ?? '')?.[1]?.slice(0, 4))
    expect(Math.abs(shown - expected)).toBeLessThan(0.03)
    await page.getByRole('img', { name: 'Histogram of 7 position of bore' }).getByText('upper 1.00').waitFor()
    const upper = page.getByLabel('upper limit, × own tolerance')
    await upper.fill('0.5')
    await upper.blur()
    await page.getByText(/^A supposition, worked out from the figures of today/).waitFor()
    expect(await accessibilityFaults(page)).toEqual([])
    await page.close()
  })
})

describe('the report', () => {
  it('is made on the page, and saved with a logo, or the logo refused in a sentence', async () => {
    const page = await program.open('/capability/HB-204/C?last=30', { width: 390, height: 900 })
    await page.getByText('Make the report').first().click()
    await page.getByLabel('Title, if it shall have its own').fill('For release of order 4711')
    await page.getByLabel(/^Your name/).fill('S. Quell')
    const logo = PNG.sync.write(new PNG({ width: 40, height: 20 }))
    await page
      .getByLabel(/^Logo for the PDF/)
      .setInputFiles({ name: 'logo.png', mimeType: 'image/png', buffer: logo.subarray(0, 30) })
    await page.locator('form').getByRole('button', { name: 'Make the report' }).click()
    const pdf = page.getByRole('button', { name: 'Save as PDF' })
    await pdf.click()
    await page.getByText('The logo is damaged: it is not a whole picture.').waitFor()
    await page
      .getByLabel(/^Logo for the PDF/)
      .setInputFiles({ name: 'logo.png', mimeType: 'image/png', buffer: logo })
    await page.getByText('The logo is damaged').waitFor({ state: 'detached' })
    const [download] = await Promise.all([page.waitForEvent('download'), pdf.click()])
    expect(download.suggestedFilename()).toMatch(/^HB-204-C-report-\d+\.pdf$/)
    expect(
      readFileSync(await download.path())
        .subarray(0, 5)
        .toString(),
    ).toBe('%PDF-')
    expect(await sideways(page)).toBe(0)
    expect(await accessibilityFaults(page)).toEqual([])
    await page.close()
  })
})

describe('the walk through these pages', () => {
  it('raises no error but that of the damaged logo', () => {
    expect(program.errors).toEqual([expect.stringContaining('400 (Bad Request)')])
  })
})
