import type { CapabilityDetailView, IndexCourseView } from '../../server/contract/capability-detail.ts'
import { distributionFunctions, type FittedDistribution } from '../../src/capability/fitted-distribution.ts'
import type { BandPoint } from '../../src/capability/plot-band.ts'
import { bindingLimits } from '../../src/capability/quantile-method.ts'
import type { CapabilitySummary } from '../../src/capability/summary.ts'
import type { SupposedFigures } from '../../src/capability/what-if.ts'
import { type BinnedValues, barsOf, plottedShares } from '../../src/description/binned-values.ts'
import type { Characteristic } from '../../src/domain/characteristic.ts'
import { characteristicTitle, meanDecimals, valueDecimals } from '../../src/words/format.ts'
import { unitText } from '../../src/words/unit.ts'
import type { TableCell, TableModel } from '../save/csv.ts'
import { figures, words } from './table-columns.ts'

type Measured = NonNullable<CapabilityDetailView['measured']>

/** The bars of the histogram, with the values to a bar that the distribution gives. */
export function histogramTable(
  characteristic: Characteristic,
  values: BinnedValues,
  distribution: FittedDistribution | null,
): TableModel {
  const unit = unitText(characteristic.unit)
  const decimals = valueDecimals(characteristic)
  const lower = distribution === null ? null : distributionFunctions(distribution).lower
  return {
    caption: `Histogram of ${characteristicTitle(characteristic)}`,
    columns: [
      figures(`from, ${unit}`, decimals),
      figures(`to below, ${unit}`, decimals),
      figures('values', 0),
      figures('by the distribution', 1),
    ],
    rows: barsOf(values).map(({ from, to, count }) => [
      from,
      to,
      count,
      lower === null ? null : values.n * (lower(to) - lower(from)),
    ]),
  }
}

/** The points of the probability plot, and the line and band on their heights. */
export function probabilityTable(
  characteristic: Characteristic,
  values: BinnedValues,
  distribution: FittedDistribution | null,
  band: readonly BandPoint[],
): TableModel {
  const unit = unitText(characteristic.unit)
  const decimals = meanDecimals(characteristic)
  const points = plottedShares(values).map(({ value, below }): TableCell[] => [
    'values',
    100 * below,
    value,
    null,
    null,
  ])
  const functions = distribution === null ? null : distributionFunctions(distribution)
  const line = band.map(({ below, above, low, high }): TableCell[] => {
    const at = functions && (below < 0.5 ? functions.quantile(below) : functions.upperQuantile(above))
    return ['distribution', 100 * below, at, low, high]
  })
  return {
    caption: `Probability plot of ${characteristicTitle(characteristic)}`,
    columns: [
      words('of'),
      figures('share below, %', 3),
      figures(`value, ${unit}`, decimals),
      figures(`band from, ${unit}`, decimals),
      figures(`band to, ${unit}`, decimals),
    ],
    rows: [...points, ...line],
  }
}

/** The index over a running window. */
export function courseTable(
  { characteristic, requirement }: CapabilitySummary,
  { course, buildNames }: IndexCourseView,
): TableModel {
  return {
    caption: `${requirement.index} of ${characteristicTitle(characteristic)} over a running window`,
    columns: [
      words('first build'),
      words('last build'),
      figures('builds', 0),
      figures('values', 0),
      figures('fitted to', 0),
      figures(requirement.index, 2),
      figures('from', 2),
      figures('to', 2),
    ],
    rows: (course?.points ?? []).map(({ from, to, n, fittedTo, index }) => [
      buildNames[from] ?? null,
      buildNames[to] ?? null,
      to - from + 1,
      n,
      fittedTo,
      index?.value ?? null,
      index?.lower ?? null,
      index?.upper ?? null,
    ]),
  }
}

/** A figure of the summary, with its interval where it has one. */
export interface SummaryFigure {
  readonly name: string
  readonly unit: string
  readonly decimals: number
  readonly value: number | null
  readonly lower: number | null
  readonly upper: number | null
  /** What it is, in a few words. */
  readonly what: string
}

interface Interval {
  readonly value: number
  readonly lower: number
  readonly upper: number
}

