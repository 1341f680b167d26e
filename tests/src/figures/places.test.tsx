import { render } from 'preact-render-to-string'
import { describe, expect, it } from 'vitest'
import {
  boxesOf,
  boxSquares,
  type FaceFrame,
  faceCells,
  partSquares,
} from '../../../src/figures/bed-layout.ts'
import { BedMap } from '../../../src/figures/bed-map.tsx'
import { PAPER } from '../../../src/figures/palette.ts'
import { groupVerdict, SplitChart } from '../../../src/figures/split-chart.tsx'
import { placesOn, TrayMap, trayRows } from '../../../src/figures/tray-map.tsx'
import type { BedModel, PlacedPart, Split, TrayCell } from '../../../src/places/model.ts'
import { byTag, overlaps, texts } from './drawn.ts'

const part = (x: number, y: number, z: number, deviation: number): PlacedPart => ({
  serial: `S${x}-${y}-${z}-${deviation}`,
  build: '0400',
  x,
  y,
  z,
  deviation,
})

const bed: BedModel = {
  x: [0, 200],
  y: [0, 100],
  z: [0, 60],
  parts: [part(10, 10, 10, 1), part(12, 14, 50, 3), part(150, 70, 10, -2), part(150, 70, 10, 0)],
  cells: [],
  step: [20, 20, 20],
}

const plan: FaceFrame = { face: 'plan', left: 0, top: 0, width: 400, height: 200, across: bed.x, up: bed.y }
const front: FaceFrame = { ...plan, face: 'front', height: 120, up: bed.z }

describe('the bed', () => {
  it('gathers parts into boxes by their lower corner', () => {
    expect(boxesOf(bed)).toEqual([
      { x: 0, y: 0, z: 0, n: 1, mean: 1 },
      { x: 0, y: 0, z: 40, n: 1, mean: 3 },
      { x: 140, y: 60, z: 0, n: 2, mean: -1 },
    ])
  })

  it('merges boxes that lie behind one another, weighted by their parts', () => {
    expect(faceCells(boxesOf(bed), 'plan')).toEqual([
      { x: 0, up: 0, n: 2, mean: 2 },
      { x: 140, up: 60, n: 2, mean: -1 },
    ])
  })

  it('colours a box by its mean in standard errors', () => {
    const [first] = boxSquares(bed, plan)
    expect(first?.deviation).toBeCloseTo(2 * Math.SQRT2, 12)
    // 20 mm at 2 pixels a millimetre, a pixel kept free; the bed's foot is at the bottom.
    expect(first).toMatchObject({ x: 0, y: 160, width: 39, height: 39 })
  })

  it('sets parts at the same place side by side, none over another', () => {
    for (const frame of [plan, front]) {
      const squares = partSquares(bed.parts ?? [], frame)
      expect(squares).toHaveLength(4)
      for (const [i, a] of squares.entries()) {
        for (const b of squares.slice(i + 1)) {
          const apart = Math.abs(a.x - b.x) >= a.width || Math.abs(a.y - b.y) >= a.height
          expect(apart).toBe(true)
        }
      }
    }
  })

  it.each([320, 700])('is drawn at %i pixels with words that keep apart', (width) => {
    for (const singly of [true, false]) {
      const svg = render(<BedMap bed={bed} singly={singly} width={width} palette={PAPER} label="bed" />)
      expect(overlaps(svg)).toEqual([])
      expect(texts(svg)).toContain('from above')
    }
  })
})

const tray = (furnace: string, name: string, place: string | null, n: number, mean: number): TrayCell => ({
  furnace,
  tray: name,
  place,
  n,
  mean,
})
const trays = [
  tray('F1', '1', '1', 2, 1),
  tray('F1', '1', '10', 6, -1),
  tray('F1', '2', '2', 3, 0.5),
  tray('F2', '1', null, 4, 0),
]

describe('trays', () => {
  it('sum up their places', () => {
    expect(trayRows(trays).map(({ furnace, tray: name, n, mean }) => [furnace, name, n, mean])).toEqual([
      ['F1', '1', 8, -0.5],
      ['F1', '2', 3, 0.5],
      ['F2', '1', 4, 0],
    ])
  })

  it('have places in natural order', () => {
    expect(placesOn(trays)).toEqual(['1', '2', '10'])
  })

  it.each([320, 700])('are drawn at %i pixels with words that keep apart', (width) => {
    const svg = render(<TrayMap trays={trays} width={width} palette={PAPER} label="trays" />)
    expect(overlaps(svg)).toEqual([])
  })
})

const splits: Split[] = [
  {
    by: 'tray',
    compares: 'parts',
    groups: [
      { name: 'tray 1 of furnace F1', n: 40, value: 0.001, lower: -0.001, upper: 0.003, surely: false },
      { name: 'tray 5 of furnace F1', n: 38, value: -0.004, lower: -0.006, upper: -0.002, surely: true },
    ],
  },
  {
    by: 'powder lot',
    compares: 'builds',
    groups: [{ name: 'K6', n: 12, value: null, lower: null, upper: null, surely: false }],
  },
]

describe('groups compared', () => {
  it('say in words how sure the difference is', () => {
    expect(splits.flatMap((split) => split.groups).map(groupVerdict)).toEqual([
      'not surely different',
      'surely small',
      'nothing to compare with',
    ])
  })

  it.each([320, 600, 1100])('are drawn at %i pixels with words that keep apart', (width) => {
    const svg = render(
      <SplitChart splits={splits} unit="mm" decimals={4} width={width} palette={PAPER} label="groups" />,
    )
    expect(overlaps(svg)).toEqual([])
    // One dot for each group that has a value.
    expect(byTag(svg, 'circle')).toHaveLength(2)
  })

  it('leave out the least clear of very many, and say so', () => {
    const groups = Array.from({ length: 30 }, (_, i) => ({
      name: `K${i}`,
      n: 3,
      value: i / 1000,
      lower: i / 1000 - 0.01,
      upper: i / 1000 + 0.01,
      surely: i > 10,
    }))
    const svg = render(
      <SplitChart
        splits={[{ by: 'powder lot', compares: 'builds', groups }]}
        unit="mm"
        decimals={4}
        width={900}
        palette={PAPER}
        label="groups"
      />,
    )
    expect(texts(svg)).toContain('and 6 others, none clearer')
    expect(texts(svg)).toContain('K29')
    expect(texts(svg)).not.toContain('K1')
  })
})
