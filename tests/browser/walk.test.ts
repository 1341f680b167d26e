import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { pageFaults } from '../tools/page-faults.ts'
import { type Program, startProgram } from './program.ts'

/** The walk of the README: inspector, process engineer, supplier quality, on the sample shop. */

let program: Program
let folder: string

beforeAll(async () => {
  program = await startProgram({ sample: true })
  folder = mkdtempSync(join(tmpdir(), 'as-sintered-files-'))
})

afterAll(async () => {
  await program.stop()
  rmSync(folder, { recursive: true, force: true })
})

function file(name: string, lines: readonly string[]): string {
  const path = join(folder, name)
  writeFileSync(path, `${lines.join('\n')}\n`)
  return path
}

/** A new build of five parts, measured like the last of the sample. */
function newBuild(change: (line: string, row: number) => string): string[] {
  const lines = readFileSync(
    new URL('../../sample-data/measurements/0459.csv', import.meta.url),
    'utf8',
  ).split('\n')
  const serials = [...new Set(lines.slice(1).map((line) => line.split(',')[2]))].slice(0, 5)
  const rows = lines.slice(1).filter((line) => serials.includes(line.split(',')[2]))
  return [
    lines[0] as string,
    ...rows.map((line, row) =>
      change(line.replace(/(HB|LV)-(\d+),([BC]?),?/, '$&').replace(',0459,', ',0460,'), row),
    ),
  ].map((line) => line.replace(/,(HB|LV)-(\d{5}),/, ',$1-9$2,'))
}

async function bring(page: Page, path: string): Promise<void> {
  await page.getByLabel('Your name').fill('A. Prüfer')
  await page.locator('input[type=file]').setInputFiles(path)
}

describe('the inspector', () => {
  it('brings a good file and is told what was taken in', async () => {
    const page = await program.open('/intake')
    await bring(
      page,
      file(
        '0460.csv',
        newBuild((line) => line),
      ),
    )
    const main = page.locator('main')
    await main
      .getByText(/taken in/i)
      .first()
      .waitFor()
    await expect.poll(() => main.textContent()).toMatch(/0460/)
    await page.close()
  })

  it('brings the same file again and is told that nothing changed', async () => {
    const page = await program.open('/intake')
    await bring(page, join(folder, '0460.csv'))
    await page
      .locator('main')
      .getByText(/before|already/i)
      .first()
      .waitFor()
    await page.close()
  })

  it('brings a file with a bad row, reads which, and takes the good rows', async () => {
    const page = await program.open('/intake')
    const lines = newBuild((line, row) =>
      row === 2 ? line.replace(/,(\d+\.\d+),mm,/, ',about 12,mm,') : line,
    ).map((line) => line.replace(',0460,', ',0461,').replace(/,(HB|LV)-9/, ',$1-8'))
    await bring(page, file('0461.csv', lines))
    const main = page.locator('main')
    await main.locator('.refused').getByRole('cell', { name: 'about 12', exact: true }).waitFor()
    await expect.poll(() => main.textContent()).toMatch(/refused/i)
    await main.getByRole('button', { name: /good rows/i }).click()
    await main
      .getByText(/taken in/i)
      .first()
      .waitFor()
    await page.close()
  })

  it('names the columns of a table that nobody understands, above the columns themselves', async () => {
    const page = await program.open('/intake')
    const rows = ['HB-1,1,41.99', 'HB-1,2,26.01', 'HB-2,1,42.01', 'HB-2,2,26.00']
    await bring(page, file('strange.csv', ['xa,xb,xc', ...rows]))
    const serial = page.getByLabel('What xa holds')
    await serial.waitFor()
    // What the cells suggest is filled in.
    await expect.poll(() => serial.inputValue()).toBe('serial')
    await expect.poll(() => page.getByLabel('What xb holds').inputValue()).toBe('characteristic')
    const shown = page.getByRole('button', { name: 'Show how it is read then' })
    await page.getByLabel('What xc holds').selectOption('none')
    await page.getByText('Still to name: the measured value.').waitFor()
    await expect.poll(() => shown.isDisabled()).toBe(true)
    await page.getByLabel('What xc holds').selectOption('value')
    await shown.click()
    await page.getByText(/strange\.csv waits for one answer below/).waitFor()
    await page.close()
  })

  it('brings a picture and is told what to do', async () => {
    const page = await program.open('/intake')
    const path = join(folder, 'photo.csv')
    writeFileSync(path, Buffer.from('89504e470d0a1a0a0000000d49484452', 'hex'))
    await bring(page, path)
    await page
      .locator('main')
      .getByText(/picture|image/i)
      .first()
      .waitFor()
    await page.close()
  })
})

