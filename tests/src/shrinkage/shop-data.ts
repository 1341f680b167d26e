import type { Shop } from '../../../sample-data/generate-shop.ts'
import { isLinear, PART_NUMBERS } from '../../../sample-data/shop.ts'
import { momentsOf } from '../../../src/description/moments.ts'
import type { Cell, Stage } from '../../../src/domain/cell.ts'
import type { PrintedBuild, ShrinkageData } from '../../../src/shrinkage/observations.ts'
import { type SizeTerms, termsOf } from '../../../src/shrinkage/terms.ts'

/** The demonstration shop as shrinkage is fitted to it: one id a characteristic, cells from the measured values. */
export function shopData(shop: Shop): ShrinkageData {
  const terms: SizeTerms[] = []
  const ids = new Map<string, number>()
  for (const [group, { partNumber, characteristics }] of PART_NUMBERS.entries()) {
    for (const { sense, ...characteristic } of characteristics) {
      const id = ids.size + 1
      ids.set(`${partNumber} ${characteristic.designator}`, id)
      if (!isLinear({ sense, ...characteristic })) continue
      const item = termsOf({ ...characteristic, id, unit: 'mm' }, group, { sense })
      if (item !== null) terms.push(item)
    }
  }
  const builds = shop.builds.map(
    ({ number, build, scale }): PrintedBuild => ({
      id: number,
      name: build,
      scale: { x: scale.X, y: scale.Y, z: scale.Z },
    }),
  )
  const values = new Map<string, { key: [number, number, number, Stage]; list: number[] }>()
  for (const row of shop.measurements) {
    const id = ids.get(`${row.partNumber} ${row.characteristic}`) as number
    const key: [number, number, number, Stage] = [
      id,
      Number(row.build),
      Number(row.furnaceLoad.slice(1)),
      row.stage,
    ]
    const name = key.join(' ')
    const known = values.get(name)
    if (known === undefined) values.set(name, { key, list: [row.value] })
    else known.list.push(row.value)
  }
  const cells = [...values.values()].map(
    ({ key: [characteristicId, buildId, furnaceLoadId, stage], list }): Cell => ({
      characteristicId,
      buildId,
      furnaceLoadId,
      stage,
      ...momentsOf(list),
    }),
  )
  return { terms, cells, builds }
}
