/** When builds were printed and sintered, on what, and with which powder and scale factors. */

import type { PerAxis } from './physics.ts'
import { POWDER_STEP, SCALE_Y } from './planted.ts'
import type { Random } from './random.ts'
import {
  ATMOSPHERE,
  BUILD_BOXES,
  BUILD_COUNT,
  buildName,
  FIRST_BUILD,
  FURNACES,
  INSPECTORS,
  PRINTERS,
  PROFILE,
} from './shop.ts'

const MINUTE = 60_000
const DAY = 24 * 60 * MINUTE
const FIRST_DAY = Date.UTC(2026, 6, 20)
const LAST_DAY = Date.UTC(2026, 10, 17)
/** The shop is closed for some days in August. */
const CLOSED = { from: Date.UTC(2026, 7, 8), to: Date.UTC(2026, 7, 16) }
const FIRST_LOAD = 731
/** How often two builds share one furnace load, and how often a build is split over two. */
const SHARED_LOADS = 3
const SPLIT_BUILDS = 3
const LONGEST_RUN_IN_ONE_FURNACE = 4

export interface ShopBuild {
  readonly number: number
  readonly build: string
  /** Milliseconds since 1970-01-01 UTC, as all times here. */
  readonly printedAt: number
  readonly printer: string
  readonly buildBox: string
  readonly powderLot: string
  readonly powderReuse: number
  readonly scale: PerAxis
  readonly binderSaturationPct: number
  readonly layerTimeS: number
  /** One furnace load, or two where the build was split; as indices into the loads. */
  readonly loads: readonly number[]
  readonly measuredFrom: number
  /** Green parts were measured from then on; null where none were. */
  readonly greenMeasuredFrom: number | null
  readonly inspector: string
}

export interface ShopLoad {
  readonly furnaceLoad: string
  readonly sinteredAt: number
  readonly furnace: string
  readonly profile: string
  readonly atmosphere: string
}

export interface Schedule {
  readonly builds: readonly ShopBuild[]
  readonly loads: readonly ShopLoad[]
}

/** Builds of which some parts were measured green as well. */
const GREEN_BUILDS: ReadonlySet<number> = new Set([400, 411, 422, 433, 444, 455])

/** Powder lot of a build. The change from K6 to K7 is inside the baseline and does nothing. */
function powderLot(build: number): string {
  if (build >= POWDER_STEP.firstBuild) return POWDER_STEP.to
  return build >= 418 ? POWDER_STEP.from : 'K6'
}

/** `count` working days from the first to the last day, Sundays and the August closure left out. */
function printingDays(random: Random, count: number): number[] {
  const days: number[] = []
  for (let day = FIRST_DAY; day <= LAST_DAY; day += DAY) {
    const closed = day >= CLOSED.from && day <= CLOSED.to
    if (!closed && new Date(day).getUTCDay() !== 0) days.push(day)
  }
  return random.sample(days, count).sort((a, b) => a - b)
}

type Sharing = 'own' | 'with-next' | 'half-with-next'

/** Which builds wait for the next one; only such as are followed within a day, and never two in a row. */
function drawSharing(random: Random, days: readonly number[]): Sharing[] {
  const sharing: Sharing[] = days.map(() => 'own')
  const followed = days.flatMap((day, i) => ((days[i + 1] ?? Infinity) - day <= DAY ? [i] : []))
  let given = 0
  for (const i of random.sample(followed, followed.length)) {
    if (given === SHARED_LOADS + SPLIT_BUILDS) break
    if (sharing[i - 1] !== undefined && sharing[i - 1] !== 'own') continue
    if (sharing[i + 1] !== undefined && sharing[i + 1] !== 'own') continue
    sharing[i] = given < SHARED_LOADS ? 'with-next' : 'half-with-next'
    given++
  }
  return sharing
}

