import type { Build } from '../domain/build.ts'

/** A build with the conditions that its parts met after printing. */
export interface LaneBuild extends Build {
  readonly furnaces: readonly string[]
  readonly gauges: readonly string[]
}

/** Neighbouring builds under the same condition. Positions run over the timeline, both inclusive. */
export interface LaneRun {
  readonly from: number
  readonly to: number
  readonly text: string
}

/** One condition along the timeline: as runs of equal values, as levels, or as bars for a count. */
export interface Lane {
  readonly name: string
  readonly runs: readonly LaneRun[]
  /** The values from the top down, where they change too often for words in the runs; else null. */
  readonly levels: readonly string[] | null
  readonly bars: readonly { readonly position: number; readonly value: number }[] | null
  /** True where the runs are what people wrote: framed, with words that go on past their builds. */
  readonly written?: boolean
}

export interface LaneModel {
  /** Conditions that changed in view. */
  readonly lanes: readonly Lane[]
  /** Conditions that held throughout: name and value. */
  readonly throughout: readonly string[]
}

/** At most so many recorded extra conditions get a lane of their own. */
const EXTRA_LANES = 3
/** Runs shorter than this on average have no room for words. */
const SHORT_RUN = 3
/** More values than this cannot be told apart as levels. */
const MOST_LEVELS = 5

/**
 * What changed in the process along the builds `from` to `to` of the timeline (inclusive). Conditions that were
 * never recorded do not appear, nor do those with a new value at nearly every build; of the further recorded
 * ones, only those that come in runs do.
 */
export function laneModel(builds: readonly LaneBuild[], from: number, to: number): LaneModel {
  const lanes: Lane[] = []
  const throughout: string[] = []
  const add = (name: string, value: (build: LaneBuild) => string | null, extra: boolean) => {
    const runs = runsOf(builds, from, to, value)
    if (runs.length === 0) return
    const first = runs[0] as LaneRun
    if (runs.length === 1 && first.from === from && first.to === to) {
      throughout.push(`${name} ${first.text}`)
      return
    }
    const short = runs.length > (to - from + 1) / SHORT_RUN
    const values = [...new Set(runs.map((run) => run.text))].sort((a, b) =>
      a.localeCompare(b, 'en', { numeric: true }),
    )
    if (short && (extra || values.length > MOST_LEVELS)) return
    lanes.push({ name, runs, levels: short ? values : null, bars: null })
  }
  add('powder lot', (build) => build.powderLot, false)
  addReuse(builds, from, to, lanes, throughout)
  add('printer', (build) => build.printer, false)
  add('build box', (build) => build.buildBox, false)
  add('furnace', (build) => joined(build.furnaces), false)
  add('gauge', (build) => joined(build.gauges), false)
  add('scale X', (build) => scaleText(build.scale.x), false)
  add('scale Y', (build) => scaleText(build.scale.y), false)
  add('scale Z', (build) => scaleText(build.scale.z), false)
  const known = lanes.length
  const names = new Set(builds.slice(from, to + 1).flatMap((build) => Object.keys(build.conditions)))
  for (const name of [...names].sort()) {
    if (lanes.length >= known + EXTRA_LANES) break
    add(name, (build) => build.conditions[name] ?? null, true)
  }
  return { lanes, throughout }
}

/**
 * What people wrote about builds, as lanes: as many as it takes for none to lie over another, the first one named.
 *
 * @param notes with positions on the timeline, in any order
 */
export function writtenLanes(name: string, notes: readonly LaneRun[], from: number, to: number): Lane[] {
  const lanes: LaneRun[][] = []
  const inView = notes
    .filter((note) => note.from <= to && note.to >= from)
    .sort((a, b) => a.from - b.from || a.to - b.to)
  for (const note of inView) {
    const run = { from: Math.max(from, note.from), to: Math.min(to, note.to), text: note.text }
    const free = lanes.find((lane) => (lane.at(-1) as LaneRun).to < run.from)
    if (free === undefined) lanes.push([run])
    else free.push(run)
  }
  return lanes.map((runs, i) => ({
    name: i === 0 ? name : '',
    runs,
    levels: null,
    bars: null,
    written: true,
  }))
}

function addReuse(
  builds: readonly LaneBuild[],
  from: number,
  to: number,
  lanes: Lane[],
  throughout: string[],
): void {
  const bars: { position: number; value: number }[] = []
  for (let position = from; position <= to; position++) {
    const value = builds[position]?.powderReuse
    if (value !== null && value !== undefined) bars.push({ position, value })
  }
  if (bars.length === 0) return
  const first = (bars[0] as { value: number }).value
  if (bars.length === to - from + 1 && bars.every((bar) => bar.value === first))
    throughout.push(`powder reuse ${first}`)
  else lanes.push({ name: 'powder reuse', runs: [], levels: null, bars })
}

function runsOf(
  builds: readonly LaneBuild[],
  from: number,
  to: number,
  value: (build: LaneBuild) => string | null,
): LaneRun[] {
  const runs: LaneRun[] = []
  for (let position = from; position <= to; position++) {
    const build = builds[position]
    const text = build === undefined ? null : value(build)
    if (text === null || text === '') continue
    const last = runs.at(-1)
    if (last !== undefined && last.text === text && last.to === position - 1) {
      runs[runs.length - 1] = { ...last, to: position }
    } else runs.push({ from: position, to: position, text })
  }
  return runs
}

function joined(names: readonly string[]): string | null {
  return names.length === 0 ? null : names.join(', ')
}

/** Scale factors as the print job states them: four decimals, more where they are given. */
function scaleText(factor: number | null): string | null {
  if (factor === null) return null
  const text = String(factor)
  return (text.split('.')[1] ?? '').length > 4 ? text : factor.toFixed(4)
}
