/**
 * Control charts in plain arithmetic, kept apart from the project's own chart code so that the sample data is
 * judged by something else. Formulas and constants are those of any textbook, e.g. the NIST/SEMATECH e-Handbook of
 * Statistical Methods, 6.3.2: moving range over d2(2) = 1.128, s limits from c4; Western Electric's four tests.
 */

/** c4(n) = sqrt(2/(n − 1)) Γ(n/2)/Γ((n − 1)/2), by Γ(z + 1) = z Γ(z): c4(n + 1) = sqrt((n − 1)/n)/c4(n). */
export function c4(n: number): number {
  let value = Math.sqrt(2 / Math.PI)
  for (let k = 2; k < n; k++) value = Math.sqrt((k - 1) / k) / value
  return value
}

export function mean(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length
}

export function sumOfSquares(values: readonly number[]): number {
  const centre = mean(values)
  return values.reduce((sum, value) => sum + (value - centre) ** 2, 0)
}

export function standardDeviation(values: readonly number[]): number {
  return Math.sqrt(sumOfSquares(values) / (values.length - 1))
}

/** Deviations of build means from their centre in sigmas, both from the first `baseline` means. */
export function locationZ(means: readonly number[], baseline: number): number[] {
  const first = means.slice(0, baseline)
  const centre = mean(first)
  const ranges = first.slice(1).map((value, i) => Math.abs(value - (first[i] as number)))
  const sigma = mean(ranges) / 1.128
  return means.map((value) => (value - centre) / sigma)
}

/** Indices at which one of Western Electric's four tests is met, `z` in sigmas from the centre. */
export function westernElectric(z: readonly number[]): number[] {
  const met = (i: number, side: number) => {
    const beyond = (window: number, limit: number) =>
      i + 1 < window ? 0 : z.slice(i + 1 - window, i + 1).filter((value) => side * value > limit).length
    const own = side * (z[i] as number)
    return (
      own > 3 ||
      (own > 2 && beyond(3, 2) >= 2) ||
      (own > 1 && beyond(5, 1) >= 4) ||
      (own > 0 && beyond(8, 0) === 8)
    )
  }
  return [...z.keys()].filter((i) => met(i, 1) || met(i, -1))
}

/** Indices of builds whose standard deviation is outside three sigma, sigma pooled over the first `baseline`. */
export function spreadBreaches(builds: readonly (readonly number[])[], baseline: number): number[] {
  const first = builds.slice(0, baseline)
  const freedom = first.reduce((sum, values) => sum + values.length - 1, 0)
  const pooled = Math.sqrt(first.reduce((sum, values) => sum + sumOfSquares(values), 0) / freedom)
  return [...builds.keys()].filter((i) => {
    const values = builds[i] as readonly number[]
    const centre = c4(values.length)
    const deviation = Math.abs(standardDeviation(values) / pooled - centre)
    return deviation > 3 * Math.sqrt(1 - centre * centre)
  })
}

/** F of the one-way analysis of variance between builds. */
export function betweenF(builds: readonly (readonly number[])[]): number {
  const all = builds.flat()
  const grand = mean(all)
  const between = builds.reduce((sum, values) => sum + values.length * (mean(values) - grand) ** 2, 0)
  const within = builds.reduce((sum, values) => sum + sumOfSquares(values), 0)
  return between / (builds.length - 1) / (within / (all.length - builds.length))
}
