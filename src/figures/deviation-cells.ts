import { buildColumns, COLUMN, LEAST_STEP } from './build-columns.ts'
import type { BuildScale } from './build-scale.ts'
import { round } from './text.tsx'

/** Deviations are shown up to so many standard errors; beyond, the colour stays the same. */
export const CLAMP = 4
/** Steps of colour on each side, half a standard error wide. */
export const LEVELS = 8
/** From here on a notch at the edge of the cell says the side without colour. */
export const NOTCH_FROM = 3

/** Colour step of a deviation: 0 about the centre, ±1 to ±8 outwards, ±8 from 3.75 standard errors on. */
export function level(deviation: number): number {
  const clamped = Math.max(-CLAMP, Math.min(CLAMP, deviation))
  return Math.round((clamped / CLAMP) * LEVELS) + 0
}

export interface CellPaths {
  /** One path for each colour step in use. */
  readonly levels: readonly { readonly level: number; readonly d: string }[]
  /** Notches at the top of cells far above and at the foot of cells far below the centre. */
  readonly notches: string
  /** Builds without a value. */
  readonly empty: string
}

/** The cells of one row of the strip, gathered by colour: a few paths instead of hundreds of rectangles. */
export function cellPaths(
  deviations: readonly (number | null)[],
  scale: BuildScale,
  y: number,
  height: number,
): CellPaths {
  if (scale.step < LEAST_STEP) return columnPaths(deviations, scale, y, height)
  const gap = scale.step >= 6 ? 1 : 0
  const width = scale.step - gap
  const byLevel = new Map<number, string>()
  let notches = ''
  let empty = ''
  for (let position = scale.from; position <= scale.to; position++) {
    const x = round(scale.start(position))
    const cell = `M${x} ${y}h${round(width)}v${height}h${round(-width)}z`
    const deviation = deviations[position] ?? null
    if (deviation === null) {
      empty += cell
      continue
    }
    const step = level(deviation)
    byLevel.set(step, (byLevel.get(step) ?? '') + cell)
    if (Math.abs(deviation) >= NOTCH_FROM) {
      const wide = round(Math.min(width, Math.max(1.5, width * 0.45)))
      const left = round(x + (width - wide) / 2)
      notches += `M${left} ${deviation > 0 ? y : y + height - 3}h${wide}v3h${-wide}z`
    }
  }
  const levels = [...byLevel].map(([step, d]) => ({ level: step, d })).sort((a, b) => a.level - b.level)
  return { levels, notches, empty }
}

/** As `cellPaths`, a column for several builds: coloured by their mean, notched where any of them is far out. */
function columnPaths(
  deviations: readonly (number | null)[],
  scale: BuildScale,
  y: number,
  height: number,
): CellPaths {
  const byLevel = new Map<number, string>()
  let notches = ''
  const columns = buildColumns(
    deviations.length,
    (position) => position,
    (position) => deviations[position],
    scale,
  )
  for (const { x, mean, min, max } of columns) {
    const left = round(x)
    const step = level(mean)
    byLevel.set(step, `${byLevel.get(step) ?? ''}M${left} ${y}h${COLUMN}v${height}h${-COLUMN}z`)
    if (max >= NOTCH_FROM) notches += `M${left} ${y}h${COLUMN}v3h${-COLUMN}z`
    if (min <= -NOTCH_FROM) notches += `M${left} ${y + height - 3}h${COLUMN}v3h${-COLUMN}z`
  }
  const levels = [...byLevel].map(([step, d]) => ({ level: step, d })).sort((a, b) => a.level - b.level)
  return { levels, notches, empty: '' }
}
