import type { Axis } from '../domain/characteristic.ts'
import type { BuildConditions } from './build-conditions.ts'

/** One recorded condition along the timeline. Arrays run parallel to the builds. */
export interface ConditionTrack {
  /** What it is called in a sentence: "powder lot", "scale factor Y", or the heading of a further condition. */
  readonly condition: string
  /** The axis whose scale factor this is; null for every other condition. */
  readonly scaleAxis: Axis | null
  /** As recorded; several values of one build joined by " + "; null where not recorded. */
  readonly labels: readonly (string | null)[]
  /** The values as numbers where the condition is a quantity of more than two values; else null. */
  readonly numbers: readonly (number | null)[] | null
  /** For each build the values its parts had, each with their share; shares sum to 1, or there are none. */
  readonly readings: readonly ReadonlyMap<string, number>[]
}

/** One value of a condition, with the share of every build's parts that had it. */
export interface ConditionValue {
  readonly condition: string
  readonly value: string
  readonly share: Float64Array
}

type Reading = ReadonlyMap<string, number>

const NOT_RECORDED: Reading = new Map()

/** The share of every build's parts that had a value. */
export function shareOf({ readings }: ConditionTrack, value: string): Float64Array {
  return Float64Array.from(readings, (reading) => reading.get(value) ?? 0)
}

/** Every condition that is recorded for at least one build, in a fixed order. */
export function conditionTracks(builds: readonly BuildConditions[]): ConditionTrack[] {
  const known = new Map<string | number, Reading>()
  const one = (value: string | number | null): Reading => {
    if (value === null) return NOT_RECORDED
    const reading = known.get(value) ?? new Map([[String(value), 1]])
    known.set(value, reading)
    return reading
  }
  const ofLoads = (pick: (load: BuildConditions['loads'][number]['load']) => string | null) => {
    return ({ loads }: BuildConditions): Reading => {
      if (loads.length === 1) return one(pick((loads[0] as BuildConditions['loads'][number]).load))
      const reading = new Map<string, number>()
      for (const { load, share } of loads) {
        const value = pick(load)
        if (value !== null) reading.set(value, (reading.get(value) ?? 0) + share)
      }
      return reading
    }
  }
  const tracks: (ConditionTrack | null)[] = [
    track('scale factor X', builds, ({ build }) => one(build.scale.x), 'X'),
    track('scale factor Y', builds, ({ build }) => one(build.scale.y), 'Y'),
    track('scale factor Z', builds, ({ build }) => one(build.scale.z), 'Z'),
    track('powder lot', builds, ({ build }) => one(build.powderLot)),
    track('powder reuse', builds, ({ build }) => one(build.powderReuse)),
    track('printer', builds, ({ build }) => one(build.printer)),
    track('build box', builds, ({ build }) => one(build.buildBox)),
    track(
      'furnace',
      builds,
      ofLoads((load) => load.furnace),
    ),
    track(
      'furnace profile',
      builds,
      ofLoads((load) => load.profile),
    ),
    track(
      'furnace atmosphere',
      builds,
      ofLoads((load) => load.atmosphere),
    ),
    track(
      'furnace load',
      builds,
      ofLoads((load) => load.name),
    ),
    track(
      'gauge',
      builds,
      ({ gauges }) => new Map(gauges.map((gauge) => [gauge, 1 / gauges.length] as const)),
    ),
  ]
  for (const heading of headingsOf(builds.map(({ build }) => build.conditions))) {
    tracks.push(track(heading, builds, ({ build }) => one(build.conditions[heading] ?? null)))
  }
  for (const heading of headingsOf(builds.flatMap(({ loads }) => loads.map(({ load }) => load.conditions)))) {
    tracks.push(
      track(
        heading,
        builds,
        ofLoads((load) => load.conditions[heading] ?? null),
      ),
    )
  }
  return tracks.filter((item) => item !== null)
}

function headingsOf(records: readonly Readonly<Record<string, string>>[]): string[] {
  const found = new Set<string>()
  for (const record of records) for (const heading of Object.keys(record)) found.add(heading)
  return [...found]
}

/** Fewer different numbers than this are names ("printer 1", "printer 2") rather than a quantity. */
const LEAST_QUANTITY = 3

function track(
  condition: string,
  builds: readonly BuildConditions[],
  read: (build: BuildConditions) => Reading,
  scaleAxis: Axis | null = null,
): ConditionTrack | null {
  const readings = builds.map(read)
  if (readings.every((reading) => reading.size === 0)) return null
  const labels = readings.map((reading) =>
    reading.size === 0 ? null : [...reading.keys()].sort().join(' + '),
  )
  const different = new Set(labels)
  const numbers = labels.map((label) => (label === null || label.trim() === '' ? null : Number(label)))
  // A scale factor is set by hand and stays: its values are steps, whatever their number.
  const quantity =
    scaleAxis === null &&
    different.size >= LEAST_QUANTITY &&
    numbers.every((value) => value === null || Number.isFinite(value))
  return { condition, scaleAxis, labels, numbers: quantity ? numbers : null, readings }
}

/** A condition of more values than this is not looked through value by value. */
const MOST_VALUES = 6
/** A value is looked at where it holds for so many builds, and not for as many others. */
const LEAST_BUILDS = 6

/**
 * Values that a change can be confined to: those that come and go, such as one of two furnaces. A value that holds
 * for one unbroken run of builds is left out, since a change confined to it is a change at its beginning.
 */
export function alternatingValues(tracks: readonly ConditionTrack[]): ConditionValue[] {
  const found: ConditionValue[] = []
  for (const item of tracks) {
    const { condition, numbers, readings } = item
    const values = new Set<string>()
    for (const reading of readings) {
      for (const value of reading.keys()) values.add(value)
      if (values.size > MOST_VALUES) break
    }
    if (numbers !== null || values.size < 2 || values.size > MOST_VALUES) continue
    for (const value of values) {
      const share = shareOf(item, value)
      let inside = 0
      let runs = 0
      for (let i = 0; i < share.length; i++) {
        if ((share[i] as number) < 0.5) continue
        inside++
        if (i === 0 || (share[i - 1] as number) < 0.5) runs++
      }
      if (runs < 2 || inside < LEAST_BUILDS || share.length - inside < LEAST_BUILDS) continue
      found.push({ condition, value, share })
    }
  }
  return found
}
