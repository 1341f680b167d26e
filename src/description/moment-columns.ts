import { type Moments, mergeMoments } from './moments.ts'

/**
 * Moments side by side: entry i of every column belongs to set i. A set without values has n = 0, and nothing else of it
 * counts. Units as for `Moments`.
 */
export interface MomentColumns {
  readonly length: number
  readonly n: Int32Array
  readonly mean: Float64Array
  readonly m2: Float64Array
  readonly min: Float64Array
  readonly max: Float64Array
}

/** Columns of so many sets without values. */
export function emptyMoments(length: number): MomentColumns {
  return {
    length,
    n: new Int32Array(length),
    mean: new Float64Array(length),
    m2: new Float64Array(length),
    min: new Float64Array(length),
    max: new Float64Array(length),
  }
}

/** The same as columns. */
export function momentColumns(sets: readonly Moments[]): MomentColumns {
  const columns = emptyMoments(sets.length)
  for (const [i, moments] of sets.entries()) putMoments(columns, i, moments)
  return columns
}

/** Moments of the union of all sets, merged in their order; null without any. */
export function mergedMoments(columns: MomentColumns): Moments | null {
  if (columns.length === 0) return null
  // In a column of one, so that no record is made for each set.
  const all = emptyMoments(1)
  copyMoments(columns, 0, all, 0)
  for (let i = 1; i < columns.length; i++) {
    putMoments(all, 0, mergeMoments(momentsAt(all, 0), momentsAt(columns, i)))
  }
  return momentsAt(all, 0)
}

export function momentsAt({ n, mean, m2, min, max }: MomentColumns, i: number): Moments {
  return {
    n: n[i] as number,
    mean: mean[i] as number,
    m2: m2[i] as number,
    min: min[i] as number,
    max: max[i] as number,
  }
}

export function putMoments(columns: MomentColumns, i: number, moments: Moments): void {
  columns.n[i] = moments.n
  columns.mean[i] = moments.mean
  columns.m2[i] = moments.m2
  columns.min[i] = moments.min
  columns.max[i] = moments.max
}

/** Entry `from` of one as entry `to` of the other, without a record between them. */
export function copyMoments(source: MomentColumns, from: number, target: MomentColumns, to: number): void {
  target.n[to] = source.n[from] as number
  target.mean[to] = source.mean[from] as number
  target.m2[to] = source.m2[from] as number
  target.min[to] = source.min[from] as number
  target.max[to] = source.max[from] as number
}
