import type { ChartModel, Panel, Subgroup } from '../../src/charts/model.ts'
import type { PackedChart, PackedPanel, Runs } from '../contract/report.ts'

/** The chart as a report keeps it: what is the same from build to build once, and nothing twice. */
export function packChart(chart: ChartModel): PackedChart {
  const { subgroups, location, movingRange, spread, ...rest } = chart
  return {
    ...rest,
    n: runsOf(subgroups.map(({ n }) => n)),
    leftOut: subgroups.flatMap(({ leftOut, leftOutValues, mean, sd }, at) =>
      leftOut || leftOutValues.length > 0
        ? [{ at, whole: leftOut ? { mean, sd } : null, values: leftOutValues }]
        : [],
    ),
    location: packPanel(location),
    movingRange: movingRange && packPanel(movingRange),
    spread: spread && packPanel(spread),
  }
}

/**
 * What is drawn of the chart, from its packed form; extremes of subgroups are not kept and given as their means.
 *
 * @param labels names of its builds
 */
export function unpackChart(packed: PackedChart, labels: readonly string[]): ChartModel {
  const { n, leftOut, location, movingRange, spread, ...rest } = packed
  const [centre, inside] = [location.values, spread?.values ?? []]
  const sizes = unrolled(n)
  const out = new Map(leftOut.map((entry) => [entry.at, entry]))
  const subgroups = labels.map((label, i): Subgroup => {
    const entry = out.get(i)
    const mean = entry?.whole?.mean ?? centre[i] ?? 0
    return {
      buildId: i,
      label,
      n: sizes[i] ?? 0,
      mean,
      sd: entry?.whole?.sd ?? inside[i] ?? null,
      min: mean,
      max: mean,
      leftOut: entry !== undefined && entry.whole !== null,
      leftOutValues: entry?.values ?? [],
    }
  })
  return {
    ...rest,
    subgroups,
    location: unpackPanel(location),
    movingRange: movingRange && unpackPanel(movingRange),
    spread: spread && unpackPanel(spread),
  }
}

function packPanel({ id, values, centre, lower, upper, sigma }: Panel): PackedPanel {
  return {
    id,
    values,
    centre: runsOf(centre),
    lower: runsOf(lower),
    upper: runsOf(upper),
    sigma: runsOf(sigma),
  }
}

function unpackPanel({ id, values, centre, lower, upper, sigma }: PackedPanel): Panel {
  return {
    id,
    values,
    centre: unrolled(centre),
    lower: unrolled(lower),
    upper: unrolled(upper),
    sigma: unrolled(sigma),
  }
}

function runsOf<T>(values: readonly T[]): Runs<T> {
  const runs: [T, number][] = []
  for (const value of values) {
    const last = runs.at(-1)
    if (last !== undefined && last[0] === value) last[1]++
    else runs.push([value, 1])
  }
  return runs
}

function unrolled<T>(runs: Runs<T>): T[] {
  return runs.flatMap(([value, count]) => new Array<T>(count).fill(value))
}
