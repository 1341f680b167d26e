import type { ConformityDecision } from '../../src/gauges/conformity.ts'
import { buildPartsHeadline, strictest } from '../../src/words/part-words.ts'
import type { BuildPartsView, JudgedPart } from '../contract/parts.ts'
import type { PartNumber } from '../contract/views.ts'
import type { Store } from '../store/store.ts'
import {
  groundsOfJudging,
  judgedCharacteristics,
  judgedCounts,
  limitedCount,
  valueJudge,
} from './judged-values.ts'

/** What does not conform comes first. */
const ORDER: readonly (ConformityDecision | null)[] = [
  'not conforming',
  'inside the uncertainty',
  null,
  'conforming',
]

/** Parts whose values are in memory at a time: a build may have ten thousand of them, with 40 values each. */
const PARTS_AT_A_TIME = 250

/**
 * Every part of a part number in one build, each judged as on its own page; null where the build has none. Of 400 000
 * values it takes seconds: use another thread.
 */
export async function buildPartsView(
  store: Store,
  partNumber: PartNumber,
  name: string,
): Promise<BuildPartsView | null> {
  const found = await store.partsOfBuild(partNumber.id, name)
  if (found === null || found.parts.length === 0) return null
  const { build } = found
  const characteristics = await store.characteristics(partNumber.id)
  const judge = await valueJudge(store, partNumber.id, build.id, characteristics)
  const parts: JudgedPart[] = []
  const counts = { judged: 0, unknown: 0, passedOver: 0 }
  for (let from = 0; from < found.parts.length; from += PARTS_AT_A_TIME) {
    const some = found.parts.slice(from, from + PARTS_AT_A_TIME)
    const ids = some.map(({ id }) => id)
    const values = judge(await store.measurementsOfParts(partNumber.id, build.id, ids))
    for (const { id, ...where } of some) {
      const own = values.get(id) ?? []
      const judged = judgedCharacteristics(own)
      const { judged: n, unknown, passedOver } = judgedCounts(own)
      counts.judged += n
      counts.unknown += unknown
      counts.passedOver += passedOver
      parts.push({
        ...where,
        decision: judged.reduce<ConformityDecision | null>(
          (worst, { decision }) => (worst === null ? decision : strictest(worst, decision)),
          null,
        ),
        judged: judged.length,
        against: judged.filter(({ decision }) => decision !== 'conforming'),
      })
    }
  }
  const place = ({ decision }: JudgedPart) => ORDER.indexOf(decision)
  return {
    partNumber,
    build,
    limited: limitedCount(characteristics),
    headline: buildPartsHeadline(name, parts),
    grounds: groundsOfJudging(counts),
    parts: parts.toSorted((a, b) => place(a) - place(b)),
  }
}
