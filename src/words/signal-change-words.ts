import type { Characteristic } from '../domain/characteristic.ts'
import type { Estimate } from '../events/event.ts'
import type { RankedCondition } from '../events/rank-conditions.ts'
import { capitalise, characteristicTitle, countWord, formatNumber, listed, meanDecimals } from './format.ts'
import { unitText } from './unit.ts'

/** The change that a signal of one characteristic belongs to. Positions are those of the timeline. */
export interface SignalChange {
  /** The most likely first build, and all that may be, with 95 % confidence. */
  readonly from: number
  readonly plausible: readonly number[]
  readonly members: readonly (Pick<Characteristic, 'designator' | 'name'> & {
    readonly shift: Estimate | null
    readonly scatter: Estimate | null
  })[]
  readonly conditions: readonly RankedCondition[]
}

/** Characteristics of one event that are named before they are counted. */
const MOST_NAMED = 4

/** Where the change behind a signal began, how large it is here, who else shows it, and what accounts for it. */
export function signalChangeWords(
  change: SignalChange,
  characteristic: Characteristic,
  buildName: (position: number) => string,
): string {
  const first = change.plausible[0] ?? change.from
  const last = change.plausible.at(-1) ?? change.from
  const began =
    first === last
      ? `Change point: build ${buildName(change.from)}, no other, with 95 % confidence`
      : `Change point: build ${buildName(change.from)}, with 95 % confidence between ${buildName(first)} and ${buildName(last)}`
  const own = change.members.find(({ designator }) => designator === characteristic.designator)
  const others = change.members.filter((member) => member !== own).map(characteristicTitle)
  return [
    `${began}${own === undefined ? '' : sizeWords(own, characteristic)}.`,
    others.length === 0
      ? ''
      : `One event with ${others.length > MOST_NAMED ? `${countWord(others.length)} other characteristics` : listed(others)}.`,
    conditionWords(change.conditions),
  ]
    .filter((words) => words !== '')
    .join(' ')
}

function sizeWords(
  { shift, scatter }: { readonly shift: Estimate | null; readonly scatter: Estimate | null },
  characteristic: Characteristic,
): string {
  if (shift !== null) {
    const [value, lower, upper] = figures(shift, meanDecimals(characteristic))
    return `; size ${value} ${unitText(characteristic.unit)} (${lower} to ${upper}, 95 %)`
  }
  if (scatter === null) return ''
  const [value, lower, upper] = figures(scatter, 1)
  return `; ${value} times the scatter (${lower} to ${upper}, 95 %)`
}

function figures({ value, lower, upper }: Estimate, decimals: number): [string, string, string] {
  return [formatNumber(value, decimals), formatNumber(lower, decimals), formatNumber(upper, decimals)]
}

/** Conditions that changed where the event may have begun, by how much of it each accounts for. */
function conditionWords(conditions: readonly RankedCondition[]): string {
  if (conditions.length === 0) return 'Nothing recorded changed there.'
  const words = conditions.map(
    (ranked) => `${conditionChange(ranked)} accounts for ${Math.round(100 * ranked.share)} % of it`,
  )
  return `${capitalise(words.join(', '))}.`
}

/** "powder lot K7 → K8", "furnace F2". */
export function conditionChange({ condition, from, to }: RankedCondition): string {
  return from === null ? `${condition} ${to}` : `${condition} ${from} → ${to}`
}
