import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { accessibilityFaults } from '../tools/page-faults.ts'
import { type Program, startProgram } from './program.ts'

/** Supplier quality decides what the customer asks, on the sample shop. */

let program: Program

beforeAll(async () => {
  program = await startProgram({ sample: true })
})
afterAll(() => program.stop())

describe('the page on capability', () => {
  it('names the distribution of what is not normal, and has every column in sight', async () => {
    const page = await program.open('/capability/HB-204/C')
    const row = page.getByRole('row', { name: /flatness of face A/ })
    await row.getByText('folded normal').waitFor()
    const table = page.getByRole('region', { name: 'Capability by characteristic' })
    expect(await table.evaluate((region) => region.scrollWidth - region.clientWidth)).toBe(0)
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

  it('raises no error', () => {
    expect(program.errors).toEqual([])
  })
})
