import type { OverviewRow } from '../overview/overview.ts'
import { formatNumber } from '../words/format.ts'
import { type BuildLabelPlace, buildLabels } from './build-scale.ts'
import { CLAMP, cellPaths, LEVELS } from './deviation-cells.ts'
import type { LaneModel } from './lane-model.ts'
import { Lanes, lanesHeight } from './lanes.tsx'
import { Band, type MovedBand } from './moved-band.tsx'
import type { Palette } from './palette.ts'
import { type RowOrder, type StripLine, stripLayout } from './strip-layout.ts'
import { round, SIZE, Text } from './text.tsx'
import { fitText, textWidth } from './text-width.ts'
import type { TimelineLayout } from './timeline-layout.ts'

const CELL = 18
const LANES_GAP = 14
/** Baseline of the names of builds. */
export const STRIP_NAMES_Y = 14

interface StripProps {
  readonly rows: readonly OverviewRow[]
  readonly order: RowOrder
  readonly layout: TimelineLayout
  /** Names of the builds of the whole timeline. */
  readonly buildNames: readonly string[]
  readonly lanes: LaneModel
  /** Designator of the framed row. */
  readonly chosen: string | null
  /** Where the chosen characteristic moved. */
  readonly band: MovedBand | null
  readonly palette: Palette
  /** What the figure shows, for those who cannot see it; null where the element around it says so. */
  readonly label: string | null
}

/** Every characteristic on the timeline of builds: how far each build's mean lay from its centre line. */
export function Strip(props: StripProps) {
  const { rows, order, layout, buildNames, lanes, chosen, band, palette, label } = props
  const { scale, width, room } = layout
  const strip = stripLayout(rows, order)
  const lanesTop = strip.bottom + LANES_GAP
  const height = lanesTop + lanesHeight(lanes, layout) + 4
  const named = band === null ? [] : [band.at]
  return (
    // biome-ignore lint/a11y/noSvgWithoutTitle: named by aria-label, or by the element around it
    <svg
      width={width}
      height={height}
      viewBox={`0 0 ${width} ${height}`}
      {...(label === null ? { 'aria-hidden': true } : { role: 'img', 'aria-label': label })}
    >
      {band !== null && <Band band={band} layout={layout} height={height} palette={palette} />}
      <BuildNames
        labels={buildLabels(scale, (p) => buildNames[p] ?? '', named, SIZE)}
        y={STRIP_NAMES_Y}
        palette={palette}
      />
      {room !== 'narrow' && <RightHeads rows={rows} layout={layout} palette={palette} />}
      <Cells lines={strip.lines} layout={layout} palette={palette} />
      {strip.lines.map((line) => (
        <Row
          key={line.row.characteristic.id}
          line={line}
          layout={layout}
          chosen={line.row.characteristic.designator === chosen}
          palette={palette}
        />
      ))}
      <Lanes model={lanes} layout={layout} y={lanesTop} band={band} palette={palette} />
    </svg>
  )
}

/** Names of builds along the scale. */
export function BuildNames({
  labels,
  y,
  palette,
}: {
  labels: readonly BuildLabelPlace[]
  y: number
  palette: Palette
}) {
  return (
    <g>
      {labels.map(({ position, x, text, strong }) => (
        <Text key={position} x={x} y={y} palette={palette} tone={strong ? 'ink' : 'soft'} strong={strong}>
          {text}
        </Text>
      ))}
    </g>
  )
}

function RightHeads({
  rows,
  layout,
  palette,
}: {
  rows: readonly OverviewRow[]
  layout: TimelineLayout
  palette: Palette
}) {
  const { scale, width, room } = layout
  const confidence = rows.find((row) => row.ppk !== null)?.ppk?.confidence
  if (confidence === undefined) return null
  return (
    <g>
      {room === 'full' && (
        <Text x={scale.x1 + 14} y={STRIP_NAMES_Y} palette={palette} tone="soft">
          spread in tolerance
        </Text>
      )}
      <Text x={width} y={STRIP_NAMES_Y} palette={palette} tone="soft" anchor="end">
        {`Ppk, ${Math.round(confidence * 1000) / 10} %`}
      </Text>
    </g>
  )
}

interface CellsProps {
  readonly lines: readonly StripLine[]
  readonly layout: TimelineLayout
  readonly palette: Palette
}

/** The cells of all rows, one path for each colour step: hundreds of elements fewer than by row. */
function Cells({ lines, layout, palette }: CellsProps) {
  const { scale } = layout
  const width = round(scale.x1 - scale.x0)
  const rows = lines.map(({ row, y }) => cellPaths(row.deviations, scale, y, CELL))
  const levels = new Map<number, string>()
  for (const row of rows)
    for (const { level, d } of row.levels) levels.set(level, (levels.get(level) ?? '') + d)
  const empty = rows.map((row) => row.empty).join('')
  const notches = rows.map((row) => row.notches).join('')
  return (
    <g>
      <path
        d={lines.map(({ y }) => `M${scale.x0} ${y}h${width}v${CELL}h${-width}z`).join('')}
        fill={palette.wash}
      />
      {[...levels]
        .filter(([level]) => level !== 0)
        .sort(([a], [b]) => a - b)
        .map(([level, d]) => (
          <path
            key={level}
            d={d}
            fill={level < 0 ? palette.under : palette.over}
            fill-opacity={Math.abs(level) / LEVELS}
          />
        ))}
      {empty !== '' && <path d={empty} fill={palette.paper} />}
      {notches !== '' && <path d={notches} fill={palette.paper} />}
    </g>
  )
}

interface RowProps {
  readonly line: StripLine
  readonly layout: TimelineLayout
  readonly chosen: boolean
  readonly palette: Palette
}

