import { line as lineShape } from 'd3'
import type { PhaseLimits } from '../charts/model.ts'
import { formatNumber } from '../words/format.ts'
import { LEAST_STEP } from './build-columns.ts'
import type { BuildScale } from './build-scale.ts'
import type { PanelModel } from './chart-panel-model.ts'
import { Columns, CrowdedPoints } from './crowded-points.tsx'
import type { LimitLabel } from './limit-labels.ts'
import { Marks } from './marks.tsx'
import type { Palette } from './palette.ts'
import { round, SIZE, Text } from './text.tsx'
import { fitText, textWidth } from './text-width.ts'
import type { TimelineLayout } from './timeline-layout.ts'

/** Builds narrower than this many pixels have their points drawn together. */
const LEAST_POINT_STEP = 6

interface ChartPanelProps {
  readonly model: PanelModel
  readonly layout: TimelineLayout
  /** Edges of the plotting area in pixels. */
  readonly top: number
  readonly bottom: number
  readonly y: (value: number) => number
  readonly labels: readonly LimitLabel[]
  readonly decimals: number
  readonly palette: Palette
}

/** One panel: zones, limits, points, signals, and the names of the limits at the right. */
export function ChartPanel(props: ChartPanelProps) {
  const { model, layout, top, bottom, labels, palette } = props
  const { scale } = layout
  const coloured = model.panel.id === 'location'
  const phases = model.phases.filter((phase) => span(model, phase, scale) !== null)
  return (
    <g>
      {phases.map((phase, i) => (
        <PhaseLines
          key={phase.from}
          {...props}
          phase={phase}
          named={coloured && i > 0}
          last={i === phases.length - 1}
        />
      ))}
      {model.specification !== null && <SpecificationLines {...props} />}
      {scale.step < LEAST_STEP ? <Columns {...props} /> : <Points {...props} />}
      <LeftOut {...props} />
      <Marks
        marks={model.above}
        y={top}
        side="above"
        colour={coloured ? palette.over : palette.ink}
        palette={palette}
      />
      <Marks
        marks={model.below}
        y={bottom}
        side="below"
        colour={coloured ? palette.under : palette.ink}
        palette={palette}
      />
      {labels.map((label) => (
        <RightLabel key={label.name} label={label} layout={layout} palette={palette} />
      ))}
    </g>
  )
}

/** Part of a phase in view: indices of its first and last subgroup, and where it begins and ends in pixels. */
function span(model: PanelModel, phase: PhaseLimits, scale: BuildScale) {
  let first = -1
  let last = -1
  for (let i = phase.from; i <= phase.to; i++) {
    if (!scale.inView(model.positions[i] as number)) continue
    if (first === -1) first = i
    last = i
  }
  if (first === -1) return null
  const next = model.positions[last + 1]
  const end =
    next !== undefined && scale.inView(next) ? scale.start(next) : scale.end(model.positions[last] as number)
  return { first, last, start: scale.start(model.positions[first] as number), end }
}

interface PartInView {
  readonly first: number
  readonly last: number
  /** Where it ends, in pixels. */
  readonly end: number
}

/** Subgroups one after the other with the same figures: where they begin and end in pixels, and the first of them. */
interface EvenStretch {
  readonly index: number
  readonly start: number
  readonly end: number
}

/** Cuts what is in view where one of the figures changes, so that long phases of one size are drawn as one piece. */
function evenStretches(
  model: PanelModel,
  scale: BuildScale,
  part: PartInView,
  ...figures: readonly (readonly (number | null)[])[]
): EvenStretch[] {
  const stretches: EvenStretch[] = []
  for (let i = part.first; i <= part.last; i++) {
    const index = i
    while (i < part.last && figures.every((values) => values[i + 1] === values[index])) i++
    const end = i === part.last ? part.end : scale.start(model.positions[i + 1] as number)
    stretches.push({ index, start: scale.start(model.positions[index] as number), end })
  }
  return stretches
}

