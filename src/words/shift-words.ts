import { hasLimits } from '../charts/has-limits.ts'
import type { ChartModel } from '../charts/model.ts'
import type { Characteristic } from '../domain/characteristic.ts'
import type { Estimate, EventKind, ProcessEvent } from '../events/event.ts'
import { characteristicTitle, countOf, formatNumber, meanDecimals } from './format.ts'
import type { Phrase, Sentence } from './sentence.ts'
import { unitText } from './unit.ts'

/** Which way a size moved; a drift goes on moving. */
export function sizeWord(size: number, drifting: boolean): Phrase {
  if (size < 0) return { text: drifting ? 'smaller and smaller' : 'small', role: 'under' }
  return { text: drifting ? 'larger and larger' : 'large', role: 'over' }
}

/** The amount of a shift with half its interval, in the unit of the characteristic. */
export function amountInUnit({ value, lower, upper }: Estimate, characteristic: Characteristic): string {
  const decimals = meanDecimals(characteristic)
  const unit = unitText(characteristic.unit)
  return `${formatNumber(Math.abs(value), decimals)} ± ${formatNumber((upper - lower) / 2, decimals)} ${unit}`
}

/** What one characteristic shows of an event that stands. Builds by name. */
export interface StandingShiftWords {
  readonly kind: EventKind
  readonly from: string
  readonly to: string
  readonly shift: Estimate
  readonly confinedTo: ProcessEvent['confinedTo']
}

/** Since when a characteristic comes out small or large, and by how much. */
export function shiftSentence(
  characteristic: Characteristic,
  { kind, from, to, shift, confinedTo }: StandingShiftWords,
): Sentence {
  const drifting = kind === 'drift'
  const source = confinedTo === null ? '' : ` from ${confinedTo.condition} ${confinedTo.value}`
  return [
    { text: `${characteristicTitle(characteristic)} comes out ` },
    sizeWord(shift.value, drifting),
    {
      text: `${source} since build ${from}, by ${amountInUnit(shift, characteristic)}${drifting ? ` at build ${to}` : ''}.`,
    },
  ]
}

/** A shift of one standard deviation is seen after nine builds on average (see `quietWords`). */
const LEAST_TOLD = 10

/** What a chart says of a characteristic that no event of location stands for. */
export function unmovedSentence(characteristic: Characteristic, chart: ChartModel): Sentence {
  const { signals, subgroups } = chart
  const name = characteristicTitle(characteristic)
  if (!hasLimits(chart) && subgroups.length > 0) {
    return [{ text: `${name} has no limits yet: ${noScatter(subgroups.length)}.` }]
  }
  if (signals.length === 0) {
    const few = subgroups.length < LEAST_TOLD
    return [
      {
        text: few
          ? `${name} shows no signal in ${countOf(subgroups.length, 'build')}, too few to tell whether it moved.`
          : `${name} is steady.`,
      },
    ]
  }
  return [{ text: `${name} has not moved beyond chance; ${countOf(signals.length, 'signal')} on the way.` }]
}

function noScatter(builds: number): string {
  return builds === 1
    ? 'a single value has no scatter'
    : 'its values do not scatter, and a gauge that reads finer would tell more'
}
