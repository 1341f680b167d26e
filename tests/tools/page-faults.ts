import { readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import type { AxeResults } from 'axe-core'
import type { Page } from 'playwright-core'

const source = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8')

/** What axe finds against WCAG 2.2 level AA on the page as it stands, one line a finding. */
export async function accessibilityFaults(page: Page): Promise<string[]> {
  // What is read again is dimmed until it has come, and comes back to its ink gradually.
  await page.waitForFunction(
    () =>
      document.querySelector('.stale') === null &&
      document.getAnimations().every(({ playState }) => playState !== 'running'),
  )
  // Through the debugger, not as a script element: the page's content security policy forbids those.
  await page.evaluate(source)
  const results = (await page.evaluate(
    "axe.run({ runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'] })",
  )) as AxeResults
  return results.violations.flatMap((violation) =>
    violation.nodes.map((node) => `${violation.id}: ${violation.help}: ${node.target.join(' ')}`),
  )
}

/** As `accessibilityFaults`, and whether the page scrolls sideways: what no page may do, at any width, in any look. */
export async function pageFaults(page: Page): Promise<string[]> {
  const fits = 'document.documentElement.scrollWidth <= document.documentElement.clientWidth'
  // Figures take the width that they are given a moment after it changed.
  await page.waitForFunction(fits, undefined, { timeout: 5000 }).catch(() => undefined)
  const beyond = (await page.evaluate(
    'document.documentElement.scrollWidth - document.documentElement.clientWidth',
  )) as number
  const faults = await accessibilityFaults(page)
  return beyond > 0 ? [...faults, `scrolls sideways by ${beyond} px`] : faults
}
