import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { startProgram } from './program.ts'

/** Takes the pictures of the README from the running program, filled with the sample shop. */

const folder = fileURLToPath(new URL('../../client/guide/pictures/', import.meta.url))
const size = { width: 1280, height: 900 }

const program = await startProgram({ sample: true })
for (const [name, path] of [
  ['intake', '/record/64'],
  ['drift', '/drift/HB-204/C/9'],
  ['capability', '/capability/HB-204/C'],
] as const) {
  const page = await program.open(path, size)
  await page.locator('h1').first().waitFor()
  await page.waitForLoadState('networkidle')
  await page.evaluate('document.fonts.ready')
  await page.screenshot({ path: join(folder, `${name}.png`) })
  await page.close()
  console.log(`client/guide/pictures/${name}.png`)
}
await program.stop()
