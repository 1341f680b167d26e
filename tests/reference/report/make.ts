/**
 * Draws the pages of a report that tests/server/report/pictures.test.ts compares with, after a change of how reports
 * look. Look at every picture before it is committed:
 *
 *     npx tsx tests/reference/report/make.ts
 */
import { writeFileSync } from 'node:fs'
import { PNG } from 'pngjs'
import { PICTURE_DPI, PICTURED, picturedReport, printed } from '../../server/report/pictured-pages.ts'
import { ensurePoppler, pagePicture } from '../../tools/poppler.ts'

ensurePoppler(console.log)
const report = await picturedReport()
for (const { name, paper, page } of PICTURED) {
  const picture = pagePicture(await printed(report, paper), page, PICTURE_DPI)
  // Greys of one byte a pixel.
  writeFileSync(new URL(name, import.meta.url), PNG.sync.write(picture, { colorType: 0, deflateLevel: 9 }))
}
