/** Tables of decisions about scale factors. Rows are only ever added. */
export interface FactorDecisionTables {
  factor_decision: FactorDecisionTable
}

export interface FactorDecisionTable {
  /** From 1 upwards. */
  id: number
  part_number_id: number
  /** Name of the build that is printed with the factors first. */
  first_build: string
  /** The last build that was measured when it was decided. */
  after_build_id: number
  /** Factors before and after and what was predicted, as JSON. */
  content: string
  reason: string
  who: string
  at: number
}
