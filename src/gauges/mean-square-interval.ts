import { chiSquareQuantile, chiSquareUpperQuantile } from '../distributions/chi-square.ts'
import { fUpperQuantile } from '../distributions/f.ts'

/** One term of a sum of independent mean squares. */
export interface MeanSquareTerm {
  /** A term with coefficient 0 counts for nothing. */
  readonly coefficient: number
  readonly meanSquare: number
  readonly df: number
}

/** The lower and upper limit of a sum of terms. */
export interface MeanSquareLimits {
  lower(terms: readonly MeanSquareTerm[]): number
  upper(terms: readonly MeanSquareTerm[]): number
}

/**
 * Limits of Σ cᵢ E[Sᵢ²] for independent mean squares Sᵢ² by modified large samples: exact for one term and, for two, as
 * the degrees of freedom of either grow; close to the stated confidence in between.
 *
 * Sources: N. Ting, R. K. Burdick, F. A. Graybill, S. Jeyaratnam and T.-F. C. Lu, Confidence intervals on linear
 * combinations of variance components that are unrestricted in sign, Journal of Statistical Computation and Simulation
 * 35 (1990), 135–143; F. A. Graybill and C.-M. Wang, Journal of the American Statistical Association 75 (1980), 869–873,
 * where all signs are equal; R. K. Burdick, C. M. Borror and D. C. Montgomery, Design and Analysis of Gauge R&R Studies
 * (2005) (formulas from memory; the tests simulate their coverage).
 *
 * @param confidence of the two limits together, above 0 and below 1
 */
export function meanSquareLimits(confidence: number): MeanSquareLimits {
  const tail = (1 - confidence) / 2
  /** G: by what share an expected mean square may lie below the one seen. */
  const fall = remembered((df) => 1 - df / chiSquareUpperQuantile(tail, df))
  /** H: by what share it may lie above. */
  const rise = remembered((df) => df / chiSquareQuantile(tail, df) - 1)
  const opposite = remembered((plus, minus) => {
    const f = fUpperQuantile(tail, plus, minus)
    return ((f - 1) ** 2 - (fall(plus) * f) ** 2 - rise(minus) ** 2) / f
  })
  const alike = remembered((a, b) => {
    const both = a + b
    return ((fall(both) * both) ** 2 - (fall(a) * a) ** 2 - (fall(b) * b) ** 2) / (a * b)
  })

  const lower = (terms: readonly MeanSquareTerm[]) => {
    let value = 0
    let squares = 0
    const sized = terms.map(({ coefficient, meanSquare, df }) => ({ size: coefficient * meanSquare, df }))
    const plus = sized.filter(({ size }) => size > 0)
    const minus = sized.filter(({ size }) => size < 0)
    for (const { size, df } of sized) {
      value += size
      squares += ((size > 0 ? fall(df) : rise(df)) * size) ** 2
    }
    for (const a of plus) for (const b of minus) squares -= opposite(a.df, b.df) * a.size * b.size
    if (minus.length > 0) {
      for (const [i, a] of plus.entries()) {
        for (const b of plus.slice(i + 1))
          squares += (alike(a.df, b.df) * a.size * b.size) / (plus.length - 1)
      }
    }
    return value - Math.sqrt(Math.max(0, squares))
  }
  const negated = (terms: readonly MeanSquareTerm[]) =>
    terms.map((term) => ({ ...term, coefficient: -term.coefficient }))
  return { lower, upper: (terms) => 0 - lower(negated(terms)) }
}

function remembered(f: (a: number, b: number) => number): (a: number, b?: number) => number {
  const known = new Map<string, number>()
  return (a, b = 0) => {
    const key = `${a} ${b}`
    const found = known.get(key) ?? f(a, b)
    known.set(key, found)
    return found
  }
}
