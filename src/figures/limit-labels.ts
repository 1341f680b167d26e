import { formatNumber } from '../words/format.ts'
import type { PanelModel } from './chart-panel-model.ts'
import { spreadLabels } from './spread-labels.ts'
import { SIZE } from './text.tsx'
import { textWidth } from './text-width.ts'
import type { TimelineLayout } from './timeline-layout.ts'

/** Name and value of a line, written at the right margin where the line is drawn. */
export interface LimitLabel {
  readonly name: string
  readonly value: string
  /** Where the line is, and where the label stands. */
  readonly lineY: number
  readonly y: number
  readonly tone: 'ink' | 'mark'
}

/**
 * Labels for the limits in force at the right edge of the view; limits that do not exist have none.
 *
 * @param sizeOf how many values a subgroup has, in words
 */
export function limitLabels(
  model: PanelModel,
  layout: TimelineLayout,
  y: (value: number) => number,
  top: number,
  bottom: number,
  decimals: number,
  buildName: (position: number) => string,
  sizeOf: (subgroup: number) => string,
): LimitLabel[] {
  const last = lastInView(model, layout)
  if (last === null) return []
  const { panel } = model
  const phase = model.phases.find((each) => each.from <= last && last <= each.to)
  const long = layout.room === 'full'
  const suffix = !long
    ? ''
    : phase?.provisional
      ? ', provisional'
      : stepped(model, last)
        ? `, ${sizeOf(last)}`
        : ''
  const wanted: { name: string; value: number; tone: 'ink' | 'mark' }[] = []
  const want = (name: string, value: number | null | undefined, tone: 'ink' | 'mark' = 'ink') => {
    if (value !== null && value !== undefined) wanted.push({ name, value, tone })
  }
  const words = long
    ? { upper: `upper limit${suffix}`, centre: 'centre', lower: `lower limit${suffix}` }
    : { upper: 'upper', centre: 'centre', lower: 'lower' }
  want(long ? 'upper specification' : 'upper spec.', model.specification?.upper, 'mark')
  want(words.upper, panel.upper[last])
  want(words.centre, panel.centre[last])
  want(words.lower, panel.lower[last])
  want(long ? 'lower specification' : 'lower spec.', model.specification?.lower, 'mark')
  const gap = layout.room === 'narrow' ? 27 : 15
  const lines = wanted.map(({ value }) => y(value))
  const places = spreadLabels(lines, gap, top + 4, bottom)
  return wanted.map(({ name, value, tone }, i) => ({
    name:
      name === 'centre' && long && phase !== undefined && panel.id === 'location'
        ? centreName(
            model,
            phase.baselineFrom,
            phase.baselineTo,
            buildName,
            layout,
            formatNumber(value, decimals),
          )
        : name,
    value: formatNumber(value, decimals),
    lineY: lines[i] as number,
    y: places[i] as number,
    tone,
  }))
}

function centreName(
  model: PanelModel,
  from: number,
  to: number,
  buildName: (position: number) => string,
  layout: TimelineLayout,
  value: string,
): string {
  const [first, last] = [from, to].map((i) => buildName(model.positions[i] as number))
  const name = first === last ? `centre, ${first}` : `centre, ${first} to ${last}`
  const room = layout.width - layout.scale.x1 - 24 - textWidth(value, SIZE)
  return textWidth(name, SIZE) <= room ? name : 'centre'
}

function lastInView(model: PanelModel, layout: TimelineLayout): number | null {
  for (let i = model.positions.length - 1; i >= 0; i--) {
    if (layout.scale.inView(model.positions[i] as number) && model.panel.centre[i] !== null) return i
  }
  return null
}

/** Whether the limits of the phase that holds the subgroup change from build to build. */
function stepped(model: PanelModel, at: number): boolean {
  const phase = model.phases.find((each) => each.from <= at && at <= each.to)
  if (phase === undefined) return false
  const upper = model.panel.upper[at]
  return model.panel.upper.slice(phase.from, phase.to + 1).some((value) => value !== null && value !== upper)
}
