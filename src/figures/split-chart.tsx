import { scaleLinear } from 'd3'
import type { Split, SplitGroup } from '../places/model.ts'
import { capitalise, formatNumber, formatSigned } from '../words/format.ts'
import type { Palette } from './palette.ts'
import { round, SIZE, Text } from './text.tsx'
import { fitText, wrapText } from './text-width.ts'

interface SplitChartProps {
  readonly splits: readonly Split[]
  readonly unit: string
  readonly decimals: number
  readonly width: number
  readonly palette: Palette
  readonly label: string
}

const ROW = 20
const HEAD = 30
const GAP = 14
/** Groups of one split that are drawn; the table has them all. */
const MOST_ROWS = 24

/** How sure it is that a group differs, in words. */
export function groupVerdict({ value, surely }: SplitGroup): string {
  if (value === null) return 'nothing to compare with'
  if (!surely) return 'not surely different'
  return value < 0 ? 'surely small' : 'surely large'
}

/** What is compared in a split. */
function splitTitle({ by, compares }: Split): string {
  const what =
    by === 'tray'
      ? 'against the trays of the same load'
      : compares === 'parts'
        ? 'parts against the parts of the same build'
        : 'builds against builds'
  return `${capitalise(by)}: ${what}`
}

/** The groups that are drawn, in their order: the clearest where there are too many. */
function shown(groups: readonly SplitGroup[]): readonly SplitGroup[] {
  if (groups.length <= MOST_ROWS) return groups
  const clear = (group: SplitGroup) =>
    group.value === null || group.upper === null
      ? 0
      : Math.abs(group.value) / (group.upper - group.value || 1)
  const best = new Set([...groups].sort((a, b) => clear(b) - clear(a)).slice(0, MOST_ROWS))
  return groups.filter((group) => best.has(group))
}

/** Mean of every group against the others, with its interval. */
export function SplitChart({ splits, unit, decimals, width, palette, label }: SplitChartProps) {
  const narrow = width < 560
  const left = narrow ? 104 : 190
  const right = narrow ? 78 : 250
  const drawn = splits.map((split) => ({ split, groups: shown(split.groups) }))
  const ends = drawn.flatMap(({ groups }) => groups.flatMap(({ lower, upper }) => [lower ?? 0, upper ?? 0]))
  const reach = Math.max(...ends.map(Math.abs), Number.MIN_VALUE)
  const x = scaleLinear([-reach, reach], [left + 6, width - right - 6])
  let y = 24
  const blocks = drawn.map(({ split, groups }) => {
    const title = wrapText(splitTitle(split), SIZE, width)
    const top = y
    y +=
      HEAD +
      (title.length - 1) * 16 +
      groups.length * ROW +
      (groups.length < split.groups.length ? ROW : 0) +
      GAP
    return { split, groups, title, top }
  })
  const height = y
  const ticks = x.ticks(Math.max(2, Math.min(5, (width - left - right) / 100)))
  return (
    <svg width={width} height={height} viewBox={`0 0 ${width} ${height}`} role="img" aria-label={label}>
      {ticks.map((tick) => (
        <g key={tick}>
          <line
            x1={round(x(tick))}
            x2={round(x(tick))}
            y1={20}
            y2={height - GAP}
            stroke={tick === 0 ? palette.faint : palette.rule}
          />
          <Text x={x(tick)} y={14} palette={palette} tone="soft" anchor="middle">
            {tick === 0 ? '0' : formatSigned(tick, decimals)}
          </Text>
        </g>
      ))}
      <Text x={0} y={14} palette={palette} tone="soft">
        {narrow ? unit : `from the mean, ${unit}`}
      </Text>
      {blocks.map(({ split, groups, title, top }) => {
        const first = top + HEAD + (title.length - 1) * 16
        return (
          <g key={split.by}>
            {title.map((line, i) => (
              <g key={line}>
                <rect
                  x={0}
                  y={top + i * 16 + 6}
                  width={round(Math.min(width, 7 * line.length))}
                  height={16}
                  fill={palette.paper}
                />
                <Text x={0} y={top + i * 16 + 18} palette={palette} strong>
                  {line}
                </Text>
              </g>
            ))}
            {groups.map((group, i) => (
              <Row
                key={group.name}
                group={group}
                y={first + i * ROW + ROW / 2}
                x={x}
                left={left}
                edge={width - right}
                width={width}
                decimals={decimals}
                narrow={narrow}
                palette={palette}
              />
            ))}
            {groups.length < split.groups.length && (
              <Text x={0} y={first + groups.length * ROW + 13} palette={palette} tone="soft">
                {`and ${split.groups.length - groups.length} others, none clearer`}
              </Text>
            )}
          </g>
        )
      })}
    </svg>
  )
}

interface RowProps {
  readonly group: SplitGroup
  readonly y: number
  readonly x: (value: number) => number
  readonly left: number
  readonly edge: number
  readonly width: number
  readonly decimals: number
  readonly narrow: boolean
  readonly palette: Palette
}

function Row({ group, y, x, left, edge, width, decimals, narrow, palette }: RowProps) {
  const { name, n, value, lower, upper, surely } = group
  const colour = !surely || value === null ? palette.soft : value < 0 ? palette.under : palette.over
  const words = groupVerdict(group)
  const count = String(n)
  return (
    <g>
      <Text x={0} y={y + 4} palette={palette} strong={surely}>
        {fitText(narrow ? shortName(name) : name, SIZE, left - 40)}
      </Text>
      <Text x={left - 8} y={y + 4} palette={palette} tone="soft" anchor="end">
        {count}
      </Text>
      {value !== null && lower !== null && upper !== null && (
        <g>
          <line
            x1={round(x(lower))}
            x2={round(x(upper))}
            y1={y}
            y2={y}
            stroke={colour}
            stroke-width={surely ? 3 : 2}
            stroke-opacity={0.6}
          />
          <circle
            cx={round(x(value))}
            cy={y}
            r={4}
            fill={surely ? colour : palette.paper}
            stroke={surely ? palette.paper : colour}
            stroke-width={1.4}
          />
        </g>
      )}
      <Text x={edge + 8} y={y + 4} palette={palette} tone={surely ? 'ink' : 'soft'} strong={surely}>
        {narrow ? (surely ? words.replace('surely ', '') : value === null ? '–' : 'not sure') : words}
      </Text>
      {value !== null && upper !== null && !narrow && (
        <Text x={width} y={y + 4} palette={palette} tone="soft" anchor="end">
          {`${formatSigned(value, decimals)} ± ${formatNumber(upper - value, decimals)}`}
        </Text>
      )}
    </g>
  )
}

/** A name for where there is little room: "tray 5 of furnace F1" becomes "F1, 5". */
function shortName(name: string): string {
  const found = /^tray (.+) of furnace (.+)$/.exec(name)
  return found === null ? name : `${found[2]}, ${found[1]}`
}
