/** What the record says of an act, in words that name it on the page. New kinds of acts get a line here. */
export const RECORD_KINDS = {
  beginning: 'Beginning of the record',
  schema: 'Database brought up',
  import: 'Import',
  withdrawal: 'Import withdrawn',
  layout: 'Reading of a layout decided',
  study: 'Limits, phases or tests',
  exclusion: 'Left out',
  'exclusion-taken-back': 'Taken back into the figures',
  finding: 'Finding',
  remark: 'Remark',
  'factor-decision': 'Scale factors',
  'gauge-entry': 'Register of gauges',
  'gauge-plan': 'Gauge study planned',
  report: 'Report',
  'report-file': 'File of a report',
  token: 'Token made',
  'token-revoked': 'Token revoked',
} as const

export type RecordKind = keyof typeof RECORD_KINDS

/** What an entry can be about; the identity is that of the table's row. */
export const SUBJECT_KINDS = [
  'part-number',
  'characteristic',
  'build',
  'import',
  'exclusion',
  'finding',
  'remark',
  'factor-decision',
  'gauge',
  'report',
  'token',
] as const

export type SubjectKind = (typeof SUBJECT_KINDS)[number]