/** A stepped line over the phase, held from each build to the next; broken where there is no value. */
function steps(
  model: PanelModel,
  scale: BuildScale,
  part: PartInView,
  values: readonly (number | null)[],
  y: (value: number) => number,
): string {
  let path = ''
  let before: number | null = null
  for (const { index, start, end } of evenStretches(model, scale, part, values)) {
    const value = values[index] ?? null
    const at = value === null ? null : round(y(value))
    if (at !== null) {
      if (before === null) path += `M${round(start)} ${at}`
      else if (before !== at) path += `V${at}`
      path += `H${round(end)}`
    }
    before = at
  }
  return path
}

interface PhaseLinesProps extends ChartPanelProps {
  readonly phase: PhaseLimits
  readonly named: boolean
  readonly last: boolean
}

function PhaseLines({
  model,
  layout,
  top,
  bottom,
  y,
  decimals,
  palette,
  phase,
  named,
  last,
}: PhaseLinesProps) {
  const { scale } = layout
  const part = span(model, phase, scale)
  if (part === null) return null
  const { panel } = model
  const dash = phase.provisional ? { 'stroke-dasharray': '6 4' } : {}
  const centre = panel.centre[part.last]
  return (
    <g>
      {[3, 2, 1].map((k) => (
        <path key={k} d={zone(model, scale, part, y, k, bottom)} fill={palette.wash} fill-opacity={0.6} />
      ))}
      <path d={steps(model, scale, part, panel.upper, y)} fill="none" stroke={palette.soft} {...dash} />
      <path d={steps(model, scale, part, panel.lower, y)} fill="none" stroke={palette.soft} {...dash} />
      <path d={steps(model, scale, part, panel.centre, y)} fill="none" stroke={palette.faint} {...dash} />
      {named && (
        <g>
          <line
            x1={round(part.start)}
            x2={round(part.start)}
            y1={top - 2}
            y2={bottom + 2}
            stroke={palette.soft}
          />
          <Text x={part.start + 4} y={top + 10} palette={palette} tone="soft">
            {fitText(`from here: ${phase.reason}`, SIZE, scale.x1 - part.start - 6)}
          </Text>
        </g>
      )}
      {!last && centre !== null && centre !== undefined && part.end - part.start > 60 && (
        <Text x={part.end - 4} y={y(centre) - 4} palette={palette} tone="soft" anchor="end">
          {formatNumber(centre, decimals)}
        </Text>
      )}
    </g>
  )
}

/** The band within k standard errors of the centre; never below zero where the statistic cannot be. */
function zone(
  model: PanelModel,
  scale: BuildScale,
  part: PartInView,
  y: (value: number) => number,
  k: number,
  bottom: number,
): string {
  const { centre, sigma } = model.panel
  let path = ''
  for (const { index, start, end } of evenStretches(model, scale, part, centre, sigma)) {
    const [middle, error] = [centre[index] ?? null, sigma[index] ?? null]
    if (middle === null || error === null) continue
    const edge = (sign: number) => round(Math.min(bottom, y(middle + sign * k * error)))
    path += `M${round(start)} ${edge(1)}H${round(end)}V${edge(-1)}H${round(start)}z`
  }
  return path
}

function SpecificationLines({ model, layout, y, palette }: ChartPanelProps) {
  const { scale } = layout
  const limits = [model.specification?.lower, model.specification?.upper]
  return (
    <g>
      {limits.map((limit) =>
        limit === null || limit === undefined ? null : (
          <line
            key={limit}
            x1={scale.x0}
            x2={scale.x1}
            y1={round(y(limit))}
            y2={round(y(limit))}
            stroke={palette.mark}
            stroke-dasharray="10 3 2 3"
          />
        ),
      )}
    </g>
  )
}

