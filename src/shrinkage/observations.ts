import type { ScaleFactors } from '../domain/build.ts'
import type { Cell } from '../domain/cell.ts'
import type { Axis } from '../domain/characteristic.ts'
import type { ShrinkageProblem } from './problem.ts'
import { AXES, millimetres, type PerAxis, type SizeTerms } from './terms.ts'

/** A build of the timeline with the factors that it was enlarged by. */
export interface PrintedBuild {
  readonly id: number
  readonly name: string
  readonly scale: ScaleFactors
}

/** What shrinkage is fitted to. */
export interface ShrinkageData {
  readonly terms: readonly SizeTerms[]
  /** Cells of these characteristics, all stages, in any order. */
  readonly cells: readonly Cell[]
  /** The timeline. */
  readonly builds: readonly PrintedBuild[]
}

/** The mean of one cell as the model sees it. Lengths in mm. */
export interface Observation {
  readonly terms: SizeTerms
  /** Position of the build on the timeline. */
  readonly build: number
  /** Furnace load; null where not recorded. */
  readonly load: number | null
  readonly n: number
  readonly mean: number
  /** Sum of squared deviations from the mean, mm². */
  readonly m2: number
  readonly min: number
  readonly max: number
  /** Green size along each axis times the axis's share; 0 for axes that do not take part. */
  readonly green: PerAxis<number>
  /** Sense of the offset; 0 where the green size was measured and holds it already. */
  readonly sense: number
  /** True for the mean of green parts less their size from nominal and factor: it shows the offset alone. */
  readonly isGreen: boolean
}

/** A scale factor that a print can have. */
const FACTOR_RANGE = { least: 1, most: 1.6 } as const

/**
 * Sorts cells into observations and names what cannot be used. Finished parts are machined and do not count.
 */
export function observe({ terms, cells, builds }: ShrinkageData): {
  readonly observations: Observation[]
  readonly problems: ShrinkageProblem[]
} {
  const problems: ShrinkageProblem[] = []
  const followed = new Map<number, SizeTerms>()
  for (const item of terms) {
    const { nominal, id } = item.characteristic
    if (nominal !== null && nominal > 0) followed.set(id, item)
    else problems.push({ kind: 'no-nominal', characteristicId: id })
  }
  const place = new Map(builds.map((build, i) => [build.id, i]))
  const measured = cells.filter(
    (cell) => cell.stage !== 'finished' && followed.has(cell.characteristicId) && place.has(cell.buildId),
  )
  const factors = builds.map(({ scale }) => AXES.map((_, a) => usableFactor(factorAt(scale, a))))
  const draft: Observation[] = []
  const greenMeans = new Map<string, Cell>()
  const key = (cell: Cell) => `${cell.characteristicId} ${cell.buildId}`
  for (const cell of measured) {
    if (cell.stage !== 'green') continue
    const known = greenMeans.get(key(cell))
    if (known === undefined || cell.n > known.n) greenMeans.set(key(cell), cell)
  }

  const lacking = new Map<string, { build: number; axis: Axis; greenUsed: boolean }>()
  for (const cell of measured) {
    const item = followed.get(cell.characteristicId) as SizeTerms
    const build = place.get(cell.buildId) as number
    const unit = millimetres(item.characteristic)
    const common = {
      terms: item,
      build,
      load: cell.furnaceLoadId,
      n: cell.n,
      mean: cell.mean * unit,
      m2: cell.m2 * unit * unit,
      min: cell.min * unit,
      max: cell.max * unit,
      isGreen: cell.stage === 'green',
    }
    const usable = factors[build] as (number | null)[]
    if (AXES.every((axis, a) => item.weights[axis] === 0 || usable[a] !== null)) {
      const nominal = (item.characteristic.nominal as number) * unit
      const green = perAxis((axis, a) =>
        item.weights[axis] === 0 ? 0 : item.weights[axis] * nominal * (usable[a] as number),
      )
      draft.push({ ...common, green, sense: item.sense })
      continue
    }
    const missing = AXES.filter((axis, a) => item.weights[axis] !== 0 && usable[a] === null)
    const greenCell = greenMeans.get(key(cell))
    const stands = greenCell !== undefined && cell.stage === 'sintered'
    for (const axis of missing) {
      const name = `${build} ${axis}`
      lacking.set(name, { build, axis, greenUsed: (lacking.get(name)?.greenUsed ?? false) || stands })
    }
    if (stands) {
      const size = greenCell.mean * unit
      draft.push({ ...common, green: perAxis((axis) => item.weights[axis] * size), sense: 0 })
    }
  }
  for (const { build, axis, greenUsed } of lacking.values()) {
    const { id, scale } = builds[build] as PrintedBuild
    const factor = factorAt(scale, AXES.indexOf(axis))
    problems.push(
      factor === null
        ? { kind: 'factor-missing', buildId: id, axis, greenUsed }
        : { kind: 'factor-impossible', buildId: id, axis, factor, meant: meantFactor(factor) },
    )
  }
  const mixed = findMixedStages(draft)
  for (const [observation, extent] of mixed) {
    problems.push({
      kind: 'stage-mixed',
      characteristicId: observation.terms.characteristic.id,
      buildId: (builds[observation.build] as PrintedBuild).id,
      stage: observation.isGreen ? 'green' : 'sintered',
      extent,
    })
  }
  return { observations: draft.filter((observation) => !mixed.has(observation)), problems }
}

