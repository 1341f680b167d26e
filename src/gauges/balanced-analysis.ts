import { fUpper } from '../distributions/f.ts'
import type { StudyTable } from './readings.ts'
import type { AnalysisLine, ComponentName } from './study-model.ts'

type Source = AnalysisLine['source']

/** An independent mean square of a balanced study. */
export interface MeanSquare {
  readonly source: Source
  readonly df: number
  readonly sumOfSquares: number
  readonly meanSquare: number
}

/** What a component is of the expected mean squares, by source; null where it cannot be told. */
export type Combination = Readonly<Partial<Record<Source, number>>>

export interface BalancedModel {
  readonly squares: readonly MeanSquare[]
  readonly combinations: Readonly<Partial<Record<ComponentName, Combination>>>
}

/**
 * Sums of squares of a balanced study, those without degrees of freedom left out. Without repeated readings the
 * interaction stands in the last line.
 *
 * Source: H. Scheffé, The Analysis of Variance (1959), sections 4.3 and 7.4.
 *
 * @param trials readings of each part by each inspector
 */
export function balancedSquares(table: StudyTable, trials: number): MeanSquare[] {
  const p = table.parts.length
  const o = table.inspectors.length
  // Means as deviations from one reading, so that sizes do not swamp what they differ by.
  const origin = table.cells[0]?.moments.mean ?? 0
  const cell = table.cells.map(({ moments }) => moments.mean - origin)
  const at = (i: number, j: number) => cell[i * o + j] as number
  const part = table.parts.map((_, i) => mean(table.inspectors.map((_, j) => at(i, j))))
  const inspector = table.inspectors.map((_, j) => mean(table.parts.map((_, i) => at(i, j))))
  const grand = mean(part)
  const within = table.cells.reduce((sum, { moments }) => sum + moments.m2, 0)
  const interaction = table.cells.reduce((sum, { part: i, inspector: j }) => {
    return sum + (at(i, j) - (part[i] as number) - (inspector[j] as number) + grand) ** 2
  }, 0)
  const sums: [Source, number, number][] = [
    ['part', p - 1, o * trials * squares(part, grand)],
    ['inspector', o - 1, p * trials * squares(inspector, grand)],
    ['interaction', (p - 1) * (o - 1), trials * interaction],
    ['repeatability', p * o * (trials - 1), within],
  ]
  return sums
    .filter(([, df]) => df > 0)
    .map(([source, df, sumOfSquares]) => ({ source, df, sumOfSquares, meanSquare: sumOfSquares / df }))
}

/** What each line of a crossed analysis is tested against, where there is an interaction. */
const CROSSED_AGAINST: Readonly<Partial<Record<Source, Source>>> = {
  part: 'interaction',
  inspector: 'interaction',
}

/**
 * F tests of the lines: parts and inspectors against the interaction where there is one, which is tested against the
 * last.
 *
 * @param tested which line a line is tested against; where it is missing, the last
 */
export function analysisLines(
  lines: readonly MeanSquare[],
  tested: Readonly<Partial<Record<Source, Source>>> = CROSSED_AGAINST,
): AnalysisLine[] {
  const last = lines[lines.length - 1]
  return lines.map((line) => {
    const against = lines.find(({ source }) => source === tested[line.source]) ?? last
    if (against === undefined || against === line || against.meanSquare === 0)
      return { ...line, f: null, p: null }
    const f = line.meanSquare / against.meanSquare
    return { ...line, f, p: fUpper(f, line.df, against.df) }
  })
}

/** The interaction's sum of squares and degrees of freedom added to those of repeatability. */
export function pooled(lines: readonly MeanSquare[]): MeanSquare[] {
  const of = (wanted: Source) => lines.find(({ source }) => source === wanted)
  const interaction = of('interaction')
  const repeatability = of('repeatability')
  if (interaction === undefined) return [...lines]
  const df = interaction.df + (repeatability?.df ?? 0)
  const sumOfSquares = interaction.sumOfSquares + (repeatability?.sumOfSquares ?? 0)
  return [
    ...lines.filter(({ source }) => source === 'part' || source === 'inspector'),
    { source: 'repeatability', df, sumOfSquares, meanSquare: sumOfSquares / df },
  ]
}

/**
 * The components as combinations of expected mean squares, from the random model
 * E[part] = e + r·i + o·r·p, E[inspector] = e + r·i + p·r·o, E[interaction] = e + r·i, E[repeatability] = e.
 * Source: as `balancedSquares`, section 7.4.
 *
 * @param lines as kept or pooled
 */
export function balancedModel(
  lines: readonly MeanSquare[],
  parts: number,
  inspectors: number,
  trials: number,
): BalancedModel {
  const has = (wanted: Source) => lines.some(({ source }) => source === wanted)
  const [p, o, r] = [parts, inspectors, trials]
  const combinations: Partial<Record<ComponentName, Combination>> = {}
  const error: Source = has('interaction') ? 'interaction' : 'repeatability'
  if (has('repeatability')) combinations.repeatability = { repeatability: 1 }
  if (has('inspector') && has(error)) {
    combinations.inspector = { inspector: 1 / (p * r), [error]: -1 / (p * r) }
    combinations.reproducibility = combinations.inspector
    if (has('interaction')) {
      combinations.interaction = { interaction: 1 / r, repeatability: -1 / r }
      combinations.reproducibility = plus(combinations.inspector, combinations.interaction)
    }
  }
  if (has('part') && has(error)) combinations.part = { part: 1 / (o * r), [error]: -1 / (o * r) }
  if (combinations.repeatability !== undefined) {
    combinations.gauge = plus(combinations.repeatability, combinations.reproducibility ?? {})
    if (combinations.part !== undefined) combinations.total = plus(combinations.gauge, combinations.part)
  } else if (has('part')) {
    // One reading a part: all that is seen is what parts and gauge scatter together.
    combinations.total = { part: 1 }
  } else if (has('inspector')) {
    // One part, one reading an inspector: all that the gauge scatters, in one figure.
    combinations.gauge = { inspector: 1 }
  }
  return { squares: lines, combinations }
}

/** The sum of two combinations. */
export function plus(a: Combination, b: Combination): Combination {
  const sum: Partial<Record<Source, number>> = { ...a }
  for (const [source, coefficient] of Object.entries(b) as [Source, number][]) {
    sum[source] = (sum[source] ?? 0) + coefficient
  }
  return sum
}

function mean(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length
}

function squares(values: readonly number[], centre: number): number {
  return values.reduce((sum, value) => sum + (value - centre) ** 2, 0)
}
