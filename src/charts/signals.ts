import type { PanelId, Signal } from './model.ts'
import { patternBreaches } from './patterns.ts'
import { isPatternTest, type SignalTest, type ZoneTest } from './tests.ts'

/**
 * Breaches of one test on one side.
 *
 * A breach stands where a point lies beyond the line and completes `needed` of the last `of`; the points that
 * make it up are those of the window that lie beyond. Breaches whose points touch or overlap are one: a run of
 * nineteen is one signal, not twelve.
 *
 * @param z values in sigmas from the centre, in order, skipped points left out
 * @param sign 1 for above the centre, −1 for below
 * @returns for each breach the positions in `z`, ascending
 */
export function breaches(z: ArrayLike<number>, test: ZoneTest, sign: 1 | -1): number[][] {
  const { needed, of, beyond } = test
  const found: number[][] = []
  let open: number[] | null = null
  let count = 0
  for (let i = 0; i < z.length; i++) {
    const leaving = i - of
    if (leaving >= 0 && sign * (z[leaving] as number) > beyond) count--
    if (!(sign * (z[i] as number) > beyond)) continue
    count++
    if (count < needed) continue
    const last: number = open === null ? Number.NEGATIVE_INFINITY : (open[open.length - 1] as number)
    const first = firstBeyond(z, Math.max(0, i - of + 1), sign, beyond)
    if (open === null || first > last + 1) {
      open = []
      found.push(open)
    }
    for (let j = Math.max(first, last + 1); j <= i; j++) {
      if (sign * (z[j] as number) > beyond) open.push(j)
    }
  }
  return found
}

function firstBeyond(z: ArrayLike<number>, from: number, sign: 1 | -1, beyond: number): number {
  let i = from
  while (!(sign * (z[i] as number) > beyond)) i++
  return i
}

/**
 * All signals of one panel inside one phase.
 *
 * @param positions indices of the subgroups, parallel to `z`
 * @param z standardised values of those subgroups
 */
export function signalsOfPanel(
  panel: PanelId,
  positions: ArrayLike<number>,
  z: ArrayLike<number>,
  tests: readonly SignalTest[],
): Signal[] {
  return tests
    .filter((test) => test.panels.includes(panel))
    .flatMap((test) =>
      breachesOnBothSides(z, test).map(({ side, points }) => ({
        panel,
        test: test.id,
        side,
        points: points.map((i) => positions[i] as number),
      })),
    )
}

function breachesOnBothSides(
  z: ArrayLike<number>,
  test: SignalTest,
): readonly Pick<Signal, 'side' | 'points'>[] {
  if (isPatternTest(test)) return patternBreaches(z, test)
  return [
    ...breaches(z, test, 1).map((points) => ({ side: 'above' as const, points })),
    ...breaches(z, test, -1).map((points) => ({ side: 'below' as const, points })),
  ]
}
