import { readFileSync } from 'node:fs'

/** Samples and results of `tests/reference/description/`, from R and from mpmath. */

interface FromR {
  readonly kind: string
  readonly values: readonly number[]
  readonly w: number
  readonly p: number
  readonly type7: readonly number[]
  readonly type8: readonly number[]
}

interface FromMpmath {
  readonly n: number
  readonly m3: number
  readonly m4: number
  readonly skewness: number | null
  readonly kurtosis: number | null
  readonly anderson?: number
}

const load = (name: string) =>
  JSON.parse(readFileSync(new URL(`../../reference/description/${name}`, import.meta.url), 'utf8'))

const r: { sets: FromR[]; large: Record<'u' | 'root' | 'normal', { w: number; p: number }> } =
  load('description.json')
const mpmath: { sets: FromMpmath[] } = load('description-scipy.json')

export const SAMPLES = r.sets.map((set, i) => ({
  name: `${i + 1}: ${set.values.length} ${set.kind}`,
  r: set,
  mpmath: mpmath.sets[i] as FromMpmath,
}))

export const LARGE = r.large

/** The 5000 values behind `LARGE.u`: a multiplicative sequence that fills the unit interval evenly. */
export const evenlySpread = Float64Array.from(
  { length: 5000 },
  (_, i) => (((i + 1) * 2654435761) % 2 ** 32) / 2 ** 32,
)
