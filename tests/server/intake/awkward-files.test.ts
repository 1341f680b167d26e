import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import type { Receipt } from '../../../server/contract/receipt.ts'
import type { TracedValue } from '../../../server/contract/views.ts'
import { sourceRows } from '../../../server/intake/source-rows.ts'
import { naturalOrder } from '../../../server/store/natural-order.ts'
import { openShop, type Shop } from './shop.ts'

/** What a file says, written down by hand in tests/reference/files/make.py. */
interface Reading {
  readonly dialect: string
  /** Line, serial number, designator, value. */
  readonly rows: readonly [number, string, string, number][]
  readonly inspectors?: readonly string[]
  readonly times?: readonly string[]
  /** Designator → nominal, lower and upper limit, unit. */
  /** Of values that are judged by limits of the part's own: line, designator, as measured, lower and upper limit. */
  readonly own?: readonly (readonly [number, string, number, number | null, number | null])[]
  readonly limits?: Readonly<Record<string, readonly [number | null, number | null, number | null, string]>>
}

const folder = join(import.meta.dirname, '../../reference/files')
const names = readdirSync(folder)
  .filter((name) => name.endsWith('.csv'))
  .map((name) => name.slice(0, -4))

/** Every value in the store with its designator, by line. */
async function valuesOf({ store }: Shop): Promise<(TracedValue & { designator: string })[]> {
  const all: (TracedValue & { designator: string })[] = []
  for (const partNumber of await store.partNumbers()) {
    for (const characteristic of await store.characteristics(partNumber.id)) {
      for (const build of await store.builds(partNumber.id, 'sintered')) {
        const values = await store.values(characteristic.id, build.id, 'sintered')
        all.push(...values.map((value) => ({ ...value, designator: characteristic.designator })))
      }
    }
  }
  return all.sort(
    (a, b) => a.line - b.line || naturalOrder(a.serial, b.serial) || naturalOrder(a.designator, b.designator),
  )
}

describe('files with one trap each', () => {
  it('are there', () => {
    expect(names.length).toBeGreaterThan(20)
  })

  for (const name of names) {
    it(name.replaceAll('-', ' '), async () => {
      const reading = JSON.parse(readFileSync(join(folder, `${name}.json`), 'utf8')) as Reading
      const shop = await openShop()
      try {
        const receipt = await shop.bring(readFileSync(join(folder, `${name}.csv`)))
        expect(receipt.problem).toBeNull()
        expect(receipt.refused).toEqual([])
        expect(receipt.verdict).toBe('taken')
        expect(receipt.dialect).toBe(reading.dialect)
        const values = await valuesOf(shop)
        expect(values.map((v) => [v.line, v.serial, v.designator, v.value])).toEqual(reading.rows)
        expect(
          values.flatMap(({ line, designator, own }) =>
            own === undefined ? [] : [[line, designator, own.measured, own.lower, own.upper]],
          ),
        ).toEqual(reading.own ?? [])
        if (reading.inspectors) {
          expect([...new Set(values.map((v) => v.inspector))]).toEqual(reading.inspectors)
        }
        if (reading.times) {
          const times = values.map((v) => new Date((v.measuredAt as number) * 1000).toISOString())
          expect(times).toEqual(reading.times)
        }
        for (const [designator, limits] of Object.entries(reading.limits ?? {})) {
          const c = (await shop.store.characteristics(1)).find((each) => each.designator === designator)
          expect([c?.nominal, c?.lower, c?.upper, c?.unit], designator).toEqual(limits)
        }
        await expectCells(shop, receipt, values)
      } finally {
        await shop.close()
      }
    })
  }
})

/** Every value leads back to a cell of its own, which holds it. */
async function expectCells(
  { store, folder: data }: Shop,
  receipt: Receipt,
  values: readonly (TracedValue & { designator: string })[],
): Promise<void> {
  const characteristics = await store.characteristics(1)
  const cells = new Set<string>()
  for (const { serial, designator, value: judged, own, line } of values) {
    const value = own?.measured ?? judged
    const called = characteristics.flatMap((each) =>
      each.designator === designator ? [each.designator, each.name] : [],
    )
    const source = await sourceRows(join(data, 'files', receipt.sha256), receipt, line, {
      serial,
      called,
      value,
      before: 0,
    })
    const where = `line ${line}, ${serial}, ${designator}`
    expect(source?.line, where).toBe(line)
    expect(
      source?.rows.map((row) => row.line),
      where,
    ).toContain(line)
    cells.add(source?.cell?.reference ?? '')
    if (receipt.reading?.values !== 'deviation')
      expect(plainNumber(source?.cell?.text ?? '') + 0, where).toBe(value)
  }
  expect(cells.size).toBe(values.length)
}

/** A number in any way that the files write one, read with no regard to the rest of its file. */
function plainNumber(text: string): number {
  const bare = text
    .replace(/[^\d.,eE+−–-]/g, '')
    .replace(/[−–]/g, '-')
    .replace(/[eE]$/, '')
  const mark = Math.max(bare.lastIndexOf('.'), bare.lastIndexOf(','))
  return Number(mark < 0 ? bare : `${bare.slice(0, mark).replace(/[.,]/g, '')}.${bare.slice(mark + 1)}`)
}
