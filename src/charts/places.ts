/** What a plotted point is called and where it stands in the order of builds. */
export interface BuildLabel {
  readonly id: number
  readonly name: string
}

/** Place of each build in the order of the timeline, by its identity. */
export type Places = ReadonlyMap<number, number>

/** @param builds the order of the timeline */
export function placesOf(builds: readonly BuildLabel[]): Places {
  return new Map(builds.map((build, place) => [build.id, place]))
}
