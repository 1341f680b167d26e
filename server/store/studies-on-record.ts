import { type BuildLabel, placesOf } from '../../src/charts/places.ts'
import { BASELINE_SUBGROUPS, DEFAULT_STUDY, type Phase, type Study } from '../../src/charts/study.ts'
import type { Stage } from '../../src/domain/cell.ts'
import type { TimelineBuild } from '../contract/views.ts'
import type { BuildName, ExclusionRecord, StudyVersion } from './decision-reads.ts'
import { type FactorDecision, printedWith } from './factor-decisions.ts'
import type { Store } from './store.ts'
import { inOrderOfPrinting } from './timeline-builds.ts'

/** The study of one characteristic at one stage, as it is on record. */
export interface StudyOnRecord {
  readonly study: Study
  /** 0 while nobody has decided anything. */
  readonly version: number
}

/** All studies of a part number at one stage, and what is left out there. */
export interface StudiesOnRecord {
  of(characteristicId: number): StudyOnRecord
  /** Everything left out and not taken back. */
  readonly exclusions: readonly ExclusionRecord[]
}

/**
 * Reads the studies of a part number.
 *
 * @param timeline its builds at the stage; those still being read are waited for while the studies are
 */
export async function studiesOf(
  store: Store,
  partNumberId: number,
  stage: Stage,
  timeline: readonly TimelineBuild[] | Promise<readonly TimelineBuild[]>,
): Promise<StudiesOnRecord> {
  const [versions, records, factors, builds] = await Promise.all([
    store.latestStudies(partNumberId, stage),
    store.exclusions(partNumberId, stage),
    store.factorDecisions(partNumberId),
    timeline,
  ])
  const exclusions = records.filter((record) => record.undone === null)
  const named = await missingBuilds(store, versions, builds)
  const opened = factorPhases(factors, builds)
  const byCharacteristic = new Map(versions.map((version) => [version.characteristicId, version]))
  return {
    exclusions,
    of(characteristicId) {
      const version = byCharacteristic.get(characteristicId)
      const own = { ...DEFAULT_STUDY, ...(version === undefined ? {} : settled(version, builds, named)) }
      const begun = new Set(own.phases.map(({ fromBuild }) => fromBuild))
      return {
        version: version?.version ?? 0,
        study: {
          ...own,
          phases: [
            ...own.phases,
            ...opened.flatMap(({ moves, phase }) =>
              moves.has(characteristicId) && !begun.has(phase.fromBuild) ? [phase] : [],
            ),
          ],
          stage,
          exclusions: exclusions.flatMap(({ characteristicId: id, buildId, single }) =>
            id !== characteristicId || (single !== null && single.value === null)
              ? []
              : [{ buildId, value: single?.value ?? null }],
          ),
        },
      }
    },
  }
}

/**
 * A change of scale factors moves sizes on purpose: for those that it was to move, a phase opens at the first build that
 * is printed with it.
 */
function factorPhases(
  decisions: readonly FactorDecision[],
  builds: readonly TimelineBuild[],
): { readonly moves: ReadonlySet<number>; readonly phase: Phase }[] {
  return decisions.flatMap((decision) => {
    const first = decision.takenBack === null ? printedWith(decision, builds)[0] : undefined
    if (first === undefined) return []
    const moved = decision.predictions.filter(
      ({ present, changed }) => present.mean.value !== changed.mean.value,
    )
    return [
      {
        moves: new Set(moved.map(({ characteristic }) => characteristic.id)),
        phase: {
          fromBuild: first.id,
          reason: `scale factors of decision ${decision.id}: ${decision.reason}`,
          baselineCount: BASELINE_SUBGROUPS,
        },
      },
    ]
  })
}

/** Builds that phases begin at and that are not on the timeline any more, since an import was withdrawn. */
async function missingBuilds(
  store: Store,
  versions: readonly StudyVersion[],
  builds: readonly BuildLabel[],
): Promise<readonly BuildName[]> {
  const known = placesOf(builds)
  const begun = versions.flatMap(({ study }) => study.phases.map((phase) => phase.fromBuild))
  const missing = begun.filter((id): id is number => id !== null && !known.has(id))
  return missing.length === 0 ? [] : await store.buildNames([...new Set(missing)])
}

/** The study with every phase beginning at a build of the timeline: the next one where its own is gone. */
function settled({ study }: StudyVersion, builds: readonly TimelineBuild[], missing: readonly BuildName[]) {
  const gone = new Map(missing.map((build) => [build.id, build]))
  const phases = study.phases.flatMap((phase) => {
    const build = phase.fromBuild === null ? undefined : gone.get(phase.fromBuild)
    if (build === undefined) return [phase]
    const next = builds.find((each) => inOrderOfPrinting(each, build) > 0)
    return next === undefined ? [] : [{ ...phase, fromBuild: next.id }]
  })
  return { ...study, phases }
}
