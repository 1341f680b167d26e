import type { Selectable } from 'kysely'
import type { Build, FurnaceLoad } from '../../src/domain/build.ts'
import type { Stage } from '../../src/domain/cell.ts'
import type { TimelineBuild } from '../contract/views.ts'
import type { Engine } from './engine.ts'
import { naturalOrder } from './natural-order.ts'
import type { BuildTable, FurnaceLoadTable } from './schema.ts'

const BUILD_COLUMNS = [
  'id',
  'name',
  'printed_at',
  'printer',
  'build_box',
  'powder_lot',
  'powder_reuse',
  'scale_x',
  'scale_y',
  'scale_z',
  'conditions',
] as const satisfies readonly (keyof BuildTable)[]

const NONE: readonly string[] = []

/**
 * Builds with measured parts of the part number at this stage, in order of printing. What builds share, such as the name
 * of a printer, is one string in memory, so that a timeline of ten thousand builds takes some 300 bytes a build.
 */
export async function timelineBuilds(
  engine: Engine,
  partNumberId: number,
  stage: Stage,
): Promise<TimelineBuild[]> {
  const of = [partNumberId, stage]
  const builds: (TimelineBuild & Lists)[] = []
  const shared = new Shared()
  // At once: where the database is a process of its own, it works on one while the rows of another are read here.
  const [furnaces, gauges] = await Promise.all([
    namesByBuild(
      engine,
      'furnace_load.furnace',
      `build_load join furnace_load on furnace_load.id = build_load.furnace_load_id
       where build_load.part_number_id = $1 and build_load.stage = $2 and furnace_load.furnace is not null`,
      of,
    ),
    namesByBuild(
      engine,
      'gauge.name',
      `build_gauge join gauge on gauge.id = build_gauge.gauge_id
       where build_gauge.part_number_id = $1 and build_gauge.stage = $2`,
      of,
    ),
    engine.scan(
      BUILD_COLUMNS.map((column) => `build.${column}`),
      `measured_build join build on build.id = measured_build.build_id
       where measured_build.part_number_id = $1 and measured_build.stage = $2`,
      of,
      (
        id: number,
        name: string,
        printedAt: number | null,
        printer: string | null,
        buildBox: string | null,
        powderLot: string | null,
        powderReuse: number | null,
        x: number | null,
        y: number | null,
        z: number | null,
        conditions: string,
      ) =>
        builds.push({
          id,
          name,
          printedAt,
          printer: shared.text(printer),
          buildBox: shared.text(buildBox),
          powderLot: shared.text(powderLot),
          powderReuse,
          scale: { x, y, z },
          conditions: shared.conditions(conditions),
          furnaces: NONE,
          gauges: NONE,
        }),
    ),
  ])
  for (const build of builds) {
    build.furnaces = furnaces.get(build.id) ?? NONE
    build.gauges = gauges.get(build.id) ?? NONE
  }
  return builds.sort(inOrderOfPrinting)
}

/** What is filled in once every query has been answered. */
interface Lists {
  furnaces: readonly string[]
  gauges: readonly string[]
}

/** Names by build, each once and in natural order; builds with the same single name share its list. */
async function namesByBuild(
  engine: Engine,
  name: string,
  from: string,
  of: readonly (string | number)[],
): Promise<ReadonlyMap<number, readonly string[]>> {
  const names = new Map<number, readonly string[]>()
  const alone = new Map<string, readonly string[]>()
  await engine.scan(['build_id', name], from, of, (buildId: number, each: string) => {
    const known = names.get(buildId)
    if (known !== undefined) {
      if (!known.includes(each)) names.set(buildId, [...known, each].sort(naturalOrder))
      return
    }
    let list = alone.get(each)
    if (list === undefined) {
      list = [each]
      alone.set(each, list)
    }
    names.set(buildId, list)
  })
  return names
}

/** One copy of what many builds say alike. */
class Shared {
  readonly #texts = new Map<string, string>()
  readonly #conditions = new Map<string, Readonly<Record<string, string>>>()

  text(text: string | null): string | null {
    if (text === null) return null
    const known = this.#texts.get(text)
    if (known === undefined) this.#texts.set(text, text)
    return known ?? text
  }

  conditions(json: string): Readonly<Record<string, string>> {
    let known = this.#conditions.get(json)
    if (known === undefined) {
      known = JSON.parse(json) as Record<string, string>
      this.#conditions.set(json, known)
    }
    return known
  }
}

export interface Dated {
  readonly name: string
  readonly printedAt: number | null
}

/** By time of printing, then name; without a time last. */
export function inOrderOfPrinting(a: Dated, b: Dated): number {
  if (a.printedAt !== b.printedAt) {
    if (a.printedAt === null) return 1
    if (b.printedAt === null) return -1
    return a.printedAt - b.printedAt
  }
  return naturalOrder(a.name, b.name)
}

export function buildOf(row: Selectable<BuildTable>): Build {
  return {
    id: row.id,
    name: row.name,
    printedAt: row.printed_at,
    printer: row.printer,
    buildBox: row.build_box,
    powderLot: row.powder_lot,
    powderReuse: row.powder_reuse,
    scale: { x: row.scale_x, y: row.scale_y, z: row.scale_z },
    conditions: JSON.parse(row.conditions) as Record<string, string>,
  }
}

export function loadOf(row: Selectable<FurnaceLoadTable>): FurnaceLoad {
  return {
    id: row.id,
    name: row.name,
    sinteredAt: row.sintered_at,
    furnace: row.furnace,
    profile: row.profile,
    atmosphere: row.atmosphere,
    conditions: JSON.parse(row.conditions) as Record<string, string>,
  }
}
