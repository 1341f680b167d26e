import { type BuildLabel, placesOf } from '../../src/charts/places.ts'
import type { Characteristic } from '../../src/domain/characteristic.ts'
import { changeWords } from '../../src/words/study-words.ts'
import type { ExclusionView, StudyView } from '../contract/decisions.ts'
import type { ExclusionRecord, StudyVersion } from '../store/decision-reads.ts'
import type { Store } from '../store/store.ts'
import type { StudyOnRecord } from '../store/studies-on-record.ts'

/** The study with all that was ever decided about it, builds by their names. */
export async function studyView(
  store: Store,
  characteristic: Characteristic,
  { study, version }: StudyOnRecord,
  builds: readonly BuildLabel[],
): Promise<StudyView> {
  const versions = await store.studyVersions(characteristic.id, study.stage)
  const names = await buildNamer(store, versions, builds)
  return {
    version,
    tests: study.tests,
    within: study.within,
    step: study.step,
    repeats: study.repeats,
    opened: study.phases.flatMap(({ fromBuild }) => (fromBuild === null ? [] : [names(fromBuild)])),
    history: versions
      .map(({ version, change, reason, who, at }) => ({
        version,
        did: changeWords(change, names),
        reason,
        who,
        at,
      }))
      .reverse(),
  }
}

/** Names of builds, those not on the timeline any more among them. */
async function buildNamer(
  store: Store,
  versions: readonly StudyVersion[],
  builds: readonly BuildLabel[],
): Promise<(id: number) => string> {
  const nameOf = timelineNamer(builds)
  const spoken = versions.flatMap(({ change }) => {
    if (!('build' in change)) return []
    const span = 'span' in change && change.span !== null ? [change.span.from, change.span.to] : []
    return [change.build, ...span]
  })
  const missing = [...new Set(spoken)].filter((id) => nameOf(id) === undefined)
  const names = new Map((await store.buildNames(missing)).map((build) => [build.id, build.name]))
  return (id) => nameOf(id) ?? names.get(id) ?? String(id)
}

/** Name of a build by its identity; undefined where it is not on the timeline. */
function timelineNamer(builds: readonly BuildLabel[]): (id: number) => string | undefined {
  const places = placesOf(builds)
  return (id) => builds[places.get(id) ?? -1]?.name
}

/** Exclusions by the names of builds and characteristics; values that are not counted any more are not among them. */
export function exclusionViews(
  records: readonly ExclusionRecord[],
  characteristics: readonly Characteristic[],
  builds: readonly BuildLabel[],
): ExclusionView[] {
  const designators = new Map(characteristics.map(({ id, designator }) => [id, designator]))
  const nameOf = timelineNamer(builds)
  return records.flatMap(({ id, characteristicId, buildId, single, reason, who, at }): ExclusionView[] => {
    const designator = designators.get(characteristicId)
    const build = nameOf(buildId)
    if (designator === undefined || build === undefined) return []
    if (single === null) return [{ id, designator, build, single, reason, who, at }]
    const { serial, replicate, value } = single
    return value === null
      ? []
      : [{ id, designator, build, single: { serial, replicate, value }, reason, who, at }]
  })
}
