import type { ScaleFactors } from '../../src/domain/build.ts'
import { compareOutcome } from '../../src/shrinkage/outcome.ts'
import { outcomeWords } from '../../src/shrinkage/outcome-words.ts'
import type { FactorDecisionView } from '../contract/shrinkage.ts'
import type { FactorDecision } from '../store/factor-decisions.ts'
import type { ShrinkageOnRecord } from './shrinkage-fit.ts'

/** What was decided, newest first, each prediction held against the builds that were printed so since. */
export function decisionViews(record: ShrinkageOnRecord): FactorDecisionView[] {
  const { decisions, builds, sintered, fit } = record
  const place = new Map(builds.map((build, i) => [build.name, i]))
  return decisions
    .map((decision, i): FactorDecisionView => {
      const from = place.get(decision.firstBuild) ?? null
      const end = decisions
        .slice(i + 1)
        .flatMap((later) => place.get(later.firstBuild) ?? [])
        .reduce((least, at) => Math.min(least, at), builds.length)
      const since = from === null ? [] : builds.slice(from, end)
      const own = since.filter((build) => same(build.scale, decision.factors))
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
      }
    })
    .reverse()
}

function viewed({ id, afterBuildId: _, ...decision }: FactorDecision) {
  return { number: id, ...decision }
}

function same(a: ScaleFactors, b: ScaleFactors): boolean {
  return a.x === b.x && a.y === b.y && a.z === b.z
}
