import { area, line as lineShape, scaleLinear } from 'd3'
import type { CoursePoint, IndexCourse } from '../capability/index-course.ts'
import type { AppliedRequirement } from '../capability/requirement.ts'
import { formatNumber } from '../words/format.ts'
import { buildLabels } from './build-scale.ts'
import type { Palette } from './palette.ts'
import { spreadLabels } from './spread-labels.ts'
import { BuildNames } from './strip.tsx'
import { round, SIZE, Text } from './text.tsx'
import { wrapText } from './text-width.ts'
import type { TimelineLayout } from './timeline-layout.ts'

interface IndexCourseFigureProps {
  readonly course: IndexCourse
  readonly requirement: AppliedRequirement
  /** Where each build that the course counts stands on the timeline, ascending. */
  readonly positions: readonly number[]
  readonly layout: TimelineLayout
  /** Names of the builds of the whole timeline. */
  readonly buildNames: readonly string[]
  readonly palette: Palette
  readonly label: string
}

const HEIGHT = 150
const FOOT = 24

type Known = CoursePoint & { readonly index: NonNullable<CoursePoint['index']> }

/** An index over a running window, each drawn at the last build of its window, with its interval as a band. */
export function IndexCourseFigure(props: IndexCourseFigureProps) {
  const { course, requirement, positions, layout, buildNames, palette, label } = props
  const { scale, width, room } = layout
  const narrow = room === 'narrow'
  const top = narrow ? 26 : 8
  const bottom = top + HEIGHT
  const height = bottom + FOOT
  const known = course.points.filter((point): point is Known => point.index !== null)
  const ends = [requirement.value, ...known.flatMap(({ index }) => [index.lower, index.upper])]
  const [low, high] = [Math.min(...ends), Math.max(...ends)]
  const air = Math.max(0.05, (high - low) * 0.08)
  const y = scaleLinear([low - air, high + air], [bottom, top])
  const at = (point: CoursePoint) => scale.centre(positions[point.to] as number)
  const stretches = unbroken(course.points)
  const band = area<Known>(
    at,
    ({ index }) => y(index.lower),
    ({ index }) => y(index.upper),
  ).digits(2)
  const line = lineShape<Known>(at, ({ index }) => y(index.value)).digits(2)
  const title = `${requirement.index} of the ${course.window} builds up to each`
  const asked = y(requirement.value)
  const last = known.at(-1)
  const labels = [
    { name: `${requirement.index} asked`, value: requirement.value, strong: true },
    ...(last === undefined
      ? []
      : [
          { name: 'upper end', value: last.index.upper, strong: false },
          { name: 'last', value: last.index.value, strong: false },
          { name: 'lower end', value: last.index.lower, strong: false },
        ]),
  ]
  const places = spreadLabels(
    labels.map(({ value }) => y(value)),
    15,
    top,
    bottom,
  )
  return (
    <svg width={width} height={height} viewBox={`0 0 ${width} ${height}`} role="img" aria-label={label}>
      {narrow ? (
        <Text x={0} y={12} palette={palette}>
          {title}
        </Text>
      ) : (
        wrapText(title, SIZE, scale.x0 - 54).map((text, i) => (
          <Text key={text} x={0} y={top + 10 + i * 16} palette={palette}>
            {text}
          </Text>
        ))
      )}
      {stretches.map((stretch) => (
        <path key={stretch[0]?.to} d={band(stretch) ?? ''} fill={palette.wash} stroke={palette.rule} />
      ))}
      {y.ticks(4).map((tick) => (
        <g key={tick}>
          <line
            x1={round(scale.x0 - 5)}
            x2={round(scale.x0)}
            y1={round(y(tick))}
            y2={round(y(tick))}
            stroke={palette.faint}
          />
          <Text x={scale.x0 - 8} y={y(tick) + 4} palette={palette} tone="soft" anchor="end">
            {formatNumber(tick, 1)}
          </Text>
        </g>
      ))}
      <line x1={scale.x0} x2={scale.x0} y1={top} y2={bottom} stroke={palette.faint} />
      <line
        x1={scale.x0}
        x2={round(scale.x1)}
        y1={round(asked)}
        y2={round(asked)}
        stroke={palette.ink}
        stroke-width={1.2}
      />
      {stretches.map((stretch) => (
        <path key={stretch[0]?.to} d={line(stretch) ?? ''} fill="none" stroke={palette.soft} />
      ))}
      {known.map((point) => (
        <circle
          key={point.to}
          cx={round(at(point))}
          cy={round(y(point.index.value))}
          r={round(Math.max(1.3, Math.min(3, scale.step * 0.22)))}
          fill={palette.soft}
          stroke={palette.paper}
        />
      ))}
      {labels.map(({ name, value, strong }, i) => (
        <g key={name}>
          {!narrow && (
            <Text
              x={scale.x1 + 14}
              y={(places[i] as number) + 4}
              palette={palette}
              tone={strong ? 'ink' : 'soft'}
            >
              {name}
            </Text>
          )}
          <Text x={width} y={(places[i] as number) + 4} palette={palette} anchor="end" strong={strong}>
            {formatNumber(value, 2)}
          </Text>
        </g>
      ))}
      <BuildNames
        labels={buildLabels(scale, (position) => buildNames[position] ?? '', [], SIZE)}
        y={height - 6}
        palette={palette}
      />
    </svg>
  )
}

/** The points in stretches between those without an index. */
function unbroken(points: readonly CoursePoint[]): Known[][] {
  const stretches: Known[][] = []
  let open = false
  for (const point of points) {
    if (point.index === null) {
      open = false
      continue
    }
    if (!open) stretches.push([])
    open = true
    stretches.at(-1)?.push({ ...point, index: point.index })
  }
  return stretches
}
