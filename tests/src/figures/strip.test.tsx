import { render } from 'preact-render-to-string'
import { describe, expect, it } from 'vitest'
import { laneModel } from '../../../src/figures/lane-model.ts'
import { PAPER, type Palette } from '../../../src/figures/palette.ts'
import { Strip } from '../../../src/figures/strip.tsx'
import { type RowOrder, rowAt, sortRows, stripLayout } from '../../../src/figures/strip-layout.ts'
import { timelineLayout } from '../../../src/figures/timeline-layout.ts'
import { driftFixture, MOVED_AT } from '../../client/fixtures.ts'
import { byTag, number, overlaps, textBoxes, texts } from './drawn.ts'

const view = driftFixture()
const { rows } = view.overview

/** Colours by name, so that what is drawn can be found again. */
const NAMED: Palette = { ...PAPER, under: 'under', over: 'over', wash: 'wash', paper: 'paper', ink: 'ink' }

function strip(
  width: number,
  patch: { order?: RowOrder; chosen?: string | null; from?: number; to?: number } = {},
) {
  const { order = 'axis', chosen = null, from = 0, to = 59 } = patch
  return render(
    <Strip
      rows={rows}
      order={order}
      layout={timelineLayout(width, from, to)}
      buildNames={view.builds.map((build) => build.name)}
      lanes={laneModel(view.builds, from, to)}
      chosen={chosen}
      band={{ from: MOVED_AT - 1, to: MOVED_AT, at: MOVED_AT, side: 'under' }}
      palette={NAMED}
      label="strip"
    />,
  )
}

describe('rows of the strip', () => {
  it('stand by axis, those without one last', () => {
    const order = sortRows(rows, 'axis').map((row) => row.characteristic.designator)
    expect(order).toEqual(['1', '4', '7', '2', '5', '8', '3', '6', '9', '10', '11', '12'])
  })

  it('stand by number as numbers, not as text', () => {
    const order = sortRows(rows, 'number').map((row) => row.characteristic.designator)
    expect(order).toEqual(['1', '2', '3', '4', '5', '6', '7', '8', '9', '10', '11', '12'])
  })

  it('stand with the most urgent first', () => {
    const urgencies = sortRows(rows, 'worst').map((row) => row.urgency)
    expect(urgencies).toEqual([...urgencies].sort((a, b) => b - a))
  })

  it('are found again by height', () => {
    const layout = stripLayout(rows, 'axis')
    for (const line of layout.lines) expect(rowAt(layout, line.y + 10)).toBe(line.row)
    expect(rowAt(layout, 0)).toBeNull()
    expect(rowAt(layout, layout.bottom + 1)).toBeNull()
  })
})

describe('the strip', () => {
  it('names every characteristic and states Ppk with its interval', () => {
    const words = texts(strip(1400))
    for (const row of rows) expect(words).toContain(row.characteristic.name)
    const ppk = rows[0]?.ppk
    expect(words).toContain(ppk?.value.toFixed(2))
    expect(words).toContain(`${ppk?.lower.toFixed(2)}–${ppk?.upper.toFixed(2)}`)
  })

  it('leaves Ppk out where there is no room for its interval', () => {
    expect(texts(strip(360)).some((text) => text.includes('–'))).toBe(false)
  })

  it('lines the lanes up with the cells to the pixel', () => {
    const { scale } = timelineLayout(1400, 0, 59)
    const lot = byTag(strip(1400), 'rect').find((rect) => rect.attributes.stroke === 'ink')
    expect(number(lot as never, 'x')).toBeCloseTo(scale.start(MOVED_AT), 2)
    expect(number(lot as never, 'x') + number(lot as never, 'width')).toBeCloseTo(scale.x1, 1)
  })

  it('frames the chosen row and no other', () => {
    const framed = (svg: string) =>
      byTag(svg, 'rect').filter((rect) => rect.attributes['stroke-width'] === '1.5')
    expect(framed(strip(1400))).toHaveLength(0)
    const [frame, ...others] = framed(strip(1400, { chosen: '9' }))
    expect(others).toHaveLength(0)
    const line = stripLayout(rows, 'axis').lines.find((each) => each.row.characteristic.designator === '9')
    expect(number(frame as never, 'y')).toBe((line?.y ?? 0) - 2)
  })

  it('paints what is small with the colour of under, as strong as its step', () => {
    const under = byTag(strip(1400), 'path').filter((path) => path.attributes.fill === 'under')
    expect(under.length).toBeGreaterThan(0)
    for (const path of under)
      expect(number(path, 'fill-opacity') * 8).toBeCloseTo(Math.round(number(path, 'fill-opacity') * 8))
  })

  it('shows only the builds in view', () => {
    const words = texts(strip(1400, { from: 30, to: 59 }))
    expect(words).toContain('0430')
    expect(words).not.toContain('0400')
  })

  it.each([360, 390, 600, 900, 1240, 1600])('keeps words apart and inside at %i px', (width) => {
    const svg = strip(width)
    expect(overlaps(svg)).toEqual([])
    for (const box of textBoxes(svg)) {
      expect(box.x0).toBeGreaterThanOrEqual(-1)
      expect(box.x1).toBeLessThanOrEqual(width + 1)
    }
  })
})
