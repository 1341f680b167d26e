import { readFileSync } from 'node:fs'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { type Program, startProgram } from './program.ts'

/** Pages that are open follow what is brought in elsewhere. */

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
  it('shows a build that was brought elsewhere within a second, and says so', async () => {
    const page = await program.open('/drift/HB-204/C/9')
    await page.getByText('all 60').or(page.getByText('0459').first()).first().waitFor()
    await page.waitForLoadState('domcontentloaded')
    await page.evaluate('window.stillHere = true')
    await bring('0460')
    const taken = Date.now()
    await page.locator('figure').first().getByText('0460').first().waitFor()
    expect(Date.now() - taken).toBeLessThan(1500)
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
})
