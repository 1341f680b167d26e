import type { BuildLabel } from '../../../src/charts/places.ts'
import { momentsOf } from '../../../src/description/moments.ts'
import type { Cell } from '../../../src/domain/cell.ts'

/** One cell a group, in builds numbered from 1. */
export function cellsOf(groups: readonly (readonly number[])[]): Cell[] {
  return groups.map((values, i) => ({
    ...momentsOf(values),
    characteristicId: 1,
    buildId: i + 1,
    furnaceLoadId: null,
    stage: 'sintered',
  }))
}

/** Builds numbered from 1, named by their numbers. */
export function timeline(count: number): BuildLabel[] {
  return Array.from({ length: count }, (_, i) => ({ id: i + 1, name: String(i + 1) }))
}
