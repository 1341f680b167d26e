import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import type { Page } from 'playwright-core'
import { startProgram } from './program.ts'

/** Takes the pictures of the README from the running program, filled with the sample shop. */

const folder = fileURLToPath(new URL('../../client/guide/pictures/', import.meta.url))
const size = { width: 1280, height: 900 }
/** Tall enough for strip, lanes and chart on one picture. */
const tall = { width: 1280, height: 1480 }

/** A file as the measuring room might write it on a bad day: a comma where a point belongs, an unknown number. */
const SPOILED = [
  'part_number,revision,serial,build,characteristic,value,unit',
  'HB-204,C,HB-20001,0460,1,42.011,mm',
  'HB-204,C,HB-20001,0460,2,"25,987",mm',
  'HB-204,C,HB-20001,0460,21,16.004,mm',
  'HB-204,C,HB-20002,0460,1,42.018,mm',
].join('\n')

const program = await startProgram({ sample: true })

async function picture(
  name: string,
  path: string,
  prepare: (page: Page) => Promise<void> = async () => {},
  of = size,
) {
  const page = await program.open(path, of)
  await page.locator('h1').first().waitFor()
  await prepare(page)
  await page.waitForLoadState('networkidle')
  await page.evaluate('document.fonts.ready')
  await page.screenshot({ path: join(folder, `${name}.png`) })
  await page.close()
  console.log(`client/guide/pictures/${name}.png`)
}

await picture('intake', '/intake', async (page) => {
  await page.getByLabel('Your name').fill('J. Moreau')
  const file = { name: 'build-0460.csv', mimeType: 'text/csv', buffer: Buffer.from(SPOILED) }
  await page.locator('input[type=file]').setInputFiles(file)
  await page.getByRole('button', { name: /good rows/i }).waitFor()
})
await picture('drift', '/drift/HB-204/C/9', async () => {}, tall)
await picture('capability', '/capability/HB-204/C')
await program.stop()
