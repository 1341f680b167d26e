import { render } from 'preact-render-to-string'
import { describe, expect, it } from 'vitest'
import type { IndexCourse } from '../../../src/capability/index-course.ts'
import { plotBand } from '../../../src/capability/plot-band.ts'
import { binnedValues } from '../../../src/description/binned-values.ts'
import { normalQuantile } from '../../../src/distributions/normal.ts'
import { IndexCourseFigure } from '../../../src/figures/index-course-figure.tsx'
import { PAPER } from '../../../src/figures/palette.ts'
import { ProbabilityPlot } from '../../../src/figures/probability-plot.tsx'
import { timelineLayout } from '../../../src/figures/timeline-layout.ts'
import { byTag, number, overlaps, textBoxes, texts } from './drawn.ts'

const names = Array.from({ length: 60 }, (_, i) => String(400 + i).padStart(4, '0'))

function courseOf(value: (i: number) => number | null): IndexCourse {
  return {
    window: 25,
    step: 1,
    points: Array.from({ length: 36 }, (_, i) => {
      const index = value(i)
      return {
        from: i,
        to: i + 24,
        n: 300,
        fittedTo: null,
        index:
          index === null ? null : { value: index, lower: index - 0.2, upper: index + 0.25, confidence: 0.95 },
      }
    }),
  }
}

const drawCourse = (course: IndexCourse, width: number) =>
  render(
    <IndexCourseFigure
      course={course}
      requirement={{ index: 'Ppk', value: 1.33, confidence: 0.95, class: null }}
      positions={names.map((_, i) => i)}
      layout={timelineLayout(width, 0, 59)}
      buildNames={names}
      palette={PAPER}
      label="course"
    />,
  )

describe('the index over time', () => {
  it.each([320, 390, 700, 1400])('keeps its words apart and inside at %i px', (width) => {
    const svg = drawCourse(
      courseOf((i) => 1.3 + i / 60),
      width,
    )
    expect(overlaps(svg)).toEqual([])
    for (const { x0, x1 } of textBoxes(svg)) {
      expect(x0).toBeGreaterThanOrEqual(-1)
      expect(x1).toBeLessThanOrEqual(width + 1)
    }
  })

  it('draws a point where its window ends, and none where there is no index', () => {
    const svg = drawCourse(
      courseOf((i) => (i === 10 ? null : 1.5)),
      1400,
    )
    const { scale } = timelineLayout(1400, 0, 59)
    const points = byTag(svg, 'circle')
    expect(points).toHaveLength(35)
    expect(number(points[0] as (typeof points)[number], 'cx')).toBeCloseTo(scale.centre(24), 1)
    // Band and line are broken there.
    expect(byTag(svg, 'path')).toHaveLength(4)
  })

  it('names what is asked and the last index with its ends', () => {
    const words = texts(
      drawCourse(
        courseOf(() => 1.5),
        1400,
      ),
    )
    expect(words).toEqual(expect.arrayContaining(['Ppk asked', '1.33', '1.50', '1.30', '1.75']))
  })

  it('draws nothing wrong without a single index', () => {
    expect(
      drawCourse(
        courseOf(() => null),
        700,
      ),
    ).not.toContain('NaN')
  })
})

describe('the probability plot', () => {
  const values = binnedValues(
    Float64Array.from({ length: 99 }, (_, i) => 10 + 0.02 * normalQuantile((i + 0.5) / 99)),
    0.001,
  )
  const normal = { family: 'normal', mean: 10, sigma: 0.02 } as const
  const draw = (nEffective: number, width: number) =>
    render(
      <ProbabilityPlot
        values={values}
        distribution={normal}
        band={plotBand(normal, 99, nEffective, 0.95)}
        limits={{ lower: 9.9, upper: 10.1 }}
        decimals={1}
        unit="mm"
        width={width}
        height={260}
        palette={PAPER}
        label="plot"
      />,
    )

  it('draws its band behind the points, inside the figure', () => {
    for (const nEffective of [99, 4]) {
      const band = byTag(draw(nEffective, 390), 'path')[0]
      expect(band?.attributes.fill).toBe(PAPER.wash)
      const places = [...(band?.attributes.d ?? '').matchAll(/[ML]([-\d.]+),([-\d.]+)/g)]
      expect(places).toHaveLength(122)
      for (const [, x] of places) {
        expect(Number(x)).toBeGreaterThanOrEqual(46)
        expect(Number(x)).toBeLessThanOrEqual(386)
      }
    }
  })

  it.each([320, 390, 700])('keeps its words apart at %i px', (width) => {
    expect(overlaps(draw(50, width))).toEqual([])
  })
})
