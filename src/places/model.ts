import type { Sentence } from '../words/sentence.ts'

/** Deviations are from the mean of the parts of the same build and furnace load, in standard deviations of those. */
export interface PlacedPart {
  readonly serial: string
  readonly build: string
  /** Place in the bed, mm. */
  readonly x: number
  readonly y: number
  readonly z: number
  readonly deviation: number
}

/** A box of the bed and the parts that lay in it, of all builds in view. */
export interface BedCell {
  /** Its lower corner, mm. */
  readonly x: number
  readonly y: number
  readonly z: number
  readonly n: number
  /** Mean deviation. */
  readonly mean: number
}

/** Extent of the places in the bed along one direction, mm. */
export type Extent = readonly [number, number]

export interface BedModel {
  readonly x: Extent
  readonly y: Extent
  readonly z: Extent
  /** Every part; null where there are too many to be told apart. */
  readonly parts: readonly PlacedPart[] | null
  /** Boxes of the bed where parts are not shown singly. */
  readonly cells: readonly BedCell[]
  /** Edges of a box along x, y and z, mm. */
  readonly step: readonly [number, number, number]
}

/** The parts that stood at one place of one tray. */
export interface TrayCell {
  readonly furnace: string | null
  readonly tray: string
  /** Null where no place on the tray is recorded. */
  readonly place: string | null
  readonly n: number
  readonly mean: number
}

export type SplitBy = 'tray' | 'gauge' | 'furnace' | 'printer' | 'powder lot' | 'powder reuse'

export interface SplitGroup {
  readonly name: string
  /** Parts, or builds where builds are compared. */
  readonly n: number
  /** How far it lies from the mean of the groups, in the unit of the characteristic; null where nothing compares. */
  readonly value: number | null
  readonly lower: number | null
  readonly upper: number | null
  readonly surely: boolean
}

/** The parts split by one condition. */
export interface Split {
  readonly by: SplitBy
  /**
   * parts: parts of the same build stood in different groups, and are compared with one another. builds: each build is in
   * one group, so that builds are compared, and whatever else changed between them counts too.
   */
  readonly compares: 'parts' | 'builds'
  readonly groups: readonly SplitGroup[]
}

export interface PlacesModel {
  readonly parts: number
  /** Standard deviation of parts of the same build and furnace load, in the unit of the characteristic. */
  readonly sigma: number | null
  /** Null where no place in the bed is recorded. */
  readonly bed: BedModel | null
  readonly trays: readonly TrayCell[]
  readonly splits: readonly Split[]
  readonly headline: Sentence
  readonly grounds: Sentence
}