export function perAxis<T>(of: (axis: Axis, index: number) => T): PerAxis<T> {
  return { X: of('X', 0), Y: of('Y', 1), Z: of('Z', 2) }
}

export function factorAt({ x, y, z }: ScaleFactors, axis: number): number | null {
  return [x, y, z][axis] ?? null
}

export function usableFactor(factor: number | null): number | null {
  return factor !== null && factor >= FACTOR_RANGE.least && factor <= FACTOR_RANGE.most ? factor : null
}

/** The factor that a mistyped one looks like: 118 % or 18 % for 1.18, 0.18 for the excess over 1. */
function meantFactor(factor: number): number | null {
  const digits = (value: number) => Number(value.toPrecision(12))
  for (const candidate of [factor / 100, 1 + factor / 100, 1 + factor, factor / 1000, factor / 10_000]) {
    if (factor > 0 && usableFactor(candidate) !== null && candidate > 1.05) return digits(candidate)
  }
  return null
}

/** The least shrinkage at which green and sintered parts are told apart by size. */
const LEAST_SHRINKAGE = 0.04

/**
 * Cells whose sizes belong to another stage: sintered parts are smaller than green ones by all the shrinkage, far more
 * than any other cause moves them. The median over all cells says how small sintered parts are.
 */
function findMixedStages(draft: readonly Observation[]): Map<Observation, 'all' | 'some'> {
  const ratio = (o: Observation, size: number) => size / (o.green.X + o.green.Y + o.green.Z)
  const sintered = draft.filter((o) => !o.isGreen).map((o) => ratio(o, o.mean))
  const small = median(sintered)
  const mixed = new Map<Observation, 'all' | 'some'>()
  if (small === null) return mixed
  const isGreenSize = (r: number) => r > (1 + small) / 2
  if (1 - small < LEAST_SHRINKAGE) {
    for (const o of draft) if (!o.isGreen) mixed.set(o, 'all')
    return mixed
  }
  for (const o of draft) {
    const low = isGreenSize(ratio(o, o.min))
    const high = isGreenSize(ratio(o, o.max))
    if (low !== high) mixed.set(o, 'some')
    else if (low !== o.isGreen) mixed.set(o, 'all')
  }
  return mixed
}

export function median(values: readonly number[]): number | null {
  if (values.length === 0) return null
  const sorted = Float64Array.from(values).sort()
  const middle = sorted.length / 2
  return ((sorted[Math.ceil(middle) - 1] as number) + (sorted[Math.floor(middle)] as number)) / 2
}
