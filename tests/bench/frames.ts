import { type Browser, chromium, type Page } from 'playwright-core'
import { CHROMIUM_SWITCHES, ensureChromium } from '../tools/chromium.ts'
import { startServer } from '../tools/running-server.ts'
import { fillShop } from './fill-shop.ts'
import { type BenchRow, row, runAlone } from './rows.ts'

/**
 * How smoothly the timeline of the page Drift is zoomed and moved, and how long its figures take to draw, in headless
 * Chromium without a graphics card, of the client as built: npx vite build --config client/vite.config.ts, then
 * npx tsx tests/bench/frames.ts [builds]. Wanted: 50 frames a second on 5,000 builds; at 2,000 builds of 40
 * characteristics the strip drawn in 500 ms and the chart in 200 ms.
 */
interface FrameFigures {
  readonly builds: number
  readonly motions: readonly Motion[]
  readonly drawn: Drawn
}

interface Motion {
  readonly inViewAtFirst: number
  readonly motion: 'zooming' | 'moving'
  /** Frames that the compositor drew in a second, by the trace. */
  readonly framesPerSecond: number
  /** Longest time between two of them, ms. */
  readonly longest: number
}

/** From the change of what is asked for until it is laid out, with all builds in view, ms; medians. */
interface Drawn {
  readonly stripAndChart: number
  readonly chart: number
}

const CHARACTERISTICS = 40
const VALUES_OF_A_CELL = 2
const SECONDS = 4
const ROUNDS = 5

/** Fills a shop with so many builds of 40 characteristics and measures on it. */
async function measureFrames(builds: number): Promise<FrameFigures> {
  const server = await startServer()
  const browser = await chromium.launch({ executablePath: ensureChromium(() => {}), args: CHROMIUM_SWITCHES })
  try {
    const measurements = builds * CHARACTERISTICS * VALUES_OF_A_CELL
    await fillShop(server.store, { measurements, builds, characteristics: CHARACTERISTICS })
    const page = await browser.newPage({ viewport: { width: 1440, height: 1000 } })
    const motions: Motion[] = []
    for (const inViewAtFirst of [builds, Math.round(builds / 2), 60]) {
      for (const motion of ['zooming', 'moving'] as const) {
        // All builds cannot be moved: frames in which nothing moves are none that were missed.
        if (motion === 'moving' && inViewAtFirst === builds) continue
        await openDrift(page, `${server.url}/drift/HB-204/C/1?builds=${inViewAtFirst}`)
        const move = motion === 'zooming' ? zooming(inViewAtFirst, builds) : MOVING
        motions.push({ inViewAtFirst, motion, ...(await framesOf(browser, page, move)) })
      }
    }
    await openDrift(page, `${server.url}/drift/HB-204/C/1?builds=all`)
    return { builds, motions, drawn: await drawnOf(page) }
  } finally {
    await browser.close()
    await server.stop()
  }
}

async function openDrift(page: Page, address: string): Promise<void> {
  await page.goto(address)
  await page.locator('.chart .reach svg').first().waitFor({ timeout: 120_000 })
  await page.waitForLoadState('networkidle')
}

/** Fewest builds that are zoomed to; the page shows no fewer than 8. */
const CLOSEST = 10
/**
 * Pixels of the wheel in one frame: some 8 % more or fewer builds in view, so that all of 5,000 are gone through in 1.3
 * s.
 */
const WHEEL = 20
/** Of builds in view, by one pixel of the wheel, as the page has it. */
const BY_PIXEL = 0.004

/** Closer and wider again, turning before either end is reached, so that every frame has something to show. */
const zooming = (inView: number, builds: number) => `(() => {
  let inView = ${inView}
  let closer = true
  return (figure, at) => {
    const next = inView * Math.exp((closer ? -1 : 1) * ${WHEEL * BY_PIXEL})
    if (next < ${CLOSEST} || next > ${builds}) closer = !closer
    inView *= Math.exp((closer ? -1 : 1) * ${WHEEL * BY_PIXEL})
    figure.dispatchEvent(new WheelEvent('wheel', { ...at, ctrlKey: true, deltaY: closer ? -${WHEEL} : ${WHEEL} }))
  }
})()`

/** Towards earlier builds for a second, since the latest are in view at first, and back. */
const MOVING = `(figure, at, t) => figure.dispatchEvent(
  new WheelEvent('wheel', { ...at, deltaX: t % 2 < 1 ? -12 : 12 }))`