function Points({ model, layout, y, palette }: ChartPanelProps) {
  const { scale } = layout
  const { panel, positions } = model
  const radius = Math.max(1.3, Math.min(3.2, scale.step * 0.24))
  const starts = new Set(model.phases.map((phase) => phase.from))
  // A line never joins two phases: they are judged by different limits.
  const runs: [number, number][][] = [[]]
  for (const [i, position] of positions.entries()) {
    const value = panel.values[i]
    if (starts.has(i) || (!model.passedOver.has(i) && (value === null || value === undefined))) runs.push([])
    if (!scale.inView(position) || value === null || value === undefined) continue
    ;(runs.at(-1) as [number, number][]).push([round(scale.centre(position)), round(y(value))])
  }
  const shape = lineShape()
  const coloured = panel.id === 'location'
  return (
    <g>
      {runs.map((run) =>
        run.length > 1 ? (
          <path key={run[0]?.[0]} d={shape(run) ?? ''} fill="none" stroke={palette.faint} />
        ) : null,
      )}
      {scale.step < LEAST_POINT_STEP && (
        <CrowdedPoints model={model} layout={layout} y={y} palette={palette} />
      )}
      {scale.step >= LEAST_POINT_STEP &&
        positions.map((position, i) => {
          const value = panel.values[i]
          if (!scale.inView(position) || value === null || value === undefined) return null
          const x = round(scale.centre(position))
          const at = round(y(value))
          const side = model.signalSide.get(i)
          const colour =
            side === undefined
              ? palette.soft
              : !coloured
                ? palette.ink
                : side === 'above'
                  ? palette.over
                  : palette.under
          const open = side === 'above'
          const r = round(side === undefined ? radius : radius + 0.6)
          return (
            <g key={position}>
              {model.beyond.has(i) && (
                <circle cx={x} cy={at} r={round(radius + 4)} fill="none" stroke={colour} stroke-width={1.2} />
              )}
              <circle
                cx={x}
                cy={at}
                r={r}
                fill={open ? palette.paper : colour}
                stroke={open ? colour : palette.paper}
                stroke-width={open ? 1.5 : 1}
              />
            </g>
          )
        })}
    </g>
  )
}

/** What is left out: open marks, dashed; at the edge of the panel where their values lie beyond it. */
function LeftOut({ model, layout, top, bottom, y, palette }: ChartPanelProps) {
  const { scale } = layout
  const radius = Math.max(1.8, Math.min(3.6, scale.step * 0.28))
  return (
    <g>
      {model.leftOut.map(({ position, value }) => {
        if (!scale.inView(position)) return null
        const at = y(value)
        const inside = Math.max(top + radius, Math.min(bottom - radius, at))
        return (
          <g key={`${position} ${value}`}>
            <circle
              cx={round(scale.centre(position))}
              cy={round(inside)}
              r={round(radius)}
              fill={palette.paper}
              stroke={palette.soft}
              stroke-width={1.2}
              stroke-dasharray="2 1.5"
            />
          </g>
        )
      })}
    </g>
  )
}

function RightLabel({
  label,
  layout,
  palette,
}: {
  label: LimitLabel
  layout: TimelineLayout
  palette: Palette
}) {
  const { scale, width, room } = layout
  const tone = label.tone === 'mark' ? 'mark' : 'soft'
  const moved = Math.abs(label.y - label.lineY) > 2
  const leader = moved ? (
    <path
      d={`M${scale.x1 + 1} ${round(label.lineY)}L${scale.x1 + (room === 'narrow' ? 5 : 11)} ${round(label.y)}`}
      stroke={palette.faint}
      fill="none"
    />
  ) : null
  if (room === 'narrow') {
    return (
      <g>
        {leader}
        <Text x={width} y={label.y + 1} palette={palette} anchor="end" size={11}>
          {label.value}
        </Text>
        <Text x={width} y={label.y + 13} palette={palette} tone={tone} anchor="end" size={11}>
          {label.name}
        </Text>
      </g>
    )
  }
  return (
    <g>
      {leader}
      <Text x={scale.x1 + 14} y={label.y + 4} palette={palette} tone={tone}>
        {fitText(label.name, SIZE, width - scale.x1 - 20 - textWidth(label.value, SIZE))}
      </Text>
      <Text x={width} y={label.y + 4} palette={palette} anchor="end">
        {label.value}
      </Text>
    </g>
  )
}
