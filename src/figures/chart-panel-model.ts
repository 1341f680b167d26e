import { scaleLinear } from 'd3'
import type { ChartModel, Panel, PhaseLimits, Signal, Subgroup } from '../charts/model.ts'
import type { BuildScale } from './build-scale.ts'
import {
  type Mark,
  type MarkRequest,
  MOST_ROWS,
  markRows,
  placeMarks,
  signalRequests,
} from './signal-marks.ts'

/** Limits of single parts, drawn on request. */
export interface SpecificationLimits {
  readonly lower: number | null
  readonly upper: number | null
}

/** What somebody wrote about a span of builds, by positions on the timeline, both inclusive. */
export interface ChartNote {
  readonly from: number
  readonly to: number
  readonly text: string
}

/** A subgroup or single value that is left out, at its place. */
export interface LeftOutMark {
  readonly position: number
  readonly value: number
}

/** Everything that one panel draws, in data units along y and positions along x. */
export interface PanelModel {
  readonly panel: Panel
  readonly positions: readonly number[]
  readonly phases: readonly PhaseLimits[]
  readonly domain: readonly [number, number]
  readonly above: readonly Mark[]
  readonly below: readonly Mark[]
  readonly aboveRows: number
  readonly belowRows: number
  /** Side of the signal that a subgroup belongs to; by index of the subgroup. */
  readonly signalSide: ReadonlyMap<number, Signal['side']>
  /** Subgroups beyond a limit, which carry a ring. */
  readonly beyond: ReadonlySet<number>
  readonly leftOut: readonly LeftOutMark[]
  /** Subgroups that are left out as a whole: a line goes on past them. */
  readonly passedOver: ReadonlySet<number>
  readonly specification: SpecificationLimits | null
}

/**
 * @param positions of the subgroups on the timeline, ascending
 * @param bounds left and right edge that words keep inside, in pixels
 * @param mostRows of words on either side of the panel
 */
export function panelModel(
  chart: ChartModel,
  panel: Panel,
  positions: readonly number[],
  scale: BuildScale,
  bounds: readonly [number, number],
  specification: SpecificationLimits | null,
  notes: readonly ChartNote[] = [],
  every = 'build',
  mostRows = MOST_ROWS,
): PanelModel {
  const location = panel.id === 'location'
  const above = placeMarks(
    [
      ...signalRequests(chart.signals, panel, 'above', positions),
      ...(location ? leftOutRequests(chart.subgroups, positions) : []),
    ],
    scale,
    bounds,
    mostRows,
  )
  const below = placeMarks(
    [
      ...(location ? baselineRequests(chart.phases, positions, every) : []),
      ...signalRequests(chart.signals, panel, 'below', positions),
      ...(location ? notes.map(noteRequest) : []),
    ],
    scale,
    bounds,
    mostRows,
  )
  const signalSide = new Map<number, Signal['side']>()
  const beyond = new Set<number>()
  for (const signal of chart.signals) {
    if (signal.panel !== panel.id) continue
    for (const point of signal.points) {
      signalSide.set(point, signal.side)
      if (signal.test === 'beyond-three-sigma') beyond.add(point)
    }
  }
  return {
    panel,
    positions,
    phases: chart.phases,
    domain: domainOf(panel, positions, scale, specification),
    above,
    below,
    aboveRows: markRows(above),
    belowRows: markRows(below),
    signalSide,
    beyond,
    passedOver: new Set(chart.subgroups.flatMap((subgroup, i) => (subgroup.leftOut ? [i] : []))),
    leftOut: location ? leftOutMarks(chart.subgroups, positions) : [],
    specification,
  }
}

function leftOutMarks(subgroups: readonly Subgroup[], positions: readonly number[]): LeftOutMark[] {
  return subgroups.flatMap((subgroup, i) => {
    const position = positions[i] as number
    return subgroup.leftOut
      ? [{ position, value: subgroup.mean }]
      : subgroup.leftOutValues.map((value) => ({ position, value }))
  })
}

function leftOutRequests(subgroups: readonly Subgroup[], positions: readonly number[]): MarkRequest[] {
  return subgroups.flatMap((subgroup, i) => {
    const values = subgroup.leftOutValues.length
    if (!subgroup.leftOut && values === 0) return []
    const position = positions[i] as number
    const text = subgroup.leftOut
      ? 'left out'
      : values === 1
        ? 'one value left out'
        : `${values} values left out`
    return [{ from: position, to: position, text, tone: 'quiet' as const, single: true }]
  })
}

/** Characters of a note that a chart has room for. */
const NOTE_LENGTH = 48

function noteRequest({ from, to, text }: ChartNote): MarkRequest {
  const short = text.length > NOTE_LENGTH ? `${text.slice(0, NOTE_LENGTH - 1).trimEnd()}…` : text
  return { from, to, text: short, tone: 'quiet', single: from === to }
}

function baselineRequests(
  phases: readonly PhaseLimits[],
  positions: readonly number[],
  every: string,
): MarkRequest[] {
  return phases.map((phase) => ({
    from: positions[phase.baselineFrom] as number,
    to: positions[phase.baselineTo] as number,
    text: baselineWords(phase, every),
    tone: 'quiet',
    single: phase.baselineFrom === phase.baselineTo,
  }))
}

function baselineWords(phase: PhaseLimits, every: string): string {
  const count = phase.baselineCount
  const subgroups = count === 1 ? `this one ${every}` : `these ${count} ${every}s`
  return `limits ${phase.frozen === null ? '' : 'frozen, '}from ${subgroups}${phase.provisional ? ', provisional' : ''}`
}

/** Range of everything to be seen, with a little air; spread begins at zero. */
function domainOf(
  panel: Panel,
  positions: readonly number[],
  scale: BuildScale,
  specification: SpecificationLimits | null,
): [number, number] {
  let low = Number.POSITIVE_INFINITY
  let high = Number.NEGATIVE_INFINITY
  const see = (value: number | null | undefined) => {
    if (value === null || value === undefined) return
    if (value < low) low = value
    if (value > high) high = value
  }
  for (const [i, position] of positions.entries()) {
    if (!scale.inView(position)) continue
    see(panel.values[i])
    see(panel.lower[i])
    see(panel.upper[i])
    see(panel.centre[i])
  }
  see(specification?.lower)
  see(specification?.upper)
  if (low > high) return [0, 1]
  if (panel.id !== 'location') return [0, high > 0 ? high * 1.08 : 1]
  const air = high > low ? (high - low) * 0.05 : Math.abs(high) * 0.001 || 1
  return [low - air, high + air]
}

/** The y scale of a panel between its top and bottom edge. */
export function panelScale(model: PanelModel, top: number, bottom: number): (value: number) => number {
  const [low, high] = model.domain
  return scaleLinear([low, high], [bottom, top])
}
