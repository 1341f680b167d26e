import { chiSquareQuantile, chiSquareUpperQuantile } from '../distributions/chi-square.ts'
import { findRoot } from '../numbers/brent.ts'
import { nestedComponents } from '../variation/nested-components.ts'
import { nest } from '../variation/nesting.ts'
import { restrictedDeviance } from '../variation/restricted-likelihood.ts'
import type { BalancedModel, Combination } from './balanced-analysis.ts'
import { crossedLikelihood, MOST_CELLS } from './crossed-likelihood.ts'
import { estimateDf } from './estimate-df.ts'
import { fitComponents, type LikelihoodFit } from './likelihood-fit.ts'
import { type MeanSquareTerm, meanSquareLimits } from './mean-square-interval.ts'
import type { StudyTable } from './readings.ts'
import type { ComponentName, StudyFigure } from './study-model.ts'

/** Variances of the components that can be told, and gauge over total variance where both can. */
export interface StudyEstimates {
  readonly variances: Readonly<Partial<Record<ComponentName, StudyFigure>>>
  readonly gaugeShare: StudyFigure | null
}

const SUMS: readonly (readonly [ComponentName, readonly ComponentName[]])[] = [
  ['reproducibility', ['inspector', 'interaction']],
  ['gauge', ['repeatability', 'inspector', 'interaction']],
  ['total', ['repeatability', 'inspector', 'interaction', 'part']],
]

/**
 * Estimates of a balanced study by the method of moments, with modified large sample limits. A component whose
 * estimate would be negative is 0, and sums are those of the components so cut off.
 */
export function balancedEstimates(model: BalancedModel, confidence: number): StudyEstimates {
  const { combinations } = model
  const limits = meanSquareLimits(confidence)
  const termsOf = (combination: Combination): MeanSquareTerm[] =>
    model.squares.map((square) => ({ ...square, coefficient: combination[square.source] ?? 0 }))
  const estimateOf = (name: ComponentName): number => {
    const parts =
      SUMS.find(([sum]) => sum === name)?.[1].filter((part) => combinations[part] !== undefined) ?? []
    if (parts.length > 0) return parts.reduce((sum, part) => sum + estimateOf(part), 0)
    return Math.max(
      0,
      termsOf(combinations[name] as Combination).reduce((sum, t) => sum + t.coefficient * t.meanSquare, 0),
    )
  }
  const variances: Partial<Record<ComponentName, StudyFigure>> = {}
  for (const [name, combination] of Object.entries(combinations) as [ComponentName, Combination][]) {
    const terms = termsOf(combination)
    const value = estimateOf(name)
    const upper = limits.upper(terms)
    variances[name] = {
      value,
      lower: Math.min(value, Math.max(0, limits.lower(terms))),
      // Repeats that never differ say nothing of how far they could.
      upper: upper <= 0 && name === 'repeatability' ? null : Math.max(value, upper),
    }
  }
  const { gauge, total, part, repeatability } = combinations
  // Where a mean square is subtracted from it, as where parts are nested, the gauge could come out as less than its own
  // repeatability, which it holds.
  const within =
    gauge !== undefined && Object.values(gauge).some((coefficient) => coefficient < 0)
      ? repeatability
      : undefined
  if (within !== undefined && variances.gauge && variances.repeatability) {
    const lower = Math.max(variances.gauge.lower, variances.repeatability.lower)
    variances.gauge = { ...variances.gauge, lower }
  }
  if (gauge === undefined || total === undefined || part === undefined) return { variances, gaugeShare: null }
  /** The terms of gauge − share × total, or of repeatability in its place. */
  const excess = (of: Combination, share: number) =>
    model.squares.map((square) => ({
      ...square,
      coefficient: (of[square.source] ?? 0) - share * (total[square.source] ?? 0),
    }))
  const value =
    (variances.total?.value ?? 0) > 0 ? (variances.gauge?.value ?? 0) / (variances.total?.value ?? 1) : 0
  const lower = Math.max(
    shareAt((share) => limits.lower(excess(gauge, share))),
    within === undefined ? 0 : shareAt((share) => limits.lower(excess(within, share))),
  )
  const upper = shareAt((share) => limits.upper(excess(gauge, share)))
  return { variances, gaugeShare: { value, lower: Math.min(value, lower), upper: Math.max(value, upper) } }
}

/** The share from 0 to 1 at which a falling function reaches 0: a limit of the share by inversion. */
function shareAt(f: (share: number) => number): number {
  if (f(0) <= 0) return 0
  return f(1) >= 0 ? 1 : findRoot(f, 0, 1, 1e-12)
}