interface TraceEvent {
  readonly name: string
  /** Microseconds. */
  readonly ts: number
}

/** Turns the wheel once a frame and reads from the trace what was drawn meanwhile. */
async function framesOf(browser: Browser, page: Page, move: string) {
  await browser.startTracing(page, {
    categories: [
      'devtools.timeline.frame',
      'disabled-by-default-devtools.timeline.frame',
      'blink.user_timing',
    ],
  })
  await page.evaluate(`new Promise((resolve) => {
    const figure = document.querySelector('.chart .reach')
    const box = figure.getBoundingClientRect()
    const at = { bubbles: true, cancelable: true, clientX: box.left + box.width / 2, clientY: box.top + 40 }
    const move = ${move}
    performance.mark('motion begins')
    const begin = performance.now()
    const step = (now) => {
      if (now - begin > ${SECONDS * 1000}) return resolve(performance.mark('motion ends'))
      move(figure, at, (now - begin) / 1000)
      requestAnimationFrame(step)
    }
    requestAnimationFrame(step)
  })`)
  const trace = JSON.parse((await browser.stopTracing()).toString()) as { traceEvents: TraceEvent[] }
  const [begin, end] = ['motion begins', 'motion ends'].map(
    (mark) => trace.traceEvents.find(({ name }) => name === mark)?.ts,
  )
  if (begin === undefined || end === undefined) throw new Error('the trace does not hold the motion')
  const drawn = trace.traceEvents
    .filter(({ name, ts }) => name === 'DrawFrame' && ts >= begin && ts <= end)
    .map(({ ts }) => ts)
    .sort((a, b) => a - b)
  const gaps = [...drawn, end].map((ts, i) => ts - (drawn[i - 1] ?? begin))
  return {
    framesPerSecond: (drawn.length * 1e6) / (end - begin),
    longest: Math.max(...gaps) / 1000,
  }
}

/** By the order of the rows, which draws the strip and the rest of the page; by the specification limits, the chart. */
async function drawnOf(page: Page): Promise<Drawn> {
  const timeOf = async (change: string, figure: string) => {
    const times: number[] = []
    for (let i = 0; i < ROUNDS; i++) {
      times.push(
        (await page.evaluate(`new Promise((resolve) => {
          const figure = document.querySelector(${JSON.stringify(figure)})
          const begin = performance.now()
          const observer = new MutationObserver(() => {
            observer.disconnect()
            requestAnimationFrame(() => {
              figure.getBoundingClientRect()
              const channel = new MessageChannel()
              channel.port1.onmessage = () => resolve(performance.now() - begin)
              channel.port2.postMessage(null)
            })
          })
          observer.observe(figure, { subtree: true, childList: true, attributes: true })
          ;(${change})(${i})
        })`)) as number,
      )
    }
    return times.sort((a, b) => a - b)[Math.floor(ROUNDS / 2)] as number
  }
  const orders = `(i) => document.querySelectorAll('input[name=rows]')[i % 2 === 0 ? 1 : 0].click()`
  const specification = `() => [...document.querySelectorAll('.chart button[aria-pressed]')][0].click()`
  return {
    stripAndChart: await timeOf(orders, '.reach'),
    chart: await timeOf(specification, '.chart .reach'),
  }
}

await runAlone(import.meta.url, ([builds]) => framesBench(Number(builds ?? 5000)))

/** The same with a twentieth of the builds is what frames are held against. */
export async function framesBench(builds: number): Promise<BenchRow[]> {
  const fewBuilds = Math.round(builds / 20)
  const few = await measureFrames(fewBuilds)
  const all = await measureFrames(builds)
  const what = `${fewBuilds.toLocaleString('en')} builds`
  const of = `of ${builds.toLocaleString('en')} builds`
  return [
    ...all.motions.flatMap(({ inViewAtFirst, motion, framesPerSecond, longest }, i) => {
      const name = `frame ${of}, ${inViewAtFirst.toLocaleString('en')} in view at first, ${motion}`
      const measured = 1000 / (few.motions[i] as Motion).framesPerSecond
      return [
        row(`${name}, on average`, 1000 / framesPerSecond, 'ms', { what, measured }),
        row(`${name}, the longest`, longest, 'ms'),
      ]
    }),
    row(`strip in another order ${of}`, all.drawn.stripAndChart, 'ms', {
      what,
      measured: few.drawn.stripAndChart,
    }),
    row(`chart with or without specification ${of}`, all.drawn.chart, 'ms', {
      what,
      measured: few.drawn.chart,
    }),
  ]
}
