import { describe, expect, it } from 'vitest'
import { averageOnScale } from '../../../src/charts/average-on-scale.ts'
import { ewmaChart } from '../../../src/charts/ewma.ts'
import type { Panel } from '../../../src/charts/model.ts'
import type { SlowChart } from '../../../src/charts/slow-change.ts'

describe('a running average on the scale of its points', () => {
  const points = [10.2, 9.9, 10.4, 10.1]
  const [centre, sigma] = [10, 0.1]
  const panel = {
    centre: points.map(() => centre),
    sigma: points.map(() => sigma),
  } as unknown as Panel
  const settings = { weight: 0.2, multiplier: 2.86 }
  const standardised = ewmaChart(
    points.map((point) => (point - centre) / sigma),
    points.map(() => 1),
    0,
    settings,
  )
  const slow = (change: Partial<SlowChart> = {}): SlowChart => ({
    above: [...standardised.values],
    below: null,
    upper: [...standardised.upper],
    lower: [...standardised.lower],
    signals: [],
    multiplier: 2.86,
    ...change,
  })

  it('is the average of the points themselves where their errors are equal', () => {
    const { values, lower, upper } = averageOnScale(panel, slow())
    // By hand: 10 + 0.2·0.2 = 10.04; 0.2·9.9 + 0.8·10.04 = 10.012; 0.2·10.4 + 0.8·10.012 = 10.0896; …
    for (const [i, expected] of [10.04, 10.012, 10.0896, 10.09168].entries()) {
      expect(values[i]).toBeCloseTo(expected, 12)
    }
    const direct = ewmaChart(
      points,
      points.map(() => sigma),
      centre,
      settings,
    )
    for (const i of points.keys()) {
      expect(values[i]).toBeCloseTo(direct.values[i] as number, 12)
      expect(lower[i]).toBeCloseTo(direct.lower[i] as number, 12)
      expect(upper[i]).toBeCloseTo(direct.upper[i] as number, 12)
    }
  })

  it('is absent where a point is left out', () => {
    const above = [...standardised.values] as (number | null)[]
    above[1] = null
    expect(averageOnScale(panel, slow({ above })).values[1]).toBeNull()
  })
})
