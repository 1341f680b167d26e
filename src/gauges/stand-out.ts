import { fLower, fUpper } from '../distributions/f.ts'
import { studentUpper } from '../distributions/student.ts'
import { type GaugeReading, type StudyCell, studyTable } from './readings.ts'

/** A part or inspector that differs from the others. */
export interface StandOut {
  readonly what: 'part' | 'inspector'
  readonly name: string
  /**
   * offset: reads higher or lower than the others throughout. scatter: repeats worse, or better, than the others.
   * disagreement: a part on which inspectors differ other than on the rest.
   */
  readonly how: 'offset' | 'scatter' | 'disagreement'
  /** Offset from the mean of all, in the unit of the readings; else the standard deviation over that of the others. */
  readonly size: number
  /** Probability of standing out so far by chance, for as many as were looked at together. */
  readonly p: number
}

/**
 * Which inspectors and parts stand out, most surely first. Each kind of difference is tested for all inspectors or all
 * parts together (Bonferroni): the offset of an inspector by Student's t against repeatability, the scatter of repeats
 * by F against that of all others, the disagreement on a part by F against repeatability.
 *
 * Offsets and disagreements need every part measured equally often, at least twice, by each inspector; scatter needs
 * repeats. What cannot be tested is left out.
 *
 * Source: R. G. Miller, Simultaneous Statistical Inference (1981), section 2.3; H. Scheffé, The Analysis of Variance
 * (1959), section 4.3 for the variance of residuals of a two-way table.
 *
 * @param level up to which a probability counts, such as 0.05
 * @throws ArgumentError where a reading is not finite
 */
export function standOuts(readings: readonly GaugeReading[], level: number): StandOut[] {
  const table = studyTable(readings)
  const { parts, inspectors, cells, trials } = table
  const found = [
    ...scatters('inspector', inspectors, cells),
    ...scatters('part', parts, cells),
    ...(trials !== null && trials > 1 ? offsetsAndDisagreements(parts, inspectors, cells, trials) : []),
  ]
  return found.filter(({ p }) => p <= level).sort((a, b) => a.p - b.p)
}

function scatters(
  what: 'part' | 'inspector',
  names: readonly string[],
  cells: readonly StudyCell[],
): StandOut[] {
  const sums = names.map((_, place) => squaresOf(cells.filter((cell) => cell[what] === place)))
  const all = squaresOf(cells)
  return names.flatMap((name, place) => {
    const own = sums[place] as Squares
    const others = { squares: all.squares - own.squares, df: all.df - own.df }
    // Differences of sums leave rounding behind where the others never scatter.
    if (own.df === 0 || others.df === 0 || others.squares <= 1e-12 * all.squares) return []
    const f = own.squares / own.df / (others.squares / others.df)
    const tail = Math.min(fUpper(f, own.df, others.df), fLower(f, own.df, others.df))
    return [
      { what, name, how: 'scatter' as const, size: Math.sqrt(f), p: Math.min(1, 2 * tail * names.length) },
    ]
  })
}

interface Squares {
  readonly squares: number
  readonly df: number
}

function squaresOf(cells: readonly StudyCell[]): Squares {
  return cells.reduce(
    ({ squares, df }, { moments }) => ({ squares: squares + moments.m2, df: df + moments.n - 1 }),
    { squares: 0, df: 0 },
  )
}

function offsetsAndDisagreements(
  parts: readonly string[],
  inspectors: readonly string[],
  cells: readonly StudyCell[],
  trials: number,
): StandOut[] {
  const p = parts.length
  const o = inspectors.length
  if (o === 1) return []
  const { squares, df } = squaresOf(cells)
  if (squares === 0) return []
  const variance = squares / df
  const origin = cells[0]?.moments.mean ?? 0
  const at = (i: number, j: number) => (cells[i * o + j] as StudyCell).moments.mean - origin
  const partMean = parts.map((_, i) => mean(inspectors.map((_, j) => at(i, j))))
  const grand = mean(partMean)
  const offset = inspectors.map((_, j) => mean(parts.map((_, i) => at(i, j))) - grand)
  const error = Math.sqrt((variance * (1 - 1 / o)) / (p * trials))
  const offsets = inspectors.map((name, j) => {
    const size = offset[j] as number
    const tail = studentUpper(Math.abs(size) / error, df)
    return { what: 'inspector' as const, name, how: 'offset' as const, size, p: Math.min(1, 2 * tail * o) }
  })
  if (p === 1) return offsets
  const disagreements = parts.map((name, i) => {
    const sum = inspectors.reduce(
      (total, _, j) => total + (at(i, j) - (partMean[i] as number) - (offset[j] as number)) ** 2,
      0,
    )
    // Residuals of one part vary by 1 − 1/p of a cell's mean, with one degree of freedom less than inspectors.
    const f = (trials * sum) / ((1 - 1 / p) * (o - 1)) / variance
    const tail = fUpper(f, o - 1, df)
    return {
      what: 'part' as const,
      name,
      how: 'disagreement' as const,
      size: Math.sqrt(f),
      p: Math.min(1, tail * p),
    }
  })
  return [...offsets, ...disagreements]
}

function mean(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length
}
