import type { ComponentChildren } from 'preact'
import { useMemo } from 'preact/hooks'

/** What need not be drawn anew while builds are pointed at or moved: only when one of `from` changes. */
export function Still({ from, draw }: { from: readonly unknown[]; draw: () => ComponentChildren }) {
  return <>{useMemo(draw, [...from])}</>
}
