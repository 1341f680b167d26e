import { momentsOf, variance } from '../description/moments.ts'
import { fUpper } from '../distributions/f.ts'
import type { Axis } from '../domain/characteristic.ts'
import type { ShrinkageFit } from './fit.ts'
import type { PartDeviation } from './part-deviations.ts'
import { shrinkageSeries } from './series.ts'

/** What is known of a build and may move its shrinkage. */
export interface BuildConditions {
  readonly buildId: number
  readonly powderReuse: number | null
  readonly powderLot: string | null
  /** Null where not recorded, or where the build was split over furnaces. */
  readonly furnace: string | null
}

export type ShareFactor =
  | 'powder reuse'
  | 'powder lot'
  | 'furnace'
  | 'place in plan'
  | 'height in bed'
  | 'tray'

/** How much of the variance of shrinkage along an axis goes with one recorded condition. */
export interface ExplainedShare {
  readonly factor: ShareFactor
  /** Whether it tells builds apart or parts of one build. */
  readonly level: 'builds' | 'parts'
  /**
   * Share of the variance of its level, as a fraction, corrected for what chance alone would explain (adjusted R²); 0
   * where chance would explain as much.
   */
  readonly share: number
  /** Share of all variance, builds and parts together. */
  readonly ofAll: number
  readonly f: number
  readonly df: readonly [number, number]
  /** Probability of an F as large where the factor does nothing. */
  readonly p: number
}

/**
 * Shares of variance explained, one condition at a time, each by its F test: powder reuse and height as straight
 * lines, place in plan as a tilted plane, lot, furnace and tray as groups. Conditions that go together (a lot and a
 * season) each claim what they share; shares do not add up. A condition that does not vary or is not recorded is left
 * out.
 *
 * Source: N. R. Draper and H. Smith, Applied Regression Analysis (1998), sections 1.3, 5.2 and 6.1.
 *
 * @param parts deviations of the axis (see `partDeviations`); empty where single values are not at hand
 */
export function explainedShares(
  fit: ShrinkageFit,
  axis: Axis,
  conditions: readonly BuildConditions[],
  parts: readonly PartDeviation[],
): ExplainedShare[] {
  const series = shrinkageSeries(fit, axis)
  const ofBuild = new Map(conditions.map((c) => [c.buildId, c]))
  const builds = series.buildIds.map((id, i) => ({
    value: series.values[i] as number,
    conditions: ofBuild.get(id),
  }))
  const betweenVariance = builds.length < 2 ? 0 : (variance(momentsOf(series.values)) as number)
  const kept = 1 - (fit.overall[axis]?.shrinkage.value ?? 0)
  const withinVariance = (fit.scatter?.relative[axis] ?? 0) * kept ** 2
  const whole = betweenVariance + withinVariance
  const found: ExplainedShare[] = []
  const add = (factor: ShareFactor, level: ExplainedShare['level'], test: ReturnType<typeof explained>) => {
    if (test === null) return
    const ofLevel = (level === 'builds' ? betweenVariance : withinVariance) / whole
    found.push({ factor, level, ...test, ofAll: test.share * ofLevel })
  }
  const known = <T>(of: (c: BuildConditions) => T | null) =>
    builds.flatMap(({ value, conditions: c }) => {
      const x = c === undefined ? null : of(c)
      return x === null ? [] : [{ value, x }]
    })

  const reuse = known((c) => c.powderReuse)
  add(
    'powder reuse',
    'builds',
    explained(
      reuse.map((r) => r.value),
      [reuse.map((r) => r.x)],
      1,
    ),
  )
  for (const [factor, of] of [
    ['powder lot', (c: BuildConditions) => c.powderLot],
    ['furnace', (c: BuildConditions) => c.furnace],
  ] as const) {
    const rows = known(of)
    add(
      factor,
      'builds',
      explained(
        rows.map((r) => r.value),
        indicators(rows.map((r) => r.x)),
        1,
      ),
    )
  }

  // Parts deviate from their build's mean, so that each build has cost one degree of freedom.
  const placed = parts.flatMap(({ bed, ...part }) => (bed === null ? [] : [{ ...part, bed }]))
  const places = centred(placed, (part) => [part.bed.x, part.bed.y, part.bed.z])
  const values = placed.map((part) => part.value)
  const own = new Set(placed.map((part) => part.buildId)).size
  add('place in plan', 'parts', explained(values, [places[0] ?? [], places[1] ?? []], own))
  add('height in bed', 'parts', explained(values, [places[2] ?? []], own))
  const onTray = parts.flatMap(({ tray, ...part }) => (tray === null ? [] : [{ ...part, tray }]))
  const marks = indicators(onTray.map((part) => part.tray))
  const trays = centred(onTray, (_, i) => marks.map((mark) => mark[i] as number))
  add(
    'tray',
    'parts',
    explained(
      onTray.map((part) => part.value),
      trays,
      new Set(onTray.map((part) => part.buildId)).size,
    ),
  )
  return found
}

