/** Tables of gauges, of the studies made of them and of what is planned. Rows are only ever added. */
export interface GaugeTables {
  gauge_entry: GaugeEntryTable
  gauge_plan: GaugePlanTable
  gauge_study: GaugeStudyTable
  gauge_reading: GaugeReadingTable
}

/** What is said of a gauge, version by version. */
export interface GaugeEntryTable {
  gauge_id: number
  /** From 1 upwards. */
  version: number
  /** JSON. */
  content: string
  reason: string
  who: string
  at: number
}

/** A study planned, with the order in which to measure. */
export interface GaugePlanTable {
  id: number
  characteristic_id: number | null
  gauge_id: number | null
  /** JSON. */
  content: string
  who: string
  at: number
}

/** The readings of one characteristic in one file. */
export interface GaugeStudyTable {
  id: number
  import_id: number
  plan_id: number | null
  /** Null where the file names none. */
  characteristic_id: number | null
}

/** One reading; it belongs to no cell, and to no part on record. */
export interface GaugeReadingTable {
  study_id: number
  /** From 1 upwards, in the order of the file. */
  number: number
  line: number
  part: string
  /** Empty where the file names nobody. */
  inspector: string
  trial: number | null
  value: number
  gauge_id: number | null
  /** Known value of the part. */
  reference: number | null
  measured_at: number | null
}
