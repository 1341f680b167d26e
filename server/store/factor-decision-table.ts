/** Tables of decisions about scale factors and how they are advised. Rows are only ever added. */
export interface FactorDecisionTables {
  factor_decision: FactorDecisionTable
  factor_decision_taken_back: FactorDecisionTakenBackTable
  shrinkage_settings: ShrinkageSettingsTable
}

export interface FactorDecisionTakenBackTable {
  decision_id: number
  reason: string
  who: string
  at: number
}

export interface ShrinkageSettingsTable {
  part_number_id: number
  /** From 1 upwards. */
  version: number
  /** As JSON. */
  content: string
  reason: string
  who: string
  at: number
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
