import type { Palette } from './palette.ts'

/** Type size of text in figures, in pixels. */
export const SIZE = 12

interface TextProps {
  readonly x: number
  readonly y: number
  readonly children: string
  readonly palette: Palette
  readonly tone?: 'ink' | 'soft' | 'mark'
  readonly anchor?: 'start' | 'middle' | 'end'
  readonly size?: number
  readonly strong?: boolean
}

/** A line of text standing on the baseline y. */
export function Text({
  x,
  y,
  children,
  palette,
  tone = 'ink',
  anchor = 'start',
  size = SIZE,
  strong = false,
}: TextProps) {
  return (
    <text
      x={round(x)}
      y={round(y)}
      fill={palette[tone]}
      text-anchor={anchor}
      font-family={palette.font}
      font-size={size}
      font-weight={strong ? 600 : 400}
    >
      {children}
    </text>
  )
}

/** To hundredths of a pixel: enough for the eye, and files stay small. */
export function round(value: number): number {
  return Math.round(value * 100) / 100
}
