import type { TrayCell } from '../places/model.ts'
import { formatSigned } from '../words/format.ts'
import type { DeviationSquare } from './deviation-squares.ts'
import type { Palette } from './palette.ts'
import { Squares } from './squares.tsx'
import { SIZE, Text } from './text.tsx'
import { fitText, textWidth } from './text-width.ts'

interface TrayMapProps {
  readonly trays: readonly TrayCell[]
  readonly width: number
  readonly palette: Palette
  readonly label: string
}

/** One tray of one furnace: its places and all of it. */
export interface TrayRow {
  readonly furnace: string | null
  readonly tray: string
  readonly n: number
  readonly mean: number
  readonly cells: ReadonlyMap<string, TrayCell>
}

const ROW = 22
const CELL = 18
const HEAD = 24
const GROUP_GAP = 12

/** Trays with their places, in the order of the cells. */
export function trayRows(trays: readonly TrayCell[]): TrayRow[] {
  const rows = new Map<
    string,
    { furnace: string | null; tray: string; n: number; sum: number; cells: Map<string, TrayCell> }
  >()
  for (const cell of trays) {
    const key = JSON.stringify([cell.furnace, cell.tray])
    const row = rows.get(key) ?? { furnace: cell.furnace, tray: cell.tray, n: 0, sum: 0, cells: new Map() }
    row.n += cell.n
    row.sum += cell.n * cell.mean
    if (cell.place !== null) row.cells.set(cell.place, cell)
    rows.set(key, row)
  }
  return [...rows.values()].map(({ sum, ...row }) => ({ ...row, mean: sum / row.n }))
}

/** Places on a tray in natural order. */
export function placesOn(trays: readonly TrayCell[]): string[] {
  return [...new Set(trays.map((cell) => cell.place).filter((place) => place !== null))].sort((a, b) =>
    a.localeCompare(b, 'en', { numeric: true }),
  )
}

/** Trays of every furnace, their places coloured by how far the parts there lay from the parts of their load. */
export function TrayMap({ trays, width, palette, label }: TrayMapProps) {
  const rows = trayRows(trays)
  const places = placesOn(trays)
  const narrow = width < 480
  const left = narrow ? 66 : 120
  const right = narrow ? 56 : 96
  const whole = narrow ? 18 : 30
  const step = places.length === 0 ? 0 : Math.min(30, (width - left - right - whole - 8) / places.length)
  const wholeX = left + places.length * step + (places.length === 0 ? 0 : 8)
  const squares: DeviationSquare[] = []
  const names: { y: number; row: TrayRow; opens: boolean }[] = []
  let y = HEAD
  let furnace: string | null | undefined
  for (const row of rows) {
    const opens = row.furnace !== furnace
    if (opens && names.length > 0) y += GROUP_GAP
    furnace = row.furnace
    names.push({ y, row, opens })
    for (const [i, place] of places.entries()) {
      const cell = row.cells.get(place)
      if (cell === undefined) continue
      squares.push({
        x: left + i * step,
        y,
        width: step - 1,
        height: CELL,
        deviation: cell.mean * Math.sqrt(cell.n),
      })
    }
    squares.push({ x: wholeX, y, width: whole, height: CELL, deviation: row.mean * Math.sqrt(row.n) })
    y += ROW
  }
  const height = y + 4
  const every = Math.max(
    1,
    Math.ceil((Math.max(0, ...places.map((p) => textWidth(p, SIZE))) + 4) / Math.max(1, step)),
  )
  return (
    <svg width={width} height={height} viewBox={`0 0 ${width} ${height}`} role="img" aria-label={label}>
      {places.map((place, i) =>
        i % every === 0 ? (
          <Text key={place} x={left + (i + 0.5) * step} y={14} palette={palette} tone="soft" anchor="middle">
            {place}
          </Text>
        ) : null,
      )}
      <Text x={wholeX + whole + 8} y={14} palette={palette} tone="soft">
        {narrow ? 'mean' : 'mean, parts'}
      </Text>
      <Squares squares={squares} palette={palette} />
      {names.map(({ y: top, row, opens }) => (
        <g key={`${row.furnace} ${row.tray}`}>
          {opens && row.furnace !== null && !narrow && (
            <Text x={0} y={top + 13} palette={palette} tone="soft">
              {fitText(row.furnace, SIZE, 50)}
            </Text>
          )}
          <Text x={left - 10} y={top + 13} palette={palette} anchor="end">
            {fitText(
              narrow && row.furnace !== null ? `${row.furnace}, ${row.tray}` : `tray ${row.tray}`,
              SIZE,
              left - 12,
            )}
          </Text>
          <Text x={wholeX + whole + 8} y={top + 13} palette={palette} tone="soft">
            {narrow ? formatSigned(row.mean, 2) : `${formatSigned(row.mean, 2)}, ${row.n}`}
          </Text>
        </g>
      ))}
    </svg>
  )
}
