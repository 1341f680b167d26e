import { placesOf } from '../../src/charts/places.ts'
import type { Stage } from '../../src/domain/cell.ts'
import type { Characteristic } from '../../src/domain/characteristic.ts'
import { answersSignals } from '../../src/domain/finding.ts'
import type { Answer } from '../../src/overview/answers.ts'
import type { FindingView, RemarkView } from '../contract/decisions.ts'
import type { TimelineBuild } from '../contract/views.ts'
import type { BuildName } from '../store/decision-reads.ts'
import type { Store } from '../store/store.ts'
import { inOrderOfPrinting } from '../store/timeline-builds.ts'

/** What people wrote about a part number, as it stands now. */
export interface Written {
  /** Latest build first. */
  readonly findings: readonly FindingView[]
  /** In the order of the timeline. */
  readonly remarks: readonly RemarkView[]
  /** The findings that answer signals of a characteristic, by its designator. */
  answers(designator: string): readonly Answer[]
}

/** @param timeline builds of the stage; those still being read are waited for while the rest is read */
export async function writtenOf(
  store: Store,
  partNumberId: number,
  stage: Stage,
  characteristics: readonly Characteristic[],
  timeline: readonly TimelineBuild[] | Promise<readonly TimelineBuild[]>,
): Promise<Written> {
  const [findingRevisions, remarkRevisions, builds] = await Promise.all([
    store.findings(partNumberId),
    store.remarks(partNumberId),
    timeline,
  ])
  const spoken = [
    ...findingRevisions.flatMap(({ fromBuildId, toBuildId }) => [fromBuildId, toBuildId]),
    ...remarkRevisions.map(({ buildId }) => buildId),
  ]
  const place = placesOf(builds)
  const missing = [...new Set(spoken)].filter((id) => !place.has(id))
  const gone = new Map((await store.buildNames(missing)).map((build) => [build.id, build]))
  const known = (id: number): BuildName | undefined => builds[place.get(id) ?? -1] ?? gone.get(id)
  const designators = new Map(characteristics.map(({ id, designator }) => [id, designator]))

  const findings = latest(findingRevisions)
    .filter(([last]) => last.stage === stage)
    .map(([last, first]): FindingView => {
      const { id, revision, characteristicIds, fromBuildId, toBuildId, ...said } = last
      const [from, to] = [known(fromBuildId), known(toBuildId)]
      const { stage: _, ...content } = said
      return {
        ...content,
        number: id,
        revision,
        characteristics: characteristicIds.flatMap((each) => designators.get(each) ?? []),
        from: from?.name ?? '',
        to: to?.name ?? '',
        places: from === undefined || to === undefined ? null : spanOf(from, to, builds),
        first: { who: first.who, at: first.at },
      }
    })
    .sort((a, b) => (b.places?.to ?? -1) - (a.places?.to ?? -1) || b.number - a.number)

  const remarks = latest(remarkRevisions)
    .flatMap(([{ id, revision, buildId, text, who, at }]): RemarkView[] =>
      text === null
        ? []
        : [
            {
              number: id,
              revision,
              build: known(buildId)?.name ?? '',
              place: place.get(buildId) ?? null,
              text,
              who,
              at,
            },
          ],
    )
    .sort((a, b) => (a.place ?? -1) - (b.place ?? -1) || a.number - b.number)

  return {
    findings,
    remarks,
    answers: (designator) =>
      findings.flatMap(({ number, characteristics, state, places }) =>
        places !== null && answersSignals(state) && characteristics.includes(designator)
          ? [{ finding: number, ...places }]
          : [],
      ),
  }
}

/** The builds of the timeline from one build to another, which need not be on it themselves; null for none. */
function spanOf(from: BuildName, to: BuildName, builds: readonly TimelineBuild[]) {
  const first = builds.findIndex((build) => inOrderOfPrinting(build, from) >= 0)
  const last = builds.findLastIndex((build) => inOrderOfPrinting(build, to) <= 0)
  return first === -1 || last < first ? null : { from: first, to: last }
}

/** The last revision of each number, with the first. */
function latest<T extends { readonly id: number }>(revisions: readonly T[]): (readonly [T, T])[] {
  const pairs = new Map<number, [T, T]>()
  for (const revision of revisions) {
    const pair = pairs.get(revision.id)
    if (pair === undefined) pairs.set(revision.id, [revision, revision])
    else pair[0] = revision
  }
  return [...pairs.values()]
}
