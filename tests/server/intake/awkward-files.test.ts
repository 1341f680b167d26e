import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import type { TracedValue } from '../../../server/contract/views.ts'
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
      } finally {
        await shop.close()
      }
    })
  }
})
