import type { Stage } from '../../src/domain/cell.ts'
import type { Characteristic } from '../../src/domain/characteristic.ts'
import type { PlacesModel } from '../../src/places/model.ts'
import type { PartNumber } from './views.ts'

/** GET /api/part-numbers/:number/:revision/characteristics */
export interface CharacteristicsView {
  readonly partNumber: PartNumber
  /** In natural order of their designators. */
  readonly characteristics: readonly Characteristic[]
}

/** GET /api/part-numbers/:number/:revision/characteristics/:designator/places?stage=&last= */
export interface PlacesView extends PlacesModel {
  readonly partNumber: PartNumber
  readonly characteristic: Characteristic
  readonly stage: Stage
  readonly builds: { readonly first: string; readonly last: string; readonly count: number } | null
  /** Builds on record, of which `builds` are in view. */
  readonly total: number
}
