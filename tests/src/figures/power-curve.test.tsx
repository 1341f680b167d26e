import { render } from 'preact-render-to-string'
import { describe, expect, it } from 'vitest'
import { PAPER } from '../../../src/figures/palette.ts'
import { PowerCurve } from '../../../src/figures/power-curve.tsx'
import { byTag, overlaps, texts } from './drawn.ts'

const points = [92, 60, 27, 14, 6, 3, 1.4, 1.05].map((builds, i) => ({ shift: i * 0.004, builds }))

const curve = (width: number, chosen = points[3] ?? null) =>
  render(
    <PowerCurve
      points={points}
      chosen={chosen}
      reach={0.028}
      unit="mm"
      decimals={4}
      width={width}
      palette={PAPER}
      label="curve"
    />,
  )

describe('builds until a signal', () => {
  it.each([320, 560, 900])('keep their words apart at %i pixels', (width) => {
    for (const point of points) expect(overlaps(curve(width, point))).toEqual([])
  })

  it('name the chosen shift’s at its point', () => {
    expect(texts(curve(900))).toContain('14 builds')
    expect(byTag(curve(900, null), 'circle')).toHaveLength(0)
  })
})
