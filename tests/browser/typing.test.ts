import type { Browser } from 'playwright-core'
import { afterAll, beforeAll, expect, it } from 'vitest'
import type { ChartView } from '../../server/contract/views.ts'
import { accessibilityFaults } from '../tools/page-faults.ts'
import { type Program, startProgram } from './program.ts'

/** Values of a hand gauge typed part by part, with a reload in the middle. */

let program: Program
beforeAll(async () => {
  program = await startProgram({ sample: false })
  const head = 'part_number,revision,serial,build,characteristic,nominal,lower,upper,value\n'
  const rows = Array.from({ length: 8 }, (_, b) =>
    Array.from({ length: 4 }, (_, p) =>
      [
        `BX-1,A,P${b}${p},B${b + 1},1,10,9.8,10.2,${(10 + 0.01 * ((b * 7 + p * 3) % 5)).toFixed(2)}`,
        `BX-1,A,P${b}${p},B${b + 1},2,25,24.7,25.3,${(25 + 0.01 * ((b * 3 + p * 2) % 7)).toFixed(2)}`,
      ].join('\n'),
    ).join('\n'),
  ).join('\n')
  const answer = await fetch(`${program.url}/api/imports?name=record.csv&who=tests`, {
    method: 'POST',
    body: `${head}${rows}\n`,
  })
  const { job } = (await answer.json()) as { job: string }
  await (await fetch(`${program.url}/api/imports/jobs/${job}/progress`)).text()
})
afterAll(() => program.stop())

it('keeps what is typed over a reload, checks it, charts it, and takes it in as a file', async () => {
  const page = await program.open('/intake')
  await page.getByText('Type measurements of hand gauges').click()
  await page.getByLabel('Build, on record or new').fill('B9')
  await page.getByLabel('Gauge').fill('micrometer 3')
  await page.getByLabel('Inspector').fill('Ines Quark')
  await page.getByText('Begin typing').click()

  await page.getByLabel('Serial number of part 1').fill('H1')
  // Enter goes to the next characteristic, then to the next part; a comma will do.
  for (const text of ['10,02', '25.03', 'H2', '1.003', '25.02', 'H3', '10.31']) {
    await page.keyboard.press('Enter')
    await page.keyboard.type(text)
  }
  const checks = page.getByRole('status', { name: 'Checks' })
  await checks.getByText('it would be 10.03').waitFor()
  await checks.getByText('Out of specification: 0.11 mm above 10.2.').waitFor()
  // The doubtful one is not among them.
  await page.getByText('Build B9 from 2 typed values: provisional').waitFor()
  await page.locator('.typing-chart svg').getByText('B9').first().waitFor()
  expect(await accessibilityFaults(page)).toEqual([])

  await page.reload()
  await page.getByText('5 values typed, not taken in yet').waitFor()
  await expect.poll(() => page.getByLabel('1 of part H2').inputValue()).toBe('1.003')
  await page.getByText('It was 10.03').click()
  await expect.poll(() => page.getByLabel('1 of part H2').inputValue()).toBe('10.03')
  await page.getByLabel('1 of part H3').fill('10.05')
  await page.keyboard.press('Control+z')
  await expect.poll(() => page.getByLabel('1 of part H3').inputValue()).toBe('10.31')

  await page.getByText('Take it in', { exact: true }).click()
  await page.getByText('Build B9 is taken in.').waitFor()
  await page.getByText('All 5 rows of').waitFor()
  const answer = await fetch(`${program.url}/api/part-numbers/BX-1/A/characteristics/1/chart?stage=sintered`)
  const { chart } = (await answer.json()) as ChartView
  const point = chart.subgroups.at(-1)
  expect(point).toMatchObject({ label: 'B9', n: 3, max: 10.31 })
  // (10.02 + 10.03 + 10.31) / 3
  expect(point?.mean).toBeCloseTo(10.12, 12)
  const kept = await fetch(`${program.url}/api/imports/2/file`)
  expect(await kept.text()).toMatch(/BX-1,A,B9,H1,1,10\.02,mm,sintered,micrometer 3,Ines Quark,\d{4}-/)
  // Nothing is kept any more.
  await page.reload()
  await page.getByText('The sheet at this address is not kept').waitFor()
  expect(program.errors).toEqual([])
  await page.close()
})

it('keeps decisions, says what was seen before, and shows one sheet in two tabs', async () => {
  const first = await program.open('/intake')
  const context = await (first.context().browser() as Browser).newContext()
  await first.close()
  const errors: string[] = []
  context.on('weberror', (error) => errors.push(error.error().message))
  const page = await context.newPage()
  await page.goto(`${program.url}/intake/typing`)
  await page.getByLabel('Build, on record or new').fill('B3')
  await page.getByLabel('Gauge').fill('micrometer 3')
  await page.getByText('Begin typing').click()
  // P20 of build B3 has values on record, without a time.
  await page.getByLabel('Serial number of part 1').fill('P20')
  await page.keyboard.press('Enter')
  await page.keyboard.type('10.05')
  const checks = page.getByRole('status', { name: 'Checks' })
  await checks.getByText('Measured before: 10.04 mm in import 1 (it does not say when)').waitFor()
  await page.getByText('1 doubtful value left out of it until it is decided').waitFor()
  await checks.getByRole('button', { name: 'Keep as measured: part P20, 1' }).click()
  await page.getByText('Build B3 from 1 typed value: provisional').waitFor()

  const other = await context.newPage()
  await other.goto(page.url())
  await other.getByText('Open in 1 other tab as well').waitFor()
  await page.getByText('Open in 1 other tab as well').waitFor()
  await other.getByLabel('Serial number of part 2').fill('H7')
  await page.getByLabel('1 of part H7').fill('10.02')
  await other.getByText('2 values typed').waitFor()
  await other.getByLabel('2 of part H7').fill('25.01')
  // Undo in one tab takes back what was typed there, and nothing else.
  await page.getByText('Undo', { exact: true }).click()
  await other.getByText('2 values typed').waitFor()
  await expect.poll(() => page.getByLabel('2 of part H7').inputValue()).toBe('25.01')
  await expect.poll(() => page.getByLabel('1 of part H7').inputValue()).toBe('')

  // Decided on the sheet, and not asked about again.
  await page.getByText('Take it in', { exact: true }).click()
  await page.getByText('Build B3 is taken in.').waitFor()
  await other.getByText('It was taken in from another tab').waitFor()
  await page.getByText('All 2 rows of').waitFor()
  expect(errors).toEqual([])
  await context.close()
})
