import type { Axis } from '../domain/characteristic.ts'
import type { SizeTerms } from './terms.ts'

/** One sintered value of one part. */
export interface PartValue {
  readonly characteristicId: number
  readonly buildId: number
  /** Names the part within its build. */
  readonly part: string
  /** In the characteristic's unit. */
  readonly value: number
  /** Place in the bed, mm; null where not recorded. */
  readonly bed: { readonly x: number; readonly y: number; readonly z: number } | null
  /** Names furnace and tray; null where not recorded. */
  readonly tray: string | null
}

/** How much larger a part is along one axis than the others of its build, as a fraction. */
export interface PartDeviation {
  readonly buildId: number
  readonly value: number
  readonly bed: PartValue['bed']
  readonly tray: string | null
}

/**
 * Relative deviation of each part from its build along an axis: of every characteristic from the build's mean, put
 * together by least squares on the nominals. Characteristics of more than one axis are left out.
 */
export function partDeviations(
  values: readonly PartValue[],
  terms: readonly SizeTerms[],
  axis: Axis,
): PartDeviation[] {
  const nominals = new Map(
    terms
      .filter(
        ({ weights, counts, characteristic }) =>
          counts && weights[axis] > 0.999 && (characteristic.nominal ?? 0) > 0,
      )
      .map(({ characteristic }) => [characteristic.id, characteristic.nominal as number]),
  )
  const own = values.filter((v) => nominals.has(v.characteristicId))
  const means = new Map<string, { n: number; mean: number }>()
  const cell = (v: PartValue) => `${v.characteristicId} ${v.buildId}`
  for (const v of own) {
    const known = means.get(cell(v))
    if (known === undefined) means.set(cell(v), { n: 1, mean: v.value })
    else {
      known.n++
      known.mean += (v.value - known.mean) / known.n
    }
  }
  const parts = new Map<string, { first: PartValue; above: number; below: number }>()
  for (const v of own) {
    const nominal = nominals.get(v.characteristicId) as number
    const key = `${v.buildId} ${v.part}`
    const known = parts.get(key) ?? { first: v, above: 0, below: 0 }
    known.above += nominal * (v.value - (means.get(cell(v))?.mean as number))
    known.below += nominal * nominal
    parts.set(key, known)
  }
  return [...parts.values()].map(({ first, above, below }) => ({
    buildId: first.buildId,
    value: above / below,
    bed: first.bed,
    tray: first.tray,
  }))
}
