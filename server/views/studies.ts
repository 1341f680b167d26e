import type { BuildLabel } from '../../src/charts/places.ts'
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
  const names = new Map(builds.map((build) => [build.id, build.name]))
  const spoken = versions.flatMap(({ change }) => {
    if (!('build' in change)) return []
    const span = 'span' in change && change.span !== null ? [change.span.from, change.span.to] : []
    return [change.build, ...span]
  })
  const missing = [...new Set(spoken)].filter((id) => !names.has(id))
  for (const build of await store.buildNames(missing)) names.set(build.id, build.name)
  return (id) => names.get(id) ?? String(id)
}

/** Exclusions by the names of builds and characteristics; values that are not counted any more are not among them. */
export function exclusionViews(
  records: readonly ExclusionRecord[],
  characteristics: readonly Characteristic[],
  builds: readonly BuildLabel[],
): ExclusionView[] {
  const designators = new Map(characteristics.map(({ id, designator }) => [id, designator]))
  const names = new Map(builds.map((build) => [build.id, build.name]))
  return records.flatMap(({ id, characteristicId, buildId, single, reason, who, at }): ExclusionView[] => {
    const designator = designators.get(characteristicId)
    const build = names.get(buildId)
    if (designator === undefined || build === undefined) return []
    if (single === null) return [{ id, designator, build, single, reason, who, at }]
    const { serial, replicate, value } = single
    return value === null
      ? []
      : [{ id, designator, build, single: { serial, replicate, value }, reason, who, at }]
  })
}
