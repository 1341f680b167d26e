import { gaugeResults } from '../store/gauge-results.ts'
import { gaugesOnRecord } from '../store/gauges-on-record.ts'
import type { Store } from '../store/store.ts'

/** Uncertainties of measuring that receipts judge conformity by. */
export interface Uncertainties {
  /** Expanded uncertainty (k = 2) in the unit of the characteristic; null where nothing is known. 0 is no gauge. */
  of(characteristicId: number, gaugeId: number): number | null
  /** The greatest that any gauge has for the characteristic; 0 where nothing is known. */
  greatest(characteristicId: number): number
}

/** What is known of the gauges on record; null where nothing is. */
export async function uncertaintiesOnRecord(store: Store): Promise<Uncertainties | null> {
  const { gauges, studies } = await gaugesOnRecord(store)
  if (studies.length === 0 && gauges.every(({ entries }) => entries.length === 0)) return null
  const results = await gaugeResults(store)
  const names = new Map(gauges.map(({ id, name }) => [id, name]))
  const greatest = new Map<number, number>()
  return {
    of: (characteristicId, gaugeId) =>
      results.by(characteristicId, names.get(gaugeId) ?? null)?.uncertainty?.expanded ?? null,
    greatest(characteristicId) {
      let most = greatest.get(characteristicId)
      if (most === undefined) {
        most = Math.max(
          0,
          ...results.all(characteristicId).map(({ uncertainty }) => uncertainty?.expanded ?? 0),
        )
        greatest.set(characteristicId, most)
      }
      return most
    },
  }
}
