import type { Stage } from '../../src/domain/cell.ts'
import type { Axis, CharacteristicKind, WrittenUnit } from '../../src/domain/characteristic.ts'
import type { LimitSides } from '../../src/domain/own-limits.ts'
import type { FileKind, ImportVerdict } from '../contract/receipt.ts'
import type { CustomerRequirementsTable } from './customer-requirements.ts'
import type { DecisionTables } from './decision-tables.ts'
import type { EventNoticeTables } from './event-notice-tables.ts'
import type { FactorDecisionTables } from './factor-decision-table.ts'
import type { GaugeTables } from './gauge-tables.ts'
import type { PeopleTables } from './people-tables.ts'
import type { RecordTables } from './record/record-tables.ts'
import type { ReportTables } from './report-tables.ts'

/**
 * The tables as Kysely sees them. Identities are given out by the writer, not by the database, because
 * rows of one file refer to each other before they are written; there is one writer at a time.
 */
export interface Schema
  extends DecisionTables,
    ReportTables,
    FactorDecisionTables,
    RecordTables,
    GaugeTables,
    PeopleTables,
    EventNoticeTables {
  schema_version: SchemaVersionTable
  customer_requirements: CustomerRequirementsTable
  part_number: PartNumberTable
  characteristic: CharacteristicTable
  build: BuildTable
  furnace_load: FurnaceLoadTable
  part: PartTable
  gauge: NameTable
  inspector: NameTable
  import: ImportTable
  cell: CellTable
  cell_buckets: CellBucketsTable
  measurement: MeasurementTable
  own_limits: OwnLimitsTable
  measured_build: MeasuredBuildTable
  build_gauge: BuildGaugeTable
  build_load: BuildLoadTable
  cell_change: CellChangeTable
  token: TokenTable
  layout: LayoutTable
  withdrawal: WithdrawalTable
  withdrawn_measurement: WithdrawnMeasurementTable
}

export interface SchemaVersionTable {
  version: number
  name: string
  /** Seconds since 1970-01-01 UTC, as are all times here. */
  applied_at: number
}

export interface PartNumberTable {
  id: number
  number: string
  revision: string
  name: string | null
}

export interface CharacteristicTable {
  id: number
  part_number_id: number
  designator: string
  name: string
  kind: CharacteristicKind
  nominal: number | null
  lower: number | null
  upper: number | null
  unit: WrittenUnit
  axis: Axis | null
  /** Where each part brings limits of its own, which; nominal and limits are then what the drawing states. */
  own_limits: LimitSides | null
}

export interface BuildTable {
  id: number
  name: string
  printed_at: number | null
  printer: string | null
  build_box: string | null
  powder_lot: string | null
  powder_reuse: number | null
  scale_x: number | null
  scale_y: number | null
  scale_z: number | null
  /** JSON object, heading to text. */
  conditions: string
}

export interface FurnaceLoadTable {
  id: number
  name: string
  sintered_at: number | null
  furnace: string | null
  profile: string | null
  atmosphere: string | null
  /** JSON object, heading to text. */
  conditions: string
}

export interface PartTable {
  id: number
  part_number_id: number
  serial: string
  build_id: number
  /** Place in the powder bed, mm. */
  bed_x: number | null
  bed_y: number | null
  bed_z: number | null
  furnace_load_id: number | null
  tray: string | null
  tray_place: string | null
  /** Stages it was measured at, as a sum of `STAGE_BITS`. */
  stages: number
}

export const STAGE_BITS: Readonly<Record<Stage, number>> = { green: 1, sintered: 2, finished: 4 }

export interface NameTable {
  id: number
  name: string
}

export interface ImportTable {
  id: number
  sha256: string
  file_name: string
  bytes: number
  kind: FileKind
  verdict: ImportVerdict
  who: string
  at: number
  rows_read: number
  rows_taken: number
  rows_refused: number
  out_of_specification: number
  /** The receipt as JSON. */
  receipt: string
}

export interface CellTable {
  id: number
  characteristic_id: number
  build_id: number
  furnace_load_id: number | null
  stage: Stage
  n: number
  mean: number
  m2: number
  min: number
  max: number
}

/** Counts of the values of a large cell; see `packBuckets`. */
export interface CellBucketsTable {
  cell_id: number
  buckets: Buffer
}

export interface MeasurementTable {
  cell_id: number
  part_id: number
  replicate: number
  value: number
  gauge_id: number | null
  inspector_id: number | null
  measured_at: number | null
  import_id: number
  line: number
}

/**
 * Limits of a part's own, beside the measurement that they were given with: its value there is in units of its own
 * tolerance. By what does not change when a part is found to belong to another furnace load, as its cell does.
 */
export interface OwnLimitsTable {
  part_id: number
  characteristic_id: number
  stage: Stage
  replicate: number
  import_id: number
  /** As measured, and its limits, in the unit of the characteristic. */
  measured: number
  lower: number | null
  upper: number | null
}

/** How many parts of a build were measured, so that nobody need count them among the measurements. */
export interface MeasuredBuildTable {
  part_number_id: number
  stage: Stage
  build_id: number
  parts: number
}

/** Which gauges measured parts of a build, so that a timeline need not read measurements. */
export interface BuildGaugeTable {
  build_id: number
  part_number_id: number
  stage: Stage
  gauge_id: number
}

/** Which furnace loads took measured parts of a build, so that a timeline need not look at every cell. */
export interface BuildLoadTable {
  build_id: number
  part_number_id: number
  stage: Stage
  furnace_load_id: number
}

/** When cells of a build changed last; written by triggers (migration 1035). */
export interface CellChangeTable {
  part_number_id: number
  stage: Stage
  build_id: number
  change: number
}

/**
 * A token of a machine, good for its `token_scope`s. The token itself is 256 random bits, of which only the hash is
 * kept.
 */
export interface TokenTable {
  id: number
  name: string
  sha256: string
  created_at: number
  /** Null while it is in force. */
  revoked_at: number | null
}

/** How files of one layout are read, where a person had to decide it. */
export interface LayoutTable {
  fingerprint: string
  /** JSON. */
  choices: string
  who: string
  at: number
}

export interface WithdrawalTable {
  import_id: number
  who: string
  reason: string
  at: number
}

/** What an import that was withdrawn had taken; counted in no cell. */
export interface WithdrawnMeasurementTable {
  import_id: number
  /** Counted from 1 in the order of the file. */
  number: number
  line: number
  serial: string
  characteristic_id: number
  build_id: number
  furnace_load_id: number | null
  stage: Stage
  replicate: number
  value: number
  gauge_id: number | null
  inspector_id: number | null
  measured_at: number | null
  /** As measured, where it was judged by limits of the part's own, and those limits. */
  measured: number | null
  own_lower: number | null
  own_upper: number | null
}
