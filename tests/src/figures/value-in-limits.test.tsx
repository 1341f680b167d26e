import { render } from 'preact-render-to-string'
import { describe, expect, it } from 'vitest'
import { LIGHT } from '../../../src/figures/palette.ts'
import { ValueInLimits, type ValueInLimitsProps } from '../../../src/figures/value-in-limits.tsx'
import { byTag, number } from './drawn.ts'

const props: ValueInLimitsProps = {
  value: 10,
  limits: { lower: 9.9, upper: 10.1 },
  expanded: null,
  among: { mean: 10, deviation: null },
  outside: false,
  width: 160,
  height: 26,
  palette: LIGHT,
}
const draw = (change: Partial<ValueInLimitsProps>) => render(<ValueInLimits {...props} {...change} />)
const dot = (svg: string) => number(byTag(svg, 'circle')[0] as never, 'cx')
const limits = (svg: string) =>
  byTag(svg, 'line')
    .filter(({ attributes }) => attributes.stroke === LIGHT.mark && attributes.x1 === attributes.x2)
    .map((line) => number(line, 'x1'))

describe('a value between its limits', () => {
  it('stands in the middle of them where it is the middle, and at a limit where it is one', () => {
    const [lower, upper] = limits(draw({})) as [number, number]
    expect(dot(draw({}))).toBeCloseTo((lower + upper) / 2, 1)
    expect(dot(draw({ value: 9.9 }))).toBeCloseTo(lower, 1)
    expect(dot(draw({ value: 10.1 }))).toBeCloseTo(upper, 1)
  })

  it('is drawn at the edge where it lies far beyond, in the colour of what is not met', () => {
    const svg = draw({ value: 1000, outside: true })
    expect(dot(svg)).toBe(152)
    expect(byTag(svg, 'circle')[0]?.attributes.fill).toBe(LIGHT.mark)
  })

  it('has its uncertainty to both sides, and two standard deviations of its build', () => {
    const svg = draw({ expanded: 0.05, among: { mean: 10, deviation: 0.05 } })
    const [lower, upper] = limits(svg) as [number, number]
    const spans = byTag(svg, 'line')
      .filter(({ attributes }) => attributes.x1 !== attributes.x2)
      .map((line) => number(line, 'x2') - number(line, 'x1'))
    expect(spans[0]).toBeCloseTo(upper - lower, 1)
    expect(spans[1]).toBeCloseTo((upper - lower) / 2, 1)
  })

  it('begins at zero where nothing can lie below, as with a flatness', () => {
    const svg = draw({
      value: 0,
      limits: { lower: null, upper: 0.06 },
      among: { mean: 0.01, deviation: 0.02 },
    })
    expect(limits(svg)).toHaveLength(1)
    const spread = byTag(svg, 'line').find(({ attributes }) => attributes.stroke === LIGHT.faint)
    expect(number(spread as never, 'x1')).toBeCloseTo(dot(svg), 1)
  })

  it('needs but one limit, above or below', () => {
    for (const one of [
      { lower: 9.9, upper: null },
      { lower: null, upper: -3 },
    ]) {
      const svg = draw({ limits: one })
      expect(limits(svg)).toHaveLength(1)
      expect(Number.isFinite(dot(svg))).toBe(true)
    }
  })
})
