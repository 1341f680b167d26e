import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { TracedValue } from '../../../server/contract/views.ts'
import { openStore, type Store } from '../../../server/store/store.ts'
import { fillShop } from '../../bench/fill-shop.ts'
import { type RunningPostgres, startPostgres } from '../../tools/postgres.ts'

/** Sums made in the database against the same sums made here from single values. */

let postgres: RunningPostgres
let folder: string
beforeAll(async () => {
  postgres = await startPostgres()
  folder = mkdtempSync(join(tmpdir(), 'as-sintered-places-'))
})
afterAll(async () => {
  await postgres.stop()
  rmSync(folder, { recursive: true, force: true })
})

const BUILDS = [2, 3, 5]
const wanted = { characteristicId: 2, stage: 'sintered', buildIds: BUILDS } as const

async function values(store: Store): Promise<(TracedValue & { buildId: number; deviation: number })[]> {
  const found = []
  for (const buildId of BUILDS) {
    const own = await store.values(2, buildId, 'sintered')
    const mean = own.reduce((sum, { value }) => sum + value, 0) / own.length
    found.push(...own.map((each) => ({ ...each, buildId, deviation: each.value - mean })))
  }
  return found
}

function total(list: readonly { readonly deviation: number }[]): number {
  return list.reduce((sum, { deviation }) => sum + deviation, 0)
}

describe.each(['SQLite', 'PostgreSQL'])('places of parts, %s', (engine) => {
  let store: Store
  beforeAll(async () => {
    store = await openStore(
      engine === 'SQLite'
        ? { file: join(folder, 'places.sqlite') }
        : { connection: await postgres.createDatabase() },
    )
    await fillShop(store, { measurements: 1200, builds: 6, characteristics: 5 })
  })
  afterAll(() => store.close())

  it('are summed by cell and tray, over the builds asked for', async () => {
    const all = await values(store)
    const rows = await store.sumsByTray(wanted)
    expect(rows.reduce((n, row) => n + row.n, 0)).toBe(all.length)
    for (const row of rows) {
      const own = all.filter((each) => each.buildId === row.buildId && each.tray === row.name)
      expect(row.n).toBe(own.length)
      expect(row.sum).toBeCloseTo(total(own), 9)
      expect(row.squares).toBeCloseTo(
        own.reduce((sum, { deviation }) => sum + deviation ** 2, 0),
        9,
      )
      expect(row.furnace).toBe(`F${row.buildId % 3}`)
    }
  })

  it('are summed by gauge', async () => {
    const rows = await store.sumsByGauge(wanted)
    expect(rows.map((row) => row.name)).toEqual(BUILDS.map(() => 'CMM-1'))
    for (const row of rows) expect(row.sum).toBeCloseTo(0, 9)
  })

  it('are summed by place on the tray', async () => {
    const all = await values(store)
    const rows = await store.trayPlaces(wanted)
    expect(rows.reduce((n, row) => n + row.n, 0)).toBe(all.length)
    for (const row of rows) {
      const own = all.filter(
        (each) =>
          each.tray === row.tray && each.trayPlace === row.place && `F${each.buildId % 3}` === row.furnace,
      )
      expect(row.n).toBe(own.length)
      expect(row.sum).toBeCloseTo(total(own), 9)
    }
  })

  it('are given singly with their place in the bed', async () => {
    const all = await values(store)
    const found = await store.placedValues(wanted)
    expect(found).toHaveLength(all.length)
    for (const { serial, x, y, z, deviation } of found) {
      const own = all.find((each) => each.serial === serial)
      expect({ x, y, z }).toEqual(own?.bed)
      expect(deviation).toBeCloseTo(own?.deviation as number, 9)
    }
  })

  it('are summed by boxes of the bed, whose lower corner belongs to them', async () => {
    const all = await values(store)
    const extent = await store.bedExtent(wanted)
    expect(extent?.parts).toBe(all.length)
    expect(extent?.low).toEqual([20, 15, 10])
    const rows = await store.bedSums(wanted, [20, 0, 0], [45, 45, 50])
    expect(rows.reduce((n, row) => n + row.n, 0)).toBe(all.length)
    for (const { i, j, k, n, sum } of rows) {
      const own = all.filter(
        ({ bed }) =>
          Math.floor(((bed.x as number) - 20) / 45) === i &&
          Math.floor((bed.y as number) / 45) === j &&
          Math.floor((bed.z as number) / 50) === k,
      )
      expect(n).toBe(own.length)
      expect(sum).toBeCloseTo(total(own), 9)
    }
  })

  it('have no extent where nothing was measured', async () => {
    expect(await store.bedExtent({ ...wanted, stage: 'green' })).toBeNull()
  })
})
