import type { Build } from '../../src/domain/build.ts'
import { compareOutcome } from '../../src/shrinkage/outcome.ts'
import { outcomeWords } from '../../src/shrinkage/outcome-words.ts'
import type { FactorDecisionView } from '../contract/shrinkage.ts'
import type { PartNumber } from '../contract/views.ts'
import { type FactorDecision, printedWith, sameFactors } from '../store/factor-decisions.ts'
import type { Store } from '../store/store.ts'
import { MOST_AWAITED, type ShrinkageOnRecord } from './shrinkage-fit.ts'

/** What was decided, newest first, each prediction held against the builds that were printed so since. */
export function decisionViews(record: ShrinkageOnRecord): FactorDecisionView[] {
  const { decisions, builds, awaited, sintered, fit } = record
  const place = new Map(builds.map((build, i) => [build.name, i]))
  return decisions
    .map((decision, i): FactorDecisionView => {
      const from = place.get(decision.firstBuild) ?? null
      const end = decisions
        .slice(i + 1)
        .filter(({ takenBack }) => takenBack === null)
        .flatMap((later) => place.get(later.firstBuild) ?? [])
        .reduce((least, at) => Math.min(least, at), builds.length)
      const since = from === null ? [] : builds.slice(from, end)
      const own = since.filter((build) => sameFactors(build.scale, decision.factors))
      const ids = new Set(own.map((build) => build.id))
      const outcomes = compareOutcome(
        decision.predictions,
        sintered.filter((cell) => ids.has(cell.buildId)),
        fit.confidence,
      )
      return {
        ...viewed(decision),
        builds: own.map((build) => build.name),
        others: since.filter((build) => !ids.has(build.id)).map((build) => build.name),
        outcomes,
        verdict: outcomeWords(outcomes),
        mayBeTakenBack:
          decision.takenBack === null && printedWith(decision, [...builds, ...awaited]).length === 0,
      }
    })
    .reverse()
}

function viewed({ id, afterBuildId: _, ...decision }: FactorDecision) {
  return { number: id, ...decision }
}

/** The builds on record that were printed by a decision. */
export async function printedBy(
  store: Store,
  partNumber: PartNumber,
  decision: FactorDecision,
): Promise<readonly Build[]> {
  const builds = await store.builds(partNumber.id, 'sintered')
  const last = builds.at(-1)
  const awaited = last === undefined ? [] : await store.buildsAwaited(partNumber.id, last, MOST_AWAITED)
  return printedWith(decision, [...builds, ...awaited])
}
