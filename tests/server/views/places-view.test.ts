import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { openStore, type Store } from '../../../server/store/store.ts'
import { placesView } from '../../../server/views/places-view.ts'
import { fillShop } from '../../bench/fill-shop.ts'

let store: Store
beforeAll(async () => {
  store = await openStore({ file: ':memory:' })
  await fillShop(store, { measurements: 6000, builds: 50, characteristics: 2 })
})
afterAll(() => store.close())

async function places(last?: number) {
  const partNumber = await store.partNumber('HB-204', 'C')
  const [characteristic] = partNumber === null ? [] : await store.characteristics(partNumber.id)
  if (partNumber === null || characteristic === undefined) throw new Error('the shop is empty')
  return placesView(store, partNumber, characteristic, 'sintered', last)
}

describe('the bed', () => {
  it('is shown in boxes where there are more than 2,000 parts', async () => {
    const { bed, parts } = await places()
    expect(parts).toBe(3000)
    expect(bed?.parts).toBeNull()
    expect(bed?.cells.reduce((n, cell) => n + cell.n, 0)).toBe(3000)
    const [dx, dy, dz] = bed?.step ?? [0, 0, 0]
    for (const { x, y, z } of bed?.cells ?? []) {
      expect(x).toBeGreaterThanOrEqual(bed?.x[0] as number)
      expect(x + dx).toBeLessThanOrEqual(bed?.x[1] as number)
      expect(y + dy).toBeLessThanOrEqual(bed?.y[1] as number)
      expect(z + dz).toBeLessThanOrEqual(bed?.z[1] as number)
    }
  })

  it('is shown part by part where there are fewer', async () => {
    const { bed } = await places(20)
    expect(bed?.parts).toHaveLength(1200)
  })

  it('shows nothing where nothing differs', async () => {
    // Values of this shop are scattered alike wherever parts stand.
    const { splits } = await places()
    const trays = splits.find((split) => split.by === 'tray')
    expect(trays?.groups.filter((group) => group.surely)).toEqual([])
  })
})
