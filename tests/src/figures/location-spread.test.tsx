import fc from 'fast-check'
import { render } from 'preact-render-to-string'
import { describe, expect, it } from 'vitest'
import { nearerIndex } from '../../../src/capability/indices.ts'
import { LocationSpread } from '../../../src/figures/location-spread.tsx'
import {
  equalIndexLine,
  locationSpreadFrame,
  locationSpreadPoints,
} from '../../../src/figures/location-spread-model.ts'
import { PAPER } from '../../../src/figures/palette.ts'
import { characteristicTitle } from '../../../src/words/format.ts'
import { capabilityFixture } from '../../client/fixtures.ts'
import { byTag, overlaps, textBoxes, texts } from './drawn.ts'

const view = capabilityFixture()

describe('points in half tolerances', () => {
  it('leave out what has one limit only', () => {
    const points = locationSpreadPoints(view.rows)
    expect(points.map((point) => point.summary.characteristic.designator)).not.toContain('12')
    expect(points).toHaveLength(11)
  })

  it('give Ppk back: (1 − |offset|) / (3 sigma)', () => {
    for (const { summary, offset, sigma } of locationSpreadPoints(view.rows)) {
      expect((1 - Math.abs(offset)) / (3 * sigma)).toBeCloseTo(summary.ppk?.value ?? Number.NaN, 10)
    }
  })

  it('hold sigma inside its interval', () => {
    for (const { sigma, interval } of locationSpreadPoints(view.rows)) {
      expect(interval?.[0]).toBeLessThan(sigma)
      expect(interval?.[1]).toBeGreaterThan(sigma)
    }
  })
})

describe('lines of equal Ppk', () => {
  it('hold that index at both ends, by its definition', () => {
    const reach = fc.double({ min: 0.05, max: 5, noNaN: true })
    const positive = fc.double({ min: 0.01, max: 1, noNaN: true })
    fc.assert(
      fc.property(
        fc.double({ min: 0.3, max: 3, noNaN: true }),
        reach,
        positive,
        positive,
        (index, r, a, b) => {
          const frame = { reach: r, low: Math.min(a, b), top: Math.max(a, b) }
          const line = equalIndexLine(index, frame)
          for (const [offset, sigma] of line ?? []) {
            if (sigma < 1e-9) continue
            expect(nearerIndex({ lower: -1, upper: 1 }, offset, sigma)).toBeCloseTo(index, 6)
            expect(offset).toBeLessThanOrEqual(r)
            expect(sigma).toBeGreaterThanOrEqual(frame.low - 1e-9)
            expect(sigma).toBeLessThanOrEqual(frame.top + 1e-9)
          }
        },
      ),
    )
  })

  it('are absent where the frame holds none of them', () => {
    expect(equalIndexLine(10, { reach: 0.2, low: 0.1, top: 0.3 })).toBeNull()
  })
})

describe('the picture', () => {
  const draw = (width: number, required = 1.33) =>
    render(
      <LocationSpread
        rows={view.rows}
        required={required}
        width={width}
        height={420}
        palette={PAPER}
        label="capability"
      />,
    )

  it('shows every point inside its frame', () => {
    const points = locationSpreadPoints(view.rows)
    const { reach, low, top } = locationSpreadFrame(points, 1.33)
    for (const { offset, sigma, interval } of points) {
      expect(Math.abs(offset)).toBeLessThanOrEqual(reach)
      expect(sigma).toBeGreaterThan(low)
      expect(interval?.[1]).toBeLessThan(top)
    }
  })

  it('names the required line and every characteristic', () => {
    const words = texts(draw(560))
    expect(words).toContain('1.33')
    for (const { summary } of locationSpreadPoints(view.rows)) {
      expect(words).toContain(summary.characteristic.designator)
    }
  })

  it.each([320, 390, 560, 700])('keeps words inside at %i px', (width) => {
    for (const box of textBoxes(draw(width, 1.67))) {
      expect(box.x0).toBeGreaterThanOrEqual(-1)
      expect(box.x1).toBeLessThanOrEqual(width + 1)
    }
    expect(overlaps(draw(width))).toEqual([])
  })

  it('leads somewhere from every point where it is told to, and is an image otherwise', () => {
    const links = { hrefOf: (designator: string) => `/to/${designator}`, follow: () => undefined }
    const svg = render(
      <LocationSpread
        rows={view.rows}
        required={1.33}
        width={560}
        height={420}
        palette={PAPER}
        label="capability"
        links={links}
      />,
    )
    const points = locationSpreadPoints(view.rows)
    expect(byTag(svg, 'a').map(({ attributes }) => [attributes.href, attributes['aria-label']])).toEqual(
      points.map(({ summary: { characteristic } }) => [
        `/to/${characteristic.designator}`,
        characteristicTitle(characteristic),
      ]),
    )
    // What can be picked inside it keeps a role of "img" from being true.
    expect(byTag(svg, 'svg')[0]?.attributes.role).toBe('group')
    expect(byTag(draw(560), 'svg')[0]?.attributes.role).toBe('img')
    expect(byTag(draw(560), 'a')).toEqual([])
  })

  it('draws nothing wrong without a point', () => {
    const svg = render(
      <LocationSpread rows={[]} required={1.33} width={560} height={420} palette={PAPER} label="none" />,
    )
    expect(svg).not.toContain('NaN')
    expect(texts(svg)).toContain('1.33')
  })
})
