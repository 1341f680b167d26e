import { readFileSync } from 'node:fs'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { type Program, startProgram } from './program.ts'

/** Pages that are open follow what is brought in elsewhere; how soon is measured by `npm run bench`. */

let program: Program
beforeAll(async () => {
  program = await startProgram({ sample: true })
})
afterAll(() => program.stop())

/** The last build of the sample shop once more, under another name. */
function nextBuild(name: string): string {
  const text = readFileSync(new URL('../../sample-data/measurements/0459.csv', import.meta.url), 'utf8')
  return text.replaceAll(',0459,', `,${name},`).replaceAll(/,(HB|LV)-(\d{5}),/g, `,$1-${name}-$2,`)
}

async function bring(name: string): Promise<void> {
  const query = new URLSearchParams({ name: `${name}.csv`, who: 'tests' })
  const answer = await fetch(`${program.url}/api/imports?${query}`, { method: 'POST', body: nextBuild(name) })
  const { job } = (await answer.json()) as { job: string }
  // Ends with the import.
  await (await fetch(`${program.url}/api/imports/jobs/${job}/progress`)).text()
}

describe('an open page', () => {
  it('shows a build that was brought elsewhere, and says so', async () => {
    const page = await program.open('/drift/HB-204/C/9')
    await page.getByText('all 60').or(page.getByText('0459').first()).first().waitFor()
    await page.waitForLoadState('domcontentloaded')
    await page.evaluate('window.stillHere = true')
    await bring('0460')
    await page.locator('figure').first().getByText('0460').first().waitFor()
    await page.getByRole('status').getByText('Updated just now').waitFor()
    // It was never loaded anew.
    expect(await page.evaluate('window.stillHere')).toBe(true)
    await page.close()
  })

  it('catches up when its connection was lost meanwhile', async () => {
    const page = await program.open('/drift/HB-204/C/9')
    await page.locator('figure').first().getByText('0460').first().waitFor()
    await page.context().setOffline(true)
    await bring('0461')
    await page.context().setOffline(false)
    await page.locator('figure').first().getByText('0461').first().waitFor({ timeout: 30_000 })
    await page.close()
  })

  it('says since when the server is not heard, and stops once it is', async () => {
    const page = await program.open('/guide')
    await page.route(/notices/, (route) => route.abort())
    await page.goto(`${program.url}/drift/HB-204/C/9`)
    await page
      .getByRole('status')
      .getByText(/^Not connected since \d{4}-\d\d-\d\d \d\d:\d\d: /)
      .waitFor()
    await page.unroute(/notices/)
    await expect.poll(() => page.getByText('Not connected since').count()).toBe(0)
    await page.close()
  })

  it('reads what could not be read while the server was away, once it is back', async () => {
    const page = await program.open('/drift/HB-204/C/9')
    await page.locator('figure').first().getByText('0461').first().waitFor()
    await page.route(/part-numbers/, (route) => route.abort())
    await bring('0462')
    await page.getByText('The server cannot be reached.').first().waitFor()
    // What was read before stays in sight meanwhile.
    await expect.poll(() => page.locator('figure').first().getByText('0461').count()).toBeGreaterThan(0)
    await page.unroute(/part-numbers/)
    await page.locator('figure').first().getByText('0462').first().waitFor()
    await expect.poll(() => page.getByText('The server cannot be reached.').count()).toBe(0)
    await page.close()
  })
})