function Row({ line, layout, chosen, palette }: RowProps) {
  const { row, y, opens } = line
  const { scale, width, room } = layout
  const { designator, name } = row.characteristic
  const moved = row.worst !== null && row.worst.answer === null
  const baseline = y + 13
  const nameX = room === 'narrow' ? 26 : 52
  return (
    <g>
      {opens !== null && opens !== '' && room !== 'narrow' && (
        <Text x={0} y={baseline} palette={palette} tone="soft">
          {opens}
        </Text>
      )}
      <Text x={nameX - 8} y={baseline} palette={palette} tone="soft" anchor="end">
        {fitText(designator, SIZE, room === 'narrow' ? 20 : 30)}
      </Text>
      <Text x={nameX} y={baseline} palette={palette} strong={moved}>
        {name === designator ? '' : fitText(name, SIZE, scale.x0 - nameX - 10)}
      </Text>
      <path d={leftOutPath(row, layout, y + CELL / 2)} fill="none" stroke={palette.soft} />
      {room === 'full' && (
        <Spread row={row} x0={scale.x1 + 14} x1={width - 122} y={y + CELL / 2} palette={palette} />
      )}
      {room !== 'narrow' && <Ppk row={row} x={width} y={baseline} palette={palette} />}
      {chosen && (
        <rect
          x={round(scale.x0 - 3)}
          y={y - 2}
          width={round(scale.x1 - scale.x0 + 6)}
          height={CELL + 4}
          rx={3}
          fill="none"
          stroke={palette.ink}
          stroke-width={1.5}
        />
      )}
    </g>
  )
}

/** Open marks at builds that are left out as a whole. */
function leftOutPath({ leftOut, deviations }: OverviewRow, { scale }: TimelineLayout, y: number): string {
  const r = Math.max(1, Math.min(3, scale.step * 0.2))
  return leftOut
    .filter((at) => scale.inView(at) && (deviations[at] ?? null) === null)
    .map(
      (at) => `M${round(scale.centre(at) - r)} ${y}a${r} ${r} 0 1 0 ${2 * r} 0a${r} ${r} 0 1 0 ${-2 * r} 0`,
    )
    .join('')
}

/** Where mean ± three sigma lies in the tolerance zone: the track is the zone, the bar may leave it. */
function Spread({
  row,
  x0,
  x1,
  y,
  palette,
}: {
  row: OverviewRow
  x0: number
  x1: number
  y: number
  palette: Palette
}) {
  if (row.spread === null) return null
  const { from, mean, to } = row.spread
  const margin = (x1 - x0) * 0.12
  const x = (fraction: number) => Math.max(x0, Math.min(x1, x0 + margin + fraction * (x1 - x0 - 2 * margin)))
  const side = row.worst?.signal.panel === 'location' ? row.worst.signal.side : null
  const colour = side === 'below' ? palette.under : side === 'above' ? palette.over : palette.soft
  const outside = from < 0 || to > 1
  return (
    <g>
      <rect x={round(x(0))} y={y - 3} width={round(x(1) - x(0))} height={6} fill={palette.rule} />
      <line x1={round(x(from))} x2={round(x(to))} y1={y} y2={y} stroke={colour} stroke-width={4} />
      <line
        x1={round(x(mean))}
        x2={round(x(mean))}
        y1={y - 6}
        y2={y + 6}
        stroke={colour}
        stroke-width={1.5}
      />
      {outside && (
        <path
          d={`${from < 0 ? `M${round(x(0))} ${y - 5}v10` : ''}${to > 1 ? `M${round(x(1))} ${y - 5}v10` : ''}`}
          stroke={palette.mark}
          stroke-width={1.5}
          fill="none"
        />
      )}
    </g>
  )
}

function Ppk({ row, x, y, palette }: { row: OverviewRow; x: number; y: number; palette: Palette }) {
  const { ppk } = row
  if (ppk === null) {
    return (
      <Text x={x} y={y} palette={palette} tone="soft" anchor="end">
        –
      </Text>
    )
  }
  const interval = `${formatNumber(ppk.lower, 2)}–${formatNumber(ppk.upper, 2)}`
  return (
    <g>
      <Text
        x={x - textWidth(interval, SIZE) - 8}
        y={y}
        palette={palette}
        anchor="end"
        strong={row.worst !== null && row.worst.answer === null}
      >
        {formatNumber(ppk.value, 2)}
      </Text>
      <Text x={x} y={y} palette={palette} tone="soft" anchor="end">
        {interval}
      </Text>
    </g>
  )
}

const KEY_CELL = 9

/** The key to the colours, with the side in words; its width is fixed. */
export function DeviationKey({ palette }: { palette: Palette }) {
  const steps = Array.from({ length: 2 * LEVELS + 1 }, (_, i) => i - LEVELS)
  const left = 62
  const width = left + steps.length * KEY_CELL + 58
  return (
    <svg
      width={width}
      height={18}
      viewBox={`0 0 ${width} 18`}
      role="img"
      aria-label="Colour key: small to large"
    >
      <Text x={left - 6} y={13} palette={palette} tone="soft" anchor="end">{`small −${CLAMP}`}</Text>
      {steps.map((step, i) => (
        <g key={step}>
          <rect x={left + i * KEY_CELL} y={3} width={KEY_CELL - 1} height={12} fill={palette.wash} />
          <rect
            x={left + i * KEY_CELL}
            y={3}
            width={KEY_CELL - 1}
            height={12}
            fill={step < 0 ? palette.under : palette.over}
            fill-opacity={Math.abs(step) / LEVELS}
          />
        </g>
      ))}
      <Text
        x={left + steps.length * KEY_CELL + 5}
        y={13}
        palette={palette}
        tone="soft"
      >{`+${CLAMP} large`}</Text>
    </svg>
  )
}
