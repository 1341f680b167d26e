import type { Kysely } from 'kysely'
import type { TracedMeasurement } from '../contract/views.ts'
import type { Schema } from './schema.ts'

/**
 * Measurements beside their cells and parts, each with the limits of its part's own where it has them and with the way
 * back to its row: what every reader of single values selects. More can be joined, selected and asked for.
 */
export function tracedMeasurements(db: Kysely<Schema>) {
  return db
    .selectFrom('cell')
    .innerJoin('measurement', 'measurement.cell_id', 'cell.id')
    .innerJoin('part', 'part.id', 'measurement.part_id')
    .innerJoin('import', 'import.id', 'measurement.import_id')
    .leftJoin('own_limits', (join) =>
      join
        .onRef('own_limits.part_id', '=', 'measurement.part_id')
        .onRef('own_limits.characteristic_id', '=', 'cell.characteristic_id')
        .onRef('own_limits.stage', '=', 'cell.stage')
        .onRef('own_limits.replicate', '=', 'measurement.replicate'),
    )
    .leftJoin('gauge', 'gauge.id', 'measurement.gauge_id')
    .leftJoin('inspector', 'inspector.id', 'measurement.inspector_id')
    .select([
      'measurement.replicate',
      'measurement.value',
      'own_limits.measured as ownMeasured',
      'own_limits.lower as ownLower',
      'own_limits.upper as ownUpper',
      'gauge.name as gauge',
      'inspector.name as inspector',
      'measurement.measured_at as measuredAt',
      'measurement.import_id as importId',
      'import.file_name as fileName',
      'measurement.line',
    ])
}

interface OwnColumns {
  readonly ownMeasured: number | null
  readonly ownLower: number | null
  readonly ownUpper: number | null
}

/** A row of `tracedMeasurements` with the limits of the part's own put together. */
export function withOwn<Row extends OwnColumns>({
  ownMeasured,
  ownLower,
  ownUpper,
  ...row
}: Row): Omit<Row, keyof OwnColumns> & Pick<TracedMeasurement, 'own'> {
  return ownMeasured === null
    ? row
    : { ...row, own: { measured: ownMeasured, lower: ownLower, upper: ownUpper } }
}
