import { render } from 'preact-render-to-string'
import { describe, expect, it } from 'vitest'
import { IndexAxis, IndexMark, indexScale } from '../../../src/figures/index-mark.tsx'
import { PAPER } from '../../../src/figures/palette.ts'
import { byTag, number, overlaps, texts } from './drawn.ts'

const ppk = { value: 1.4, lower: 1.2, upper: 1.6, confidence: 0.95 }
const scale = indexScale([ppk, { ...ppk, value: 9, upper: 10 }], 1.33, 200)

const mark = (estimate: typeof ppk | null, verdict: 'holds' | 'does not' | 'not yet sure' | null) =>
  render(
    <IndexMark
      estimate={estimate}
      verdict={verdict}
      required={1.33}
      scale={scale}
      height={36}
      palette={PAPER}
    />,
  )

describe('an index against the required line', () => {
  it('has its interval and itself on the one scale', () => {
    const svg = mark(ppk, 'not yet sure')
    const [required, interval] = byTag(svg, 'line')
    expect(number(required as never, 'x1')).toBeCloseTo(scale.x(1.33), 2)
    expect(number(interval as never, 'x1')).toBeCloseTo(scale.x(1.2), 2)
    expect(number(interval as never, 'x2')).toBeCloseTo(scale.x(1.6), 2)
    expect(number(byTag(svg, 'circle')[0] as never, 'cx')).toBeCloseTo(scale.x(1.4), 2)
  })

  it('tells the verdicts apart by shape: filled, open, diamond', () => {
    expect(byTag(mark(ppk, 'holds'), 'circle')[0]?.attributes.fill).toBe(PAPER.soft)
    expect(byTag(mark(ppk, 'not yet sure'), 'circle')[0]?.attributes.fill).toBe(PAPER.paper)
    expect(byTag(mark(ppk, 'does not'), 'circle')).toHaveLength(0)
    expect(byTag(mark(ppk, 'does not'), 'path')).toHaveLength(1)
  })

  it('draws the line alone where there is no index', () => {
    const svg = mark(null, null)
    expect(byTag(svg, 'line')).toHaveLength(1)
    expect(byTag(svg, 'circle')).toHaveLength(0)
  })

  it('points outwards where the index lies beyond the scale', () => {
    expect(byTag(mark({ ...ppk, value: 9, lower: 8, upper: 10 }, 'holds'), 'path')).toHaveLength(1)
    expect(byTag(mark(ppk, 'holds'), 'path')).toHaveLength(0)
  })

  it('names the required index on the axis, apart from the ticks', () => {
    const svg = render(<IndexAxis scale={scale} required={1.33} palette={PAPER} />)
    expect(texts(svg)).toContain('1.33')
    expect(overlaps(svg)).toEqual([])
  })
})
