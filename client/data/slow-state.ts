import type { SlowSettings } from '../../src/charts/slow-change.ts'

/** Distances between false alarms that can be chosen, in builds. */
export const ALARMS = [100, 370, 1000] as const

/** The running average where nothing else is asked for. */
export const RUNNING_AVERAGE = { by: 'average', weight: 0.2, alarm: 370 } as const satisfies SlowSettings

/** What the address of the page of slow changes asks for, with defaults where it says nothing that can be used. */
export function slowSettings(query: Readonly<Record<string, string>>): SlowSettings {
  const alarm = ALARMS.find((each) => String(each) === query.alarm) ?? RUNNING_AVERAGE.alarm
  return query.by === 'sum'
    ? { by: 'sum', shift: within(query.shift, 0.25, 3, 1), alarm }
    : { by: 'average', weight: within(query.weight, 0.05, 1, RUNNING_AVERAGE.weight), alarm }
}

function within(text: string | undefined, least: number, most: number, otherwise: number): number {
  const value = text === undefined || text.trim() === '' ? Number.NaN : Number(text)
  return value >= least && value <= most ? value : otherwise
}