/** All figures of one characteristic, in the order in which they build on each other. */
export function summaryFigures({ summary, seenOutside }: Measured): SummaryFigure[] {
  const { characteristic } = summary
  const mean = meanDecimals(characteristic)
  const unit = unitText(characteristic.unit)
  const plain = (name: string, value: number | null, decimals: number, of: string, what: string) => ({
    name,
    unit: of,
    decimals,
    value,
    lower: null,
    upper: null,
    what,
  })
  const estimate = (
    name: string,
    of: Interval | null,
    what: string,
    scale = 1,
    percent = '',
    decimals = 2,
  ) => ({
    name,
    unit: percent,
    decimals,
    value: of && scale * of.value,
    lower: of && scale * of.lower,
    upper: of && scale * of.upper,
    what,
  })
  const million = (name: string, of: Interval | null, what: string) =>
    estimate(name, of, what, 1e6, 'per million', 1)
  return [
    plain('values', summary.n, 0, '', 'that count, in these builds'),
    plain('builds', summary.builds, 0, '', 'that hold them'),
    plain('mean', summary.mean, mean, unit, 'of all values'),
    plain('least', summary.min, mean - 1, unit, ''),
    plain('greatest', summary.max, mean - 1, unit, ''),
    plain('sigma within', summary.sigmaWithin, mean + 1, unit, 'inside builds'),
    plain('sigma between', summary.sigmaBetween, mean + 1, unit, 'what builds add, from one to the next'),
    plain('sigma overall', summary.sigmaOverall, mean + 1, unit, 'standard deviation of all values'),
    ...quantiles(summary).map(([name, value]) =>
      plain(name, value, mean, unit, `of the ${summary.shape?.fitted.family} distribution`),
    ),
    estimate('Cp', summary.cp, whyNot(summary, 'cp') ?? 'spread alone, without shifts'),
    estimate('Cpk', summary.cpk, whyNot(summary, 'cpk') ?? 'spread and place, without shifts'),
    estimate('Pp', summary.pp, whyNot(summary, 'pp') ?? 'spread alone, all that happened'),
    estimate('Ppk', summary.ppk, whyNot(summary, 'ppk') ?? 'spread and place, all that happened'),
    estimate('tolerance used', summary.toleranceUsed, 'by 99.73 % of the parts', 100, '%', 1),
    million('outside, expected', summary.outside.total, 'by the distribution'),
    million('below, expected', summary.outside.below, 'by the distribution'),
    million('above, expected', summary.outside.above, 'by the distribution'),
    million(
      'outside, seen',
      seenOutside.total,
      `${seenOutside.total?.count ?? 0} of ${summary.n} values; the interval takes parts as independent`,
    ),
  ]
}

/** Why there is no such index; null where there is. */
function whyNot(summary: CapabilitySummary, index: 'cp' | 'cpk' | 'pp' | 'ppk'): string | null {
  if (summary[index] !== null) return null
  const { lower, upper } = bindingLimits(summary.characteristic, summary.characteristic.kind)
  if (lower === null && upper === null) return 'needs a limit'
  if ((index === 'cp' || index === 'pp') && (lower === null || upper === null)) return 'needs two limits'
  if (summary.shape?.byQuantiles?.interval && !summary.stable)
    return 'not stated: its values are not normal, and it was not in control'
  return summary.sigmaOverall === null ? 'needs values that differ' : 'needs more values'
}

function quantiles({ shape }: CapabilitySummary): [string, number][] {
  const by = shape?.byQuantiles ?? null
  if (by === null) return []
  return [
    ['X 0.135 %', by.low],
    ['X 50 %', by.middle],
    ['X 99.865 %', by.high],
  ]
}

export function summaryTable(measured: Measured): TableModel {
  return {
    caption: `Figures of ${characteristicTitle(measured.summary.characteristic)}`,
    columns: [
      words('figure'),
      words('unit'),
      figures('value', 6),
      figures('from', 6),
      figures('to', 6),
      words('what it is'),
    ],
    rows: summaryFigures(measured).map(({ name, unit, value, lower, upper, what }) => [
      name,
      unit,
      value,
      lower,
      upper,
      what,
    ]),
  }
}

/** One figure as it is and as it would be. */
export interface ComparedFigure {
  readonly name: string
  readonly unit: string
  readonly decimals: number
  readonly today: Interval | number | null
  readonly supposed: Interval | number | null
}

/** The figures that a supposition changes, beside those of today. */
export function comparedFigures(
  { characteristic, mean, sigmaOverall, pp, ppk, outside, toleranceUsed }: CapabilitySummary,
  today: { readonly lower: number | null; readonly upper: number | null },
  supposed: SupposedFigures,
): ComparedFigure[] {
  const unit = unitText(characteristic.unit)
  const decimals = meanDecimals(characteristic)
  const { limits } = supposed
  return [
    { name: 'lower limit', unit, decimals: decimals - 1, today: today.lower, supposed: limits.lower },
    { name: 'upper limit', unit, decimals: decimals - 1, today: today.upper, supposed: limits.upper },
    { name: 'mean', unit, decimals, today: mean, supposed: supposed.mean },
    { name: 'sigma', unit, decimals: decimals + 1, today: sigmaOverall, supposed: supposed.sigma },
    { name: 'Pp', unit: '', decimals: 2, today: pp, supposed: supposed.spread },
    { name: 'Ppk', unit: '', decimals: 2, today: ppk, supposed: supposed.nearer },
    {
      name: 'outside, expected',
      unit: 'per million',
      decimals: 1,
      today: times(1e6, outside.total),
      supposed: times(1e6, supposed.outside.total),
    },
    {
      name: 'tolerance used',
      unit: '%',
      decimals: 1,
      today: times(100, toleranceUsed),
      supposed: times(100, supposed.toleranceUsed),
    },
  ]
}

function times(scale: number, of: Interval | null): Interval | null {
  return of && { value: scale * of.value, lower: scale * of.lower, upper: scale * of.upper }
}

/** The same for CSV; its caption says that it is a supposition. */
export function comparedTable(title: string, compared: readonly ComparedFigure[]): TableModel {
  const cells = (of: Interval | number | null): TableCell[] =>
    of === null || typeof of === 'number' ? [of, null, null] : [of.value, of.lower, of.upper]
  return {
    caption: `${title}, under a supposition`,
    columns: [
      words('figure'),
      words('unit'),
      ...['as it is', 'as supposed'].flatMap((which) => [
        figures(which, 6),
        figures(`${which}, from`, 6),
        figures(`${which}, to`, 6),
      ]),
    ],
    rows: compared.map(({ name, unit, today, supposed }) => [
      name,
      unit,
      ...cells(today),
      ...cells(supposed),
    ]),
  }
}
