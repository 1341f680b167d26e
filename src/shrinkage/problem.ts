import type { Stage } from '../domain/cell.ts'
import type { Axis } from '../domain/characteristic.ts'

/** What the record lacks or holds wrongly. None of them stops what can be computed without it. */
export type ShrinkageProblem =
  /** Without a nominal, or with one that is not above zero, a size has no green size; the characteristic is left out. */
  | { readonly kind: 'no-nominal'; readonly characteristicId: number }
  /** The build's cells along the axis are left out, but for those whose green parts were measured. */
  | {
      readonly kind: 'factor-missing'
      readonly buildId: number
      readonly axis: Axis
      readonly greenUsed: boolean
    }
  /** A factor that no print has; `meant` is the one it looks like (1.18 for 118), null where it looks like none. */
  | {
      readonly kind: 'factor-impossible'
      readonly buildId: number
      readonly axis: Axis
      readonly factor: number
      readonly meant: number | null
    }
  /** Values of a cell look like another stage's, all of them or some; the cell is left out. */
  | {
      readonly kind: 'stage-mixed'
      readonly characteristicId: number
      readonly buildId: number
      readonly stage: Stage
      readonly extent: 'all' | 'some'
    }
  /** No characteristic with usable values follows the axis. */
  | { readonly kind: 'no-values'; readonly axis: Axis }
  /** Scale and offset cannot be told apart from one size: shrinkage is apparent, with the offset in it. */
  | { readonly kind: 'one-characteristic'; readonly axis: Axis; readonly characteristicId: number }
  /** Sizes so alike that an offset would swell the variance of the shrinkage by `inflation`; apparent, as above. */
  | { readonly kind: 'sizes-too-alike'; readonly axis: Axis; readonly inflation: number }
  /** All sizes of the axis are distances between middles, which no offset acts on. */
  | { readonly kind: 'no-offset-acts'; readonly axis: Axis }
  /** With one build, nothing says how builds differ: intervals speak of that build alone. */
  | { readonly kind: 'one-build' }
  /** Builds and furnace loads go together one to one, so that their effects cannot be told apart. */
  | { readonly kind: 'loads-not-told-apart' }
  /** No cell holds two parts: how parts scatter is taken from how well the characteristics of a build agree. */
  | { readonly kind: 'single-parts' }
