import type { ConformityDecision } from '../../src/gauges/conformity.ts'
import { buildPartsHeadline, strictest } from '../../src/words/part-words.ts'
import type { BuildPartsView, JudgedPart } from '../contract/parts.ts'
import type { PartNumber } from '../contract/views.ts'
import type { Store } from '../store/store.ts'
import { groundsOfJudging, judgedCharacteristics, judgedValues, limitedCount } from './judged-values.ts'

/** What does not conform comes first. */
const ORDER: readonly (ConformityDecision | null)[] = [
  'not conforming',
  'inside the uncertainty',
  null,
  'conforming',
]

/** Every part of a part number in one build, each judged as on its own page; null where the build has none. */
export async function buildPartsView(
  store: Store,
  partNumber: PartNumber,
  name: string,
): Promise<BuildPartsView | null> {
  const found = await store.partsOfBuild(partNumber.id, name)
  if (found === null || found.parts.length === 0) return null
  const { build } = found
  const [characteristics, measurements] = await Promise.all([
    store.characteristics(partNumber.id),
    store.measurementsOfParts(partNumber.id, build.id, null),
  ])
  const values = await judgedValues(store, partNumber.id, build.id, characteristics, measurements)
  const parts = found.parts.map(({ id, ...where }): JudgedPart => {
    const judged = judgedCharacteristics(values.get(id) ?? [])
    return {
      ...where,
      decision: judged.reduce<ConformityDecision | null>(
        (worst, { decision }) => (worst === null ? decision : strictest(worst, decision)),
        null,
      ),
      judged: judged.length,
      against: judged.filter(({ decision }) => decision !== 'conforming'),
    }
  })
  const place = ({ decision }: JudgedPart) => ORDER.indexOf(decision)
  return {
    partNumber,
    build,
    limited: limitedCount(characteristics),
    headline: buildPartsHeadline(name, parts),
    grounds: groundsOfJudging([...values.values()].flat()),
    parts: parts.toSorted((a, b) => place(a) - place(b)),
  }
}
