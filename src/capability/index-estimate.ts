/** A capability or performance index with its two-sided confidence interval. Dimensionless. */
export interface IndexEstimate {
  readonly value: number
  readonly lower: number
  readonly upper: number
  /** As a fraction: 0.95 means 95 %. */
  readonly confidence: number
}
