import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { type Program, startProgram } from './program.ts'

let program: Program
beforeAll(async () => {
  program = await startProgram({ sample: true })
})
afterAll(() => program.stop())

describe('the timeline', () => {
  it('comes closer by key, moves by key, and the address reopens the same view', async () => {
    const page = await program.open('/drift/HB-204/C/9')
    const strip = page.getByRole('listbox')
    await strip.focus()
    await page.keyboard.press('+')
    await page.waitForURL(/from=04\d\d&to=04\d\d/)
    await page.keyboard.press('Shift+ArrowLeft')
    await page.waitForURL(/from=0400/)
    const inView = await page.getByText(/^Builds 0400 to 04\d\d$/).textContent()
    const again = await program.open(new URL(page.url()).pathname + new URL(page.url()).search)
    await expect.poll(() => again.getByText(/^Builds 04\d\d to 04\d\d$/).textContent()).toBe(inView)
    await page.keyboard.press('0')
    await page.waitForURL(/builds=all/)
    await page.close()
    await again.close()
  })

  it('tells the figures of a cell of its strip, by keyboard as by pointing', async () => {
    const page = await program.open('/drift/HB-204/C/3')
    await page.getByRole('listbox').focus()
    await page.keyboard.press('ArrowLeft')
    // The mean of the eleven values of sample-data/measurements/0459.csv.
    await page
      .getByText(
        /^3 height, build 0459: 3\.5 standard errors below .*; mean 15\.9860 against 16\.0076 mm, 11 parts$/,
      )
      .waitFor()
    await page.keyboard.press('ArrowLeft')
    await page.getByText(/^3 height, build 0458: /).waitFor()
    await page.close()
  })

  it('is moved as a picture of itself, which leaves nothing behind at rest', async () => {
    const page = await program.open('/drift/HB-204/C/9')
    const chart = page.getByRole('slider', { name: /Builds on the control chart/ })
    // What is above the chart has come, so that it stays where it is.
    await page.waitForLoadState('networkidle')
    await chart.scrollIntoViewIfNeeded()
    const box = await chart.boundingBox()
    if (box === null) throw new Error('no chart')
    await page.mouse.move(box.x + box.width / 2, box.y + 60)
    await page.evaluate(() => {
      const seen = Object.assign(window, { moved: 0 })
      new MutationObserver(() => {
        seen.moved = Math.max(seen.moved, document.querySelectorAll('.moving').length)
      }).observe(document.body, { subtree: true, childList: true })
    })
    await page.keyboard.down('Control')
    await page.mouse.wheel(0, -100)
    await page.keyboard.up('Control')
    await page.waitForURL(/from=04\d\d&to=04\d\d/)
    await page.waitForFunction(() => document.querySelector('.moving') === null)
    // One over the strip and one over the chart.
    expect(await page.evaluate('window.moved')).toBe(2)
    await page.close()
  })

  it('offers the stages that parts were measured at, and no other', async () => {
    const page = await program.open('/drift/HB-204/C/9')
    await page.getByRole('slider', { name: /Builds on the control chart/ }).waitFor()
    expect(
      await page
        .getByLabel(/^Measured/)
        .locator('option')
        .allTextContents(),
    ).toEqual(['green', 'sintered'])
    await page.close()
  })

  it('comes closer by wheel with Ctrl, and is dragged without picking a build', async () => {
    const page = await program.open('/drift/HB-204/C/9')
    const chart = page.getByRole('slider', { name: /Builds on the control chart/ })
    // What is above the chart has come, so that it stays where it is.
    await page.waitForLoadState('networkidle')
    await chart.scrollIntoViewIfNeeded()
    const box = await chart.boundingBox()
    if (box === null) throw new Error('no chart')
    const [x, y] = [box.x + box.width / 2, box.y + 60]
    await page.mouse.move(x, y)
    await page.keyboard.down('Control')
    await page.mouse.wheel(0, -150)
    await page.keyboard.up('Control')
    await page.waitForURL(/from=04\d\d&to=04\d\d/)
    const before = new URL(page.url()).searchParams.get('from')
    await page.mouse.down()
    await page.mouse.move(x + 150, y, { steps: 8 })
    await page.mouse.up()
    await page.waitForURL((url) => url.searchParams.get('from') !== before)
    expect(new URL(page.url()).searchParams.get('build')).toBeNull()
    await page.close()
  })

  it('reported no error', () => {
    expect(program.errors).toEqual([])
  })
})