/** One column for every label but the first: 1 where the label is that one, 0 elsewhere. */
function indicators(labels: readonly string[]): number[][] {
  return [...new Set(labels)].slice(1).map((of) => labels.map((label) => (label === of ? 1 : 0)))
}

/** Columns of figures, each less its mean over the parts of the same build. */
function centred<T extends { readonly buildId: number }>(
  parts: readonly T[],
  of: (part: T, index: number) => readonly number[],
): number[][] {
  const rows = parts.map(of)
  const width = rows[0]?.length ?? 0
  const sums = new Map<number, { n: number; sum: number[] }>()
  for (const [i, part] of parts.entries()) {
    const known = sums.get(part.buildId) ?? { n: 0, sum: new Array<number>(width).fill(0) }
    known.n++
    for (let k = 0; k < width; k++) known.sum[k] = (known.sum[k] as number) + (rows[i]?.[k] as number)
    sums.set(part.buildId, known)
  }
  return Array.from({ length: width }, (_, k) =>
    parts.map((part, i) => {
      const build = sums.get(part.buildId) as { n: number; sum: number[] }
      return (rows[i]?.[k] as number) - (build.sum[k] as number) / build.n
    }),
  )
}

/**
 * Regression of values on columns beside a mean.
 * @param lost degrees of freedom that the mean, or the means of builds, have taken
 * @returns null where no column varies or nothing is left to judge by
 */
function explained(
  values: readonly number[],
  columns: readonly (readonly number[])[],
  lost: number,
): Pick<ExplainedShare, 'share' | 'f' | 'df' | 'p'> | null {
  const less = (column: readonly number[]) => {
    const mean = column.reduce((sum, x) => sum + x, 0) / column.length
    return column.map((x) => x - mean)
  }
  const product = (a: readonly number[], b: readonly number[]) =>
    a.reduce((sum, v, i) => sum + v * (b[i] as number), 0)
  const y = less(values)
  // Gram and Schmidt: each column less what those before it hold, and left out where nothing is left of it.
  const directions: number[][] = []
  for (const column of columns) {
    let rest = less(column)
    const own = product(rest, rest)
    for (const direction of directions) {
      const along = product(rest, direction)
      rest = rest.map((v, i) => v - along * (direction[i] as number))
    }
    const left = product(rest, rest)
    if (left > 1e-9 * own) directions.push(rest.map((v) => v / Math.sqrt(left)))
  }
  const width = directions.length
  const df2 = values.length - lost - width
  if (width === 0 || df2 < 1) return null
  const total = product(y, y)
  const model = directions.reduce((sum, direction) => sum + product(direction, y) ** 2, 0)
  const rest = total - model
  if (!(rest > 0)) return null
  const f = model / width / (rest / df2)
  return {
    share: Math.max(0, 1 - rest / df2 / (total / (df2 + width))),
    f,
    df: [width, df2],
    p: fUpper(f, width, df2),
  }
}
