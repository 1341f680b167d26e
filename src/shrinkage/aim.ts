import type { Axis } from '../domain/characteristic.ts'
import { millimetres, type SizeTerms } from './terms.ts'

/**
 * What an offset of 1 mm does to an axis as a whole, as a relative change of size (1/mm): the scale factor that answers
 * an offset is a compromise between sizes, since an offset does not scale. The factor F that leaves the least sum of
 * squared deviations from nominal, each over its tolerance, is
 *
 *   F = (1 − g × offset) / (1 − shrinkage),   g = Σ w n s / Σ w n²
 *
 * for nominals n, senses s and weights w = 1 / (width of tolerance)². A characteristic without a tolerance gets the
 * others' mean relative tolerance. Only characteristics of this one axis that count are taken.
 */
export function offsetEffect(terms: readonly SizeTerms[], axis: Axis): number {
  const own = terms
    .filter(
      ({ weights, counts, characteristic }) =>
        counts && weights[axis] > 0.999 && (characteristic.nominal ?? 0) > 0,
    )
    .map(({ characteristic, sense }) => {
      const { lower, upper, nominal } = characteristic
      const unit = millimetres(characteristic)
      const width = lower === null || upper === null || lower === upper ? null : (upper - lower) * unit
      return { size: (nominal as number) * unit, sense, width }
    })
  const relative = own.flatMap(({ size, width }) => (width === null ? [] : [width / size]))
  const usual = relative.length === 0 ? 1 : relative.reduce((sum, r) => sum + r, 0) / relative.length
  let above = 0
  let below = 0
  for (const { size, sense, width } of own) {
    const w = 1 / (width ?? usual * size) ** 2
    above += w * size * sense
    below += w * size * size
  }
  return below === 0 ? 0 : above / below
}
