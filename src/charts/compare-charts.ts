import type { ChartModel, Signal } from './model.ts'

/** What a chart says that another of the same builds does not. */
export interface ChartComparison {
  /** Signals of the chart after; points index its subgroups. */
  readonly gained: readonly Signal[]
  /** Signals of the chart before; points index its subgroups. */
  readonly lost: readonly Signal[]
}

/**
 * Signals that come and go between two charts of one characteristic. A signal that grows or shrinks stays the same
 * one: same panel, test and side, and at least one build in common.
 */
export function compareCharts(before: ChartModel, after: ChartModel): ChartComparison {
  return { gained: missingIn(before, after), lost: missingIn(after, before) }
}

/** Signals of `chart` that have no counterpart in `other`. */
function missingIn(other: ChartModel, chart: ChartModel): Signal[] {
  const known = new Map<string, Set<number>>()
  for (const signal of other.signals) {
    const builds = known.get(kindOf(signal)) ?? new Set()
    for (const i of signal.points) builds.add(other.subgroups[i]?.buildId as number)
    known.set(kindOf(signal), builds)
  }
  return chart.signals.filter((signal) => {
    const builds = known.get(kindOf(signal))
    return (
      builds === undefined || signal.points.every((i) => !builds.has(chart.subgroups[i]?.buildId as number))
    )
  })
}

function kindOf({ panel, test, side }: Signal): string {
  return `${panel} ${test} ${side}`
}
