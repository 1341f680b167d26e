import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { pageFaults } from '../tools/page-faults.ts'
import { type Program, startProgram } from './program.ts'

/** Pages beside the control chart, on the sample shop. */

let program: Program
beforeAll(async () => {
  program = await startProgram({ sample: true })
})
afterAll(() => program.stop())

const chart = '/drift/HB-204/C/9'

describe('the places of parts', () => {
  it('name the hot tray in the first sentence, and in words beside its interval', async () => {
    const page = await program.open(`${chart}/places`)
    await page
      .locator('h1', { hasText: /comes out small on tray 5 of furnace F1, by 0\.\d+ ± 0\.\d+ mm\./ })
      .waitFor()
    const figure = page.getByRole('img', { name: /groups compared/i })
    await expect.poll(() => figure.textContent()).toContain('surely small')
    await page.close()
  })

  it('open the table behind a figure by keyboard, and keep it in the address', async () => {
    const page = await program.open(`${chart}/places`)
    const button = page.getByRole('button', { name: 'Figures as a table' }).last()
    await button.waitFor()
    await button.focus()
    await page.keyboard.press('Enter')
    await page.waitForURL(/open=splits-table/)
    const row = page.getByRole('row', { name: /tray 5 of furnace F1/ })
    await expect.poll(() => row.textContent()).toContain('surely small')
    await page.close()
  })

  it('are reached from the control chart and lead back', async () => {
    const page = await program.open(chart)
    await page.getByRole('link', { name: 'Where its parts lay' }).click()
    await page.waitForURL(/\/drift\/HB-204\/C\/9\/places/)
    await page.getByRole('link', { name: 'Control chart' }).click()
    await page.waitForURL(/\/drift\/HB-204\/C\/9$/)
    await page.close()
  })
})

describe('what the tests cost and catch', () => {
  it('answers sliders and tests, by keyboard, and keeps them in the address', async () => {
    const page = await program.open(`${chart}/tests?shift=0.0080`)
    // One false alarm in 91.75 points for the four tests: Champ and Woodall, Technometrics 29 (1987), 393–399.
    await page
      .locator('h1', { hasText: /A shift of 0\.0080 mm is seen after \d+\.\d builds .* every 92\./ })
      .waitFor()
    await page.getByLabel('Shift of the mean').focus()
    await page.keyboard.press('ArrowRight')
    await page.waitForURL(/shift=0\.0081/)
    for (const name of [/two of three/, /four of five/, /eight in a row on one side/]) {
      await page.getByRole('checkbox', { name }).uncheck()
    }
    // 370.4 for one point beyond three sigma alone.
    await page.locator('h1', { hasText: /every 370\./ }).waitFor()
    await page.close()
  })
})

describe('slow changes', () => {
  it('are said beside the tests in force, by average and by sums', async () => {
    const page = await program.open(`${chart}/slow`)
    await page.locator('h1', { hasText: /running average goes below its limits at build 04\d\d/ }).waitFor()
    await page.getByRole('radio', { name: 'running sums' }).check()
    await page.waitForURL(/by=sum/)
    await page.locator('h1', { hasText: /running sum goes below/ }).waitFor()
    const slider = page.getByRole('slider', { name: /Builds, slow changes/ })
    await slider.focus()
    await page.keyboard.press('Home')
    await expect.poll(() => slider.getAttribute('aria-valuetext')).toMatch(/^Build 0400: sums/)
    await page.close()
  })
})

describe('all characteristics together', () => {
  it('say which builds are unusual, and lead to the chart of what moved', async () => {
    const page = await program.open('/drift/HB-204/C/together')
    await page
      .locator('h1', { hasText: /^Taken together, .* of 60 builds (is|are) unusual, .*04\d\d: .* moved\.$/ })
      .waitFor()
    // What lasts, but is small beside the scatter of builds, is not left unsaid.
    await page
      .getByText(/By all builds together: Since build 0441 everything along Z comes out small/)
      .waitFor()
    const slider = page.getByRole('slider')
    await slider.focus()
    await page.keyboard.press('End')
    await page.keyboard.press('Enter')
    await page.waitForURL(/\/drift\/HB-204\/C\/\d+\?build=0459/)
    await page.close()
  })
})

describe('the screen on the shop floor', () => {
  it('shows the sentence in very large letters and the strip, nothing else', async () => {
    const page = await program.open('/floor/HB-204/C', { width: 1920, height: 1080 })
    const sentence = page.locator('h1')
    await sentence.waitFor()
    const size = await page.evaluate("parseFloat(getComputedStyle(document.querySelector('h1')).fontSize)")
    expect(size).toBeGreaterThan(60)
    await page.getByRole('img').waitFor()
    await expect.poll(() => page.getByRole('banner').isVisible()).toBe(false)
    await expect.poll(() => page.getByRole('contentinfo').isVisible()).toBe(false)
    expect(await page.evaluate('document.documentElement.scrollHeight')).toBeLessThanOrEqual(1080)
    await page.close()
  })
})

describe('every page beside the control chart', () => {
  const paths = [
    `${chart}/places`,
    `${chart}/places?parts=means&open=bed-table,why`,
    `${chart}/tests`,
    `${chart}/slow`,
    '/drift/HB-204/C/together',
    '/drift/HB-204/C/9?rows=likeness',
    '/floor/HB-204/C',
  ]
  const looks = [
    ['light', 1440],
    ['dark', 900],
    ['light', 360],
  ] as const

  it.each(paths.flatMap((path) => looks.map((look) => [path, ...look] as const)))(
    '%s in %s at %i wide has no accessibility fault and does not scroll sideways',
    async (path, scheme, width) => {
      const page = await program.open(path, { width, height: 900 }, scheme)
      await page.locator('svg').first().waitFor()
      await page.waitForLoadState('networkidle')
      expect(await pageFaults(page)).toEqual([])
      await page.close()
    },
  )

  it('reported no error', () => {
    expect(program.errors).toEqual([])
  })
})