/** Estimates of an unbalanced crossed study, by restricted maximum likelihood. */
export function crossedEstimates(
  table: StudyTable,
  interaction: boolean,
  confidence: number,
): StudyEstimates {
  const order: ComponentName[] = [
    'part',
    'inspector',
    ...(interaction ? (['interaction'] as const) : []),
    'repeatability',
  ]
  const fit = fitComponents(crossedLikelihood(table, interaction))
  return withSums(order, fit, singlesOf(order, fit, confidence), confidence)
}

function singlesOf(
  order: readonly ComponentName[],
  fit: LikelihoodFit,
  confidence: number,
): Partial<Record<ComponentName, StudyFigure>> {
  const single = (name: ComponentName) =>
    fit.figure({ numerator: indicator(order, [name]), denominator: null }, confidence)
  return Object.fromEntries(order.map((name) => [name, single(name)]))
}

/**
 * Estimates of readings in nested groups: repeated readings in parts in inspectors, or in one of these alone.
 *
 * @param outer names of the levels from the outermost inwards
 * @throws ArgumentError as `nestedComponents`
 */
export function nestedEstimates(
  table: StudyTable,
  outer: readonly ('inspector' | 'part')[],
  confidence: number,
): StudyEstimates {
  const rows = table.cells.flatMap((cell) => cell.values.map((value) => ({ cell, value })))
  const values = rows.map(({ value }) => value)
  const levels = outer.map((level) => rows.map(({ cell }) => cell[level]))
  const { components } = nestedComponents(values, levels, confidence)
  const order: ComponentName[] = [...outer, 'repeatability']
  const nesting = nest(values, levels)
  const residual = nesting.withinSquares / (nesting.n - (nesting.groups.at(-1) as number))
  const fit = fitComponents({
    start: Float64Array.from(components, ({ variance }) => variance),
    deviance: (variances) => restrictedDeviance(nesting, variances),
    // Many groups are as good as large samples, and their full matrix would take too long.
    df: (variances, weights) =>
      table.cells.length > MOST_CELLS
        ? null
        : estimateDf(
            outer.map((_, k) => groupsOf(table, outer.slice(0, k + 1))),
            Float64Array.from(table.cells, ({ moments }) => moments.n),
            table.n,
            variances,
            weights,
          ),
    units: Float64Array.of(...nesting.groups.map((groups) => (residual * groups) / nesting.n), residual),
  })
  return withSums(order, fit, singlesOf(order, fit, confidence), confidence)
}

/** To which group of a nested level each cell belongs: groups inside different outer ones are different. */
function groupsOf(table: StudyTable, levels: readonly ('inspector' | 'part')[]): number[] {
  const known = new Map<string, number>()
  return table.cells.map((cell) => {
    const key = levels.map((level) => cell[level]).join('/')
    const group = known.get(key) ?? known.size
    known.set(key, group)
    return group
  })
}

function withSums(
  order: readonly ComponentName[],
  fit: LikelihoodFit,
  singles: Partial<Record<ComponentName, StudyFigure>>,
  confidence: number,
): StudyEstimates {
  const variances = { ...singles }
  for (const [sum, parts] of SUMS) {
    const present = parts.filter((part) => order.includes(part))
    const told = present.length > 0 && (sum !== 'total' || order.includes('part'))
    if (!told) continue
    variances[sum] =
      present.length === 1
        ? (singles[present[0] as ComponentName] as StudyFigure)
        : fit.figure({ numerator: indicator(order, present), denominator: null }, confidence)
  }
  if (!order.includes('part')) return { variances, gaugeShare: null }
  // Searched for as gauge / (part + δ total), on whose logarithm the likelihood bends evenly, and turned into the share.
  const gauge = indicator(order, SUMS[1]?.[1] ?? [])
  const ratio = fit.figure({ numerator: gauge, denominator: gauge.map((of) => 1 - of + DELTA) }, confidence)
  const share = (q: number) => Math.min(1, (q * (1 + DELTA)) / (1 + q))
  return {
    variances,
    gaugeShare: {
      value: share(ratio.value),
      lower: share(ratio.lower),
      upper: ratio.upper === null ? 1 : share(ratio.upper),
    },
  }
}

/** Keeps the ratio finite where parts do not differ. */
const DELTA = 1e-3

function indicator(order: readonly ComponentName[], names: readonly ComponentName[]): number[] {
  return order.map((name) => (names.includes(name) ? 1 : 0))
}

/** A plain variance with its chi-square limits. */
export function plainVariance(squares: number, df: number, confidence: number): StudyFigure {
  const tail = (1 - confidence) / 2
  return {
    value: squares / df,
    lower: squares / chiSquareUpperQuantile(tail, df),
    upper: squares / chiSquareQuantile(tail, df),
  }
}
