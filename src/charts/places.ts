/** What a plotted point is called and where it stands in the order of builds. */
export interface BuildLabel {
  readonly id: number
  readonly name: string
}

/** Place of each build in the order of the timeline, by its identity. */
export type Places = ReadonlyMap<number, number>

const known = new WeakMap<readonly BuildLabel[], Places>()

/**
 * Found once for a timeline, of which a chart and all that is said beside it ask again and again.
 *
 * @param builds the order of the timeline; the list is not changed afterwards
 */
export function placesOf(builds: readonly BuildLabel[]): Places {
  let places = known.get(builds)
  if (places === undefined) {
    const found = new Map<number, number>()
    for (let i = 0; i < builds.length; i++) found.set((builds[i] as BuildLabel).id, i)
    places = found
    known.set(builds, places)
  }
  return places
}
