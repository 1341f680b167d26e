/**
 * What of the client reaches the browser, and when something is to be seen; of the built program:
 *
 *     npm run build && npx tsx tests/bench/client.ts
 */
import { readdirSync, readFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { gzipSync } from 'node:zlib'
import { startProgram } from '../browser/program.ts'
import { type BenchRow, median, row, runAlone } from './rows.ts'

const ROUNDS = 5
const root = new URL('../../', import.meta.url)

await runAlone(import.meta.url, clientBench)

export async function clientBench(): Promise<BenchRow[]> {
  return [...sizes(), ...(await firstViews())]
}

/** Bytes as they are sent; d3 as a whole is a known quantity of the same kind. */
function sizes(): BenchRow[] {
  const assets = fileURLToPath(new URL('dist/client/assets/', root))
  const sent = (file: string) => gzipSync(readFileSync(file)).length / 1000
  const sum = (names: Iterable<string>) => [...names].reduce((total, name) => total + sent(assets + name), 0)
  const all = readdirSync(assets)
  const d3 = sent(fileURLToPath(new URL('node_modules/d3/dist/d3.min.js', root)))
  return [
    row('scripts that the first page loads, gzip', sum(firstScripts(assets)), 'kB', {
      what: 'd3 as a whole',
      measured: d3,
    }),
    row('all scripts, gzip', sum(all.filter((name) => name.endsWith('.js'))), 'kB', {
      what: 'd3 as a whole',
      measured: d3,
    }),
    row('style sheets, gzip', sum(all.filter((name) => name.endsWith('.css'))), 'kB'),
  ]
}

/** The scripts that the page names, and those that they import before anything runs. */
function firstScripts(assets: string): Set<string> {
  const page = readFileSync(`${assets}../index.html`, 'utf8')
  const waiting = [...page.matchAll(/src="\/assets\/([^"]+\.js)"/g)].map(([, name]) => name as string)
  const scripts = new Set<string>()
  for (let name = waiting.pop(); name !== undefined; name = waiting.pop()) {
    if (scripts.has(name)) continue
    scripts.add(name)
    const imports = readFileSync(assets + name, 'utf8').matchAll(
      /(?:from|import)\s*["'`]\.\/([^"'`]+\.js)["'`]/g,
    )
    waiting.push(...[...imports].map(([, imported]) => imported as string))
  }
  return scripts
}

/** From the address to the first figure, each time in a new browser context, beside a page of one line. */
async function firstViews(): Promise<BenchRow[]> {
  const program = await startProgram({ sample: true })
  try {
    const timed = async (path: string, selector: string) => {
      const times: number[] = []
      for (let round = 0; round < ROUNDS; round++) {
        const context = await program.browser.newContext({ viewport: { width: 1440, height: 1000 } })
        const page = await context.newPage()
        const begun = performance.now()
        await page.goto(program.url + path)
        await page.locator(selector).first().waitFor()
        times.push(performance.now() - begun)
        await context.close()
      }
      return median(times)
    }
    const line = await timed('/api/openapi.json', 'body')
    const beside = { what: 'a text of the same server', measured: line }
    return [
      row(
        'first view: drift of all characteristics',
        await timed('/drift/HB-204/C', 'figure svg'),
        'ms',
        beside,
      ),
      row(
        'first view: chart of one characteristic',
        await timed('/drift/HB-204/C/9', 'figure svg'),
        'ms',
        beside,
      ),
    ]
  } finally {
    await program.stop()
  }
}