describe('the process engineer', () => {
  it('sees in the morning which part numbers moved, goes to one, and comes back to all', async () => {
    const page = await program.open('/')
    await page.waitForURL(/\/drift$/)
    const news = page.locator('main li', { hasText: 'HB-204' })
    await news.getByText(/Since build 04\d\d/).waitFor()
    await expect.poll(() => page.locator('h1').textContent()).toMatch(/^Both part numbers moved/)
    await news.getByRole('link').click()
    await page.waitForURL(/\/drift\/HB-204\/C$/)
    // The way to another place and back leads to the same part number; the choice above leads to all of them.
    await page.getByRole('link', { name: 'Gauges', exact: true }).click()
    await page.getByRole('link', { name: 'Drift', exact: true }).click()
    await page.waitForURL(/\/drift\/HB-204\/C$/)
    await page.getByLabel('Part number', { exact: true }).selectOption('all part numbers')
    await page.waitForURL(/\/drift$/)
    await page.close()
  })

  it('reads in the first sentence what moved, since when and how much', async () => {
    const page = await program.open('/drift/HB-204/C')
    await page.locator('h1').waitFor()
    await expect
      .poll(() => page.locator('h1').textContent())
      .toMatch(/^Since build 04\d\d .* along [XYZ] comes out (small|large), by 0\.\d+ % ± 0\.\d+\.$/)
    await page.close()
  })

  it('picks a row by keyboard and gets its chart, whose address can be sent to a colleague', async () => {
    const page = await program.open('/drift/HB-204/C')
    await page.getByRole('listbox').or(page.getByRole('grid')).first().focus()
    await page.keyboard.press('ArrowDown')
    await page.keyboard.press('Enter')
    await page.waitForURL(/\/drift\/HB-204\/C\/\d+/)
    const again = await program.open(new URL(page.url()).pathname + new URL(page.url()).search)
    const heading = await again.locator('#chart-title').textContent()
    await expect.poll(() => page.locator('#chart-title').textContent()).toBe(heading)
    await page.close()
    await again.close()
  })

  it('follows a point back to the rows of a file', async () => {
    const page = await program.open('/drift/HB-204/C/7?build=0449')
    const values = page.getByRole('table', { name: /single values|values/i }).first()
    await values.waitFor()
    for (const words of ['HB-19474', '5.129', '0449.csv']) await values.getByText(words).first().waitFor()
    await page.close()
  })
})

describe('supplier quality', () => {
  it('reads how many characteristics surely hold the requirement, and changes the requirement', async () => {
    const page = await program.open('/capability/HB-204/C')
    await page.locator('h1').waitFor()
    await expect
      .poll(() => page.locator('h1').textContent())
      .toMatch(/characteristics surely holds? Ppk 1\.33/)
    await page.getByLabel('Required Ppk').fill('1')
    await page.getByLabel('Required Ppk').press('Enter')
    await page.waitForURL(/required=1/)
    await page.locator('h1', { hasText: 'Ppk 1.00' }).waitFor()
    await page.close()
  })
})

describe('the auditor', () => {
  it('sees the published figures recomputed in the browser, and that all agree', async () => {
    const page = await program.open('/record/evidence')
    await page.locator('h1', { hasText: /^All \d{3} published figures agree\.$/ }).waitFor()
    await page.getByRole('heading', { name: 'Control chart constants' }).waitFor()
    await page.close()
  })
})

describe('every page', () => {
  const paths = [
    '/',
    '/intake',
    '/drift/HB-204/C',
    '/drift/LV-310/B/3?average=shown',
    '/shrinkage/HB-204/C',
    '/capability/HB-204/C',
    '/record',
    '/record/1',
    '/record/imports',
    '/record/parts?serial=HB-180',
    '/record/parts/HB-204/C/HB-18002',
    '/record/builds/HB-204/C/0449',
    '/record/evidence',
    '/guide',
    '/guide/figures',
  ]
  const looks = [
    ['light', 1440],
    ['dark', 1440],
    ['light', 360],
  ] as const

  it.each(paths.flatMap((path) => looks.map((look) => [path, ...look] as const)))(
    '%s in %s at %i wide has no accessibility fault and does not scroll sideways',
    async (path, scheme, width) => {
      const page = await program.open(path, { width, height: 900 }, scheme)
      await page.locator('h1').first().waitFor()
      await page.waitForLoadState('networkidle')
      expect(await pageFaults(page)).toEqual([])
      await page.close()
    },
  )

  it('reported no error', () => {
    expect(program.errors).toEqual([])
  })
})

describe('the scripts of the program', () => {
  it('come under 150 kB compressed for the first view, and are kept by the browser', async () => {
    const page = await program.open('/drift/HB-204/C')
    await page.locator('figure svg').first().waitFor()
    const scripts = await page.evaluate(() =>
      performance
        .getEntriesByType('resource')
        .map((entry) => entry as PerformanceResourceTiming)
        .filter(({ name }) => name.endsWith('.js'))
        .map(({ name, encodedBodySize }) => ({ name, encodedBodySize })),
    )
    expect(scripts.length).toBeGreaterThan(0)
    expect(scripts.reduce((sum, { encodedBodySize }) => sum + encodedBodySize, 0)).toBeLessThan(150_000)
    const again = await page.request.get(scripts[0]?.name as string)
    expect(again.headers()['cache-control']).toContain('immutable')
    await page.close()
  })

  it('may fail to come for a page, which says so and offers to try again', async () => {
    const page = await program.open('/drift/HB-204/C')
    await page.locator('figure svg').first().waitFor()
    await page.route(/assets/, (route) => route.fulfill({ status: 404, body: '' }))
    await page.getByRole('navigation', { name: 'Places' }).getByRole('link', { name: 'Gauges' }).click()
    await page.getByRole('alert').getByText('This page could not be fetched.').waitFor()
    await page.unroute(/assets/)
    await page.getByRole('button', { name: 'Try again' }).click()
    await page.getByRole('heading', { level: 1 }).waitFor()
    await expect.poll(() => page.getByRole('alert').count()).toBe(0)
    await page.close()
  })
})
