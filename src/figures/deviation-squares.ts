import { LEVELS, level, NOTCH_FROM } from './deviation-cells.ts'
import type { Palette } from './palette.ts'
import { round } from './text.tsx'

/** A rectangle coloured by a deviation, in pixels from its upper left corner. */
export interface DeviationSquare {
  readonly x: number
  readonly y: number
  readonly width: number
  readonly height: number
  /** In standard errors. */
  readonly deviation: number
}

export interface SquarePaths {
  /** One path for each colour step in use. */
  readonly levels: readonly { readonly level: number; readonly d: string }[]
  /** Notches at the top of squares far above and at the foot of squares far below zero, where there is room. */
  readonly notches: string
}

/** Least edge of a square that a notch is cut into. */
const NOTCH_ROOM = 8

/** The squares gathered by colour. */
export function squarePaths(squares: readonly DeviationSquare[]): SquarePaths {
  const byLevel = new Map<number, string>()
  let notches = ''
  for (const { x, y, width, height, deviation } of squares) {
    const step = level(deviation)
    const d = `M${round(x)} ${round(y)}h${round(width)}v${round(height)}h${round(-width)}z`
    byLevel.set(step, (byLevel.get(step) ?? '') + d)
    if (Math.abs(deviation) >= NOTCH_FROM && Math.min(width, height) >= NOTCH_ROOM) {
      const wide = round(Math.min(12, width * 0.45))
      const left = round(x + (width - wide) / 2)
      notches += `M${left} ${round(deviation > 0 ? y : y + height - 3)}h${wide}v3h${-wide}z`
    }
  }
  const levels = [...byLevel].map(([step, d]) => ({ level: step, d })).sort((a, b) => a.level - b.level)
  return { levels, notches }
}

/** Fill of a colour step on the ground of a figure. */
export function levelFill(
  step: number,
  palette: Palette,
): { readonly fill: string; readonly 'fill-opacity': number } {
  return step === 0
    ? { fill: palette.wash, 'fill-opacity': 1 }
    : { fill: step < 0 ? palette.under : palette.over, 'fill-opacity': Math.abs(step) / LEVELS }
}
