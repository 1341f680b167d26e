import { readFileSync } from 'node:fs'
import type { Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { GAUGE_EXAMPLE } from '../../src/evidence/data/gauge-example.ts'
import { accessibilityFaults } from '../tools/page-faults.ts'
import { type Program, startProgram } from './program.ts'

/** From a file of readings to a verdict on a gauge, and from a plan to its study. */

let program: Program

const DRAWING = `part_number,revision,designator,name,kind,nominal,lower,upper,unit,axis
HB-204,C,9,step,length,0,-5,5,mm,Z
`

const STUDY = [
  'Gauge;Characteristic;Part;Appraiser;Trial;Reading (mm)',
  ...GAUGE_EXAMPLE.map(
    ({ part, inspector, value }, i) =>
      `caliper 3;9;${part};${inspector};${(Math.floor(i / 10) % 3) + 1};${value}`,
  ),
].join('\n')

async function bring(page: Page, name: string, text: string): Promise<void> {
  await page.goto(`${program.url}/intake`)
  await page.getByLabel('Your name, for the record').first().fill('Ines Quark')
  await page
    .locator('input[type=file]')
    .first()
    .setInputFiles({ name, mimeType: 'text/csv', buffer: Buffer.from(text) })
  await page
    .getByText(/ (are|is) in\./)
    .first()
    .waitFor()
}

const NARROW = { width: 390, height: 844 }

beforeAll(async () => {
  program = await startProgram({ sample: false })
})
afterAll(() => program.stop())

describe('gauges', () => {
  it('are judged by a study that Intake takes in, readable down to its rows', async () => {
    const page = await program.open('/gauges')
    await page.locator('h1', { hasText: 'No characteristic is on record yet' }).waitFor()
    await bring(page, 'drawing.csv', DRAWING)
    await bring(page, 'study.csv', STUDY)
    await expect
      .poll(() => page.locator('main').textContent())
      .toContain('kept apart from the measurements of parts')

    await page.getByRole('navigation', { name: 'Places' }).getByRole('link', { name: 'Gauges' }).click()
    await page.locator('h1', { hasText: 'usable with care for the one characteristic.' }).waitFor()
    expect(await accessibilityFaults(page)).toEqual([])
    await page
      .getByRole('region', { name: /^How finely/ })
      .getByRole('link', { name: 'study 1' })
      .click()
    await page.locator('h1', { hasText: 'it takes 18 % of the tolerance' }).waitFor()
    await page.getByRole('button', { name: 'Analysis of variance', exact: true }).click()
    await page.getByRole('button', { name: 'The 90 readings' }).click()
    await page.getByRole('link', { name: 'import 2, line 2' }).first().waitFor()
    expect(await accessibilityFaults(page)).toEqual([])
    await page.getByRole('radio', { name: 'average and range' }).check()
    await page.waitForURL(/method=ranges/)
    await page.getByText('For customers who ask for it').waitFor()
    await page.close()
  })

  it('stand in the register, version after version', async () => {
    const page = await program.open('/gauges/of/caliper%203')
    await page.getByRole('button', { name: 'Enter it in the register' }).click()
    await page.getByLabel('Kind, such as caliper').fill('caliper')
    await page.getByLabel('Resolution, mm').fill('0,01')
    await page.getByLabel('Due by').fill('2021-01-10')
    await page.getByLabel('9 step').check()
    await page.getByLabel('Why').fill('bought')
    await page.getByLabel('Your name, for the record').fill('Ines Quark')
    await page.getByRole('button', { name: 'Keep it' }).click()
    await page.getByText('2021-01-10, overdue').waitFor()
    await page.getByText('0.01 mm').first().waitFor()
    expect(await accessibilityFaults(page)).toEqual([])
    await page.close()
  })

  it('are planned for: the sheet comes back to its plan', async () => {
    const page = await program.open('/gauges/plan?gauge=caliper+3')
    await page.locator('h1', { hasText: 'readings, the fewest for' }).waitFor()
    await page.getByLabel('Characteristic').selectOption({ label: 'HB-204 C, 9 step' })
    await page.getByLabel(/^Parts, one a line/).fill('1\n2\n3')
    await page.getByLabel(/^Inspectors, one a line/).fill('Ines\nEmil')
    await page.getByLabel('Trials').fill('2')
    await page.getByText(/^3 × 2 × 2 = 12 readings/).waitFor()
    expect(await accessibilityFaults(page)).toEqual([])
    await page.getByLabel('Your name, for the record').fill('Ines Quark')
    await page.getByRole('button', { name: 'Make the sheet' }).click()
    await page.locator('h1', { hasText: '12 readings' }).waitFor()
    expect(await accessibilityFaults(page)).toEqual([])
    const [saved] = await Promise.all([
      page.waitForEvent('download'),
      page.getByRole('link', { name: 'Save the sheet as CSV' }).click(),
    ])
    const sheet = readFileSync(await saved.path(), 'utf8')
      .trimEnd()
      .split('\r\n')
    const filled = sheet.map((line, i) => (i === 0 ? line : `${line}${((i * 7) % 5) / 10}`))
    await bring(page, 'sheet.csv', filled.join('\n'))
    await page.goto(`${program.url}/gauges/plans/1`)
    await page.locator('h1', { hasText: 'was measured' }).waitFor()
    await page.getByRole('link', { name: 'Open study 2' }).click()
    await page.locator('h1', { hasText: /step/ }).waitFor()
    await page.close()
  })

  it('fit a narrow screen', async () => {
    for (const path of ['/gauges', '/gauges/studies/1', '/gauges/plans/1']) {
      const page = await program.open(path, NARROW)
      await page.locator('h1').waitFor()
      expect(await page.evaluate('document.documentElement.scrollWidth'), path).toBeLessThanOrEqual(390)
      expect(await accessibilityFaults(page), path).toEqual([])
      await page.close()
    }
    expect(program.errors).toEqual([])
  })
})
