import { fileURLToPath } from 'node:url'
import { chromium } from 'playwright-core'
import { createServer } from 'vite'
import { CHROMIUM_SWITCHES, ensureChromium } from '../tools/chromium.ts'

/**
 * Frames a second while the timeline of the drift page is zoomed and moved, on made-up answers:
 * npx tsx tests/bench/frames.ts [builds]. The target is 50 on 5,000 builds; a browser without a graphics card draws slower.
 */

const builds = Number(process.argv[2] ?? 5000)
const SECONDS = 4

process.env.MOCK_BUILDS = String(builds)
const server = await createServer({
  configFile: fileURLToPath(new URL('../client/mock.vite.config.ts', import.meta.url)),
  logLevel: 'error',
  server: { port: 0, host: '127.0.0.1', hmr: { overlay: false } },
})
await server.listen()
const url = server.resolvedUrls?.local[0] ?? ''
const browser = await chromium.launch({ executablePath: ensureChromium(() => {}), args: CHROMIUM_SWITCHES })
const page = await browser.newPage({ viewport: { width: 1440, height: 1000 } })

/** Counts frames while `move` is called with each, and how long the longest of them took, milliseconds. */
async function frames(move: string): Promise<{ rate: number; longest: number }> {
  return (await page.evaluate(`new Promise((resolve) => {
    const figure = document.querySelectorAll('.reach')[1] ?? document.querySelector('.reach')
    const box = figure.getBoundingClientRect()
    const at = { bubbles: true, cancelable: true, clientX: box.left + box.width / 2, clientY: box.top + 40 }
    const move = ${move}
    const begin = performance.now()
    let last = begin, count = 0, longest = 0
    const step = (now) => {
      count++
      longest = Math.max(longest, now - last)
      last = now
      if (now - begin > ${SECONDS * 1000}) return resolve({ rate: (count * 1000) / (now - begin), longest })
      move(figure, at, (now - begin) / 1000)
      requestAnimationFrame(step)
    }
    requestAnimationFrame(step)
  })`)) as { rate: number; longest: number }
}

const zoom = `(figure, at, t) => figure.dispatchEvent(
  new WheelEvent('wheel', { ...at, ctrlKey: true, deltaY: 30 * Math.cos(t * 1.6) * -1 }))`
const pan = `(figure, at, t) => figure.dispatchEvent(
  new WheelEvent('wheel', { ...at, deltaX: t % 2 < 1 ? -12 : 12 }))`

for (const span of ['all', '300', '60']) {
  await page.goto(`${url}drift/HB-204/C?builds=${span}`)
  await page.locator('.reach svg').nth(1).waitFor({ timeout: 120_000 })
  await page.waitForTimeout(1000)
  for (const [name, move] of [
    ['zooming', zoom],
    ['moving', pan],
  ] as const) {
    const { rate, longest } = await frames(move)
    console.log(
      `${builds} builds, ${span} in view at first, ${name}: ${rate.toFixed(1)} frames a second, the longest ${longest.toFixed(0)} ms`,
    )
  }
}
await browser.close()
await server.close()