/** Reuse counts climb by one a build and fall when powder is refreshed; a new lot starts at 0. */
function drawReuse(random: Random): number[] {
  const reuse: number[] = []
  let count = 2
  let refreshAt = 6
  for (let i = 0; i < BUILD_COUNT; i++) {
    const newLot = i > 0 && powderLot(FIRST_BUILD + i) !== powderLot(FIRST_BUILD + i - 1)
    if (newLot) count = 0
    else if (i > 0) count++
    if (count > refreshAt) {
      count = random.integer(0, 2)
      refreshAt = random.integer(4, 8)
    }
    reuse.push(count)
  }
  return reuse
}

/** A furnace at random, but never the same one more than a few times in a row. */
function nextFurnace(random: Random, used: readonly string[]): string {
  const run = used.slice(-LONGEST_RUN_IN_ONE_FURNACE)
  const chosen = random.pick(FURNACES)
  const stuck = run.length === LONGEST_RUN_IN_ONE_FURNACE && run.every((furnace) => furnace === chosen)
  return stuck ? (FURNACES.find((furnace) => furnace !== chosen) ?? chosen) : chosen
}

/** `scaleCorrected`: whether scale factor Y is corrected in mid-history. */
export function drawSchedule(random: Random, scaleCorrected: boolean): Schedule {
  const days = printingDays(random, BUILD_COUNT)
  const sharing = drawSharing(random, days)
  const reuse = drawReuse(random)

  const loads: ShopLoad[] = []
  const loadsOf: number[][] = days.map(() => [])
  days.forEach((day, i) => {
    // A build that waits goes, whole or in half, into the load of the build after it.
    if (sharing[i - 1] === 'with-next' || sharing[i - 1] === 'half-with-next')
      loadsOf[i - 1]?.push(loads.length)
    if (sharing[i] === 'with-next') return
    loadsOf[i]?.push(loads.length)
    // The halves of a split build go into the same furnace.
    const used = loads.map(({ furnace }) => furnace)
    const drawn = nextFurnace(random, used)
    loads.push({
      furnaceLoad: `L${String(FIRST_LOAD + loads.length).padStart(4, '0')}`,
      sinteredAt: day + DAY + random.integer(0, 12) * 15 * MINUTE,
      furnace: sharing[i - 1] === 'half-with-next' ? (used.at(-1) ?? drawn) : drawn,
      profile: PROFILE,
      atmosphere: ATMOSPHERE,
    })
  })

  const builds = days.map((day, i): ShopBuild => {
    const number = FIRST_BUILD + i
    const corrected = scaleCorrected && number >= SCALE_Y.firstBuild
    const lastLoad = loads[Math.max(...(loadsOf[i] ?? []))] as ShopLoad
    return {
      number,
      build: buildName(number),
      printedAt: day + (4 * 60 + random.integer(0, 20) * 5) * MINUTE,
      printer: random.pick(PRINTERS),
      buildBox: random.pick(BUILD_BOXES),
      powderLot: powderLot(number),
      powderReuse: reuse[i] as number,
      scale: { X: 1.1851, Y: corrected ? SCALE_Y.after : SCALE_Y.before, Z: 1.1996 },
      binderSaturationPct: random.integer(138, 146) / 2,
      layerTimeS: random.integer(215, 228) / 10,
      loads: loadsOf[i] as number[],
      measuredFrom: morningAfter(lastLoad.sinteredAt) + random.integer(0, 24) * 5 * MINUTE,
      greenMeasuredFrom: GREEN_BUILDS.has(number) ? day + 18 * 60 * MINUTE : null,
      inspector: random.pick(INSPECTORS),
    }
  })
  return { builds, loads }
}

/** Six in the morning of the first day but Sundays on which parts sintered at `time` are cold. */
function morningAfter(time: number): number {
  const next = Math.floor(time / DAY) * DAY + DAY
  const day = new Date(next).getUTCDay() === 0 ? next + DAY : next
  return day + 6 * 60 * MINUTE
}
