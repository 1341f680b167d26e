import type { ChartForm, PhaseLimits } from './model.ts'

/**
 * Standard error of a plotted point of location for subgroups of `n` values, in the unit of the characteristic: inside
 * builds and between them where builds differ, inside alone where they do not. Null where it cannot be told.
 */
export function pointError(phase: PhaseLimits, form: ChartForm, n: number): number | null {
  const { sigmaWithin, sigmaBetween, sigmaMeans } = phase
  const error =
    form === 'individuals' || sigmaWithin === null
      ? sigmaMeans
      : form === 'three-way'
        ? sigmaBetween === null
          ? sigmaMeans
          : Math.sqrt(sigmaBetween ** 2 + sigmaWithin ** 2 / n)
        : sigmaWithin / Math.sqrt(n)
  return error !== null && error > 0 ? error : null
}
