import type { Selectable } from 'kysely'
import {
  type Characteristic,
  OWN_TOLERANCE,
  type StatedCharacteristic,
} from '../../src/domain/characteristic.ts'
import { limitsInOwnTolerance } from '../../src/domain/own-limits.ts'
import type { CharacteristicTable } from './schema.ts'

/** The characteristic as the drawing states it, which is what gauges measure and receipts compare with. */
export function statedCharacteristic(row: Selectable<CharacteristicTable>): StatedCharacteristic {
  const { part_number_id: _, own_limits: __, ...characteristic } = row
  return characteristic
}

/**
 * The characteristic as its values are charted and judged. Where each part brings limits of its own, its cells hold
 * values in units of the part's own tolerance, and so nominal, limits and unit are of those; no axis shrinks it.
 */
export function judgedCharacteristic(row: Selectable<CharacteristicTable>): Characteristic {
  const stated = statedCharacteristic(row)
  const { own_limits: sides } = row
  if (sides === null) return stated
  const { nominal, lower, upper, unit } = stated
  return {
    ...stated,
    ...limitsInOwnTolerance(sides),
    nominal: null,
    unit: OWN_TOLERANCE,
    axis: null,
    ownLimits: { sides, nominal, lower, upper, unit },
  }
}
