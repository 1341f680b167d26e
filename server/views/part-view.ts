import { partHeadline } from '../../src/words/part-words.ts'
import type { PartView } from '../contract/parts.ts'
import type { PartNumber } from '../contract/views.ts'
import type { Store } from '../store/store.ts'
import {
  groundsOfJudging,
  judgedCharacteristics,
  judgedCounts,
  limitedCount,
  valueJudge,
} from './judged-values.ts'

/**
 * Everything that is on record of one part, and whether its values prove that it conforms; null where there is no such
 * part.
 */
export async function partView(
  store: Store,
  partNumber: PartNumber,
  serial: string,
): Promise<PartView | null> {
  const part = await store.part(partNumber.id, serial)
  if (part === null) return null
  const { id, build, ...where } = part
  const [characteristics, measurements] = await Promise.all([
    store.characteristics(partNumber.id),
    store.measurementsOfParts(partNumber.id, build.id, [id]),
  ])
  const judge = await valueJudge(store, partNumber.id, build.id, characteristics)
  const values = judge(measurements).get(id) ?? []
  const measured = new Set(values.map(({ characteristic }) => characteristic.id))
  return {
    partNumber,
    build,
    ...where,
    headline: partHeadline(serial, judgedCharacteristics(values), limitedCount(characteristics)),
    grounds: groundsOfJudging(judgedCounts(values)),
    values,
    unmeasured: characteristics
      .filter((characteristic) => !measured.has(characteristic.id))
      .map(({ designator, name }) => ({ designator, name })),
  }
}
