/** Scale factors that a print was enlarged by, 1.18 meaning 18 % larger; null where not recorded. */
export interface ScaleFactors {
  readonly x: number | null
  readonly y: number | null
  readonly z: number | null
}

/** One print job. */
export interface Build {
  readonly id: number
  readonly name: string
  /** Seconds since 1970-01-01 UTC; null where not recorded. */
  readonly printedAt: number | null
  readonly printer: string | null
  readonly buildBox: string | null
  readonly powderLot: string | null
  /** How often the powder was reclaimed before this build; 0 is fresh powder. */
  readonly powderReuse: number | null
  readonly scale: ScaleFactors
  /** Any further recorded conditions, by the heading they came under. */
  readonly conditions: Readonly<Record<string, string>>
}

/** One sintering run. */
export interface FurnaceLoad {
  readonly id: number
  readonly name: string
  /** Seconds since 1970-01-01 UTC; null where not recorded. */
  readonly sinteredAt: number | null
  readonly furnace: string | null
  readonly profile: string | null
  readonly atmosphere: string | null
  readonly conditions: Readonly<Record<string, string>>
}
