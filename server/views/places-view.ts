import { leftOutBuilds } from '../../src/charts/exclusions.ts'
import type { Stage } from '../../src/domain/cell.ts'
import type { Characteristic } from '../../src/domain/characteristic.ts'
import type { BedModel, Extent, Split, SplitBy, TrayCell } from '../../src/places/model.ts'
import { splitGroups } from '../../src/places/split-groups.ts'
import type { GroupSum } from '../../src/variation/group-effects.ts'
import { placeWords } from '../../src/words/place-words.ts'
import type { PlacesView } from '../contract/places.ts'
import type { PartNumber, TimelineBuild } from '../contract/views.ts'
import { kept } from '../store/kept.ts'
import { naturalOrder } from '../store/natural-order.ts'
import type { PartSum, PlacesWanted } from '../store/places.ts'
import type { Store } from '../store/store.ts'
import { studiesOf } from '../store/studies-on-record.ts'

/** More parts than these are not told apart on a map. */
const MOST_PARTS = 2000
/** Boxes along the longer side of the bed, and along its height. */
const BOXES = 20
const LAYERS = 8
/** Chance that an interval of a split misses. */
const LEVEL = 0.05

/** Where the parts of a characteristic lay and stood, and which places and conditions give other parts. */
export function placesView(
  store: Store,
  partNumber: PartNumber,
  characteristic: Characteristic,
  stage: Stage,
  last: number | undefined,
): Promise<PlacesView> {
  return kept(store, `places ${characteristic.id} ${stage} ${last}`, () =>
    computePlaces(store, partNumber, characteristic, stage, last),
  )
}

async function computePlaces(
  store: Store,
  partNumber: PartNumber,
  characteristic: Characteristic,
  stage: Stage,
  last: number | undefined,
): Promise<PlacesView> {
  const all = await store.builds(partNumber.id, stage)
  const { study } = (await studiesOf(store, partNumber.id, stage, all)).of(characteristic.id)
  const leftOut = leftOutBuilds(study.exclusions)
  const span = (last === undefined ? all : all.slice(-last)).filter((build) => !leftOut.has(build.id))
  const wanted = { characteristicId: characteristic.id, stage, buildIds: span.map((build) => build.id) }
  const [byTray, byGauge] = await Promise.all([store.sumsByTray(wanted), store.sumsByGauge(wanted)])
  const parts = byTray.reduce((sum, each) => sum + each.n, 0)
  const sigma = sigmaInCells(byTray)
  const [bed, trays] =
    sigma === null
      ? [null, []]
      : await Promise.all([bedModel(store, wanted, span, sigma), trayCells(store, wanted, sigma)])
  const splits = [
    splitByTray(byTray),
    splitInside(
      'gauge',
      byGauge,
      (row) => row.cellId,
      (row) => row.name,
    ),
    splitByBuild('furnace', byTray, (row) => row.furnace),
    splitByBuild(
      'printer',
      byTray,
      conditionOf(span, (build) => build.printer),
    ),
    splitByBuild(
      'powder lot',
      byTray,
      conditionOf(span, (build) => build.powderLot),
    ),
  ].filter((split) => split !== null)
  const [first, end] = [span[0], span[span.length - 1]]
  const builds = first && end ? { first: first.name, last: end.name, count: span.length } : null
  return {
    partNumber,
    characteristic,
    stage,
    builds,
    total: all.length,
    parts,
    sigma,
    bed,
    trays,
    splits,
    ...placeWords(characteristic, splits, parts > 0 ? builds && { ...builds, parts } : null),
  }
}

function conditionOf(span: readonly TimelineBuild[], of: (build: TimelineBuild) => string | null) {
  const byId = new Map(span.map((build) => [build.id, of(build)]))
  return (row: PartSum) => byId.get(row.buildId) ?? null
}

/** Pooled over cells, each about its own mean. */
function sigmaInCells(rows: readonly PartSum[]): number | null {
  const cells = new Map<number, { n: number; sum: number; squares: number }>()
  for (const { cellId, n, sum, squares } of rows) {
    const cell = cells.get(cellId) ?? { n: 0, sum: 0, squares: 0 }
    cells.set(cellId, { n: cell.n + n, sum: cell.sum + sum, squares: cell.squares + squares })
  }
  let df = 0
  let squares = 0
  for (const cell of cells.values()) {
    df += cell.n - 1
    squares += cell.squares - (cell.sum * cell.sum) / cell.n
  }
  return df > 0 && squares > 0 ? Math.sqrt(squares / df) : null
}

async function bedModel(
  store: Store,
  wanted: PlacesWanted,
  span: readonly TimelineBuild[],
  sigma: number,
): Promise<BedModel | null> {
  const extent = await store.bedExtent(wanted)
  if (extent === null) return null
  const { low, high } = extent
  const side = Math.max(high[0] - low[0], high[1] - low[1])
  const plan = roundStep(side / BOXES)
  const step = [plan, plan, roundStep((high[2] - low[2]) / LAYERS)] as const
  // Boxes begin at a round place at or below the lowest part.
  const corner = low.map(
    (value, i) => Math.floor(value / (step[i] as number)) * (step[i] as number),
  ) as unknown as readonly [number, number, number]
  const range = (i: 0 | 1 | 2): Extent => [
    corner[i],
    corner[i] + (Math.floor((high[i] - corner[i]) / step[i]) + 1) * step[i],
  ]
  const frame = { x: range(0), y: range(1), z: range(2), step }
  if (extent.parts <= MOST_PARTS) {
    const names = new Map(span.map((build) => [build.id, build.name]))
    const values = await store.placedValues(wanted)
    const parts = values.map(({ serial, buildId, x, y, z, deviation }) => ({
      serial,
      build: names.get(buildId) ?? '',
      x,
      y,
      z,
      deviation: deviation / sigma,
    }))
    return { ...frame, parts, cells: [] }
  }
  const sums = await store.bedSums(wanted, corner, step)
  const cells = sums.map(({ i, j, k, n, sum }) => ({
    x: corner[0] + i * step[0],
    y: corner[1] + j * step[1],
    z: corner[2] + k * step[2],
    n,
    mean: sum / n / sigma,
  }))
  return { ...frame, parts: null, cells }
}

/** The next of 1, 2, 5, 10, 20 … mm. */
function roundStep(atLeast: number): number {
  if (!(atLeast > 0)) return 1
  const power = 10 ** Math.floor(Math.log10(atLeast))
  const factor = [1, 2, 5, 10].find((each) => each * power >= atLeast * (1 - 1e-9)) as number
  return Math.max(1, factor * power)
}

async function trayCells(store: Store, wanted: PlacesWanted, sigma: number): Promise<TrayCell[]> {
  const sums = await store.trayPlaces(wanted)
  return sums
    .map(({ sum, ...row }) => ({ ...row, mean: sum / row.n / sigma }))
    .sort(
      (a, b) =>
        naturalOrder(a.furnace ?? '', b.furnace ?? '') ||
        naturalOrder(a.tray, b.tray) ||
        naturalOrder(a.place ?? '', b.place ?? ''),
    )
}

type RowName = (row: PartSum) => string | null

/** Trays against the trays of the same load. */
function splitByTray(rows: readonly PartSum[]): Split | null {
  return splitInside(
    'tray',
    rows,
    (row) => row.cellId,
    (row) =>
      row.name === null
        ? null
        : `tray ${row.name}${row.furnace === null ? '' : ` of furnace ${row.furnace}`}`,
    (row) => `${row.furnace ?? ''} ${row.name}`,
  )
}

/** Parts compared inside blocks. Rows without a name take no part. */
function splitInside(
  by: SplitBy,
  rows: readonly PartSum[],
  blockOf: (row: PartSum) => number,
  nameOf: RowName,
  orderOf: RowName = nameOf,
): Split | null {
  const { names, indexOf } = namesIn(rows, nameOf, orderOf)
  if (names.length < 2) return null
  const origins = new Map<number, number>()
  const sums = rows.flatMap((row): GroupSum[] => {
    const name = nameOf(row)
    if (name === null) return []
    const block = blockOf(row)
    // Cells of one block have means of their own: all are taken to the origin of the first.
    const origin = origins.get(block) ?? row.mean
    origins.set(block, origin)
    const shift = row.mean - origin
    return [
      {
        block,
        group: indexOf(name),
        n: row.n,
        sum: row.sum + row.n * shift,
        squares: row.squares + 2 * shift * row.sum + row.n * shift * shift,
      },
    ]
  })
  return { by, compares: 'parts', groups: splitGroups(names, sums, LEVEL) }
}

/** Inside builds where some build is split; else builds against builds. */
function splitByBuild(by: SplitBy, rows: readonly PartSum[], nameOf: RowName): Split | null {
  const { names, indexOf } = namesIn(rows, nameOf)
  if (names.length < 2) return null
  const builds = new Map<number, { name: string; n: number; sum: number; mixed: boolean }>()
  const origin = (rows[0] as PartSum).mean
  for (const row of rows) {
    const name = nameOf(row)
    if (name === null) continue
    const known = builds.get(row.buildId) ?? { name, n: 0, sum: 0, mixed: false }
    builds.set(row.buildId, {
      name,
      n: known.n + row.n,
      sum: known.sum + row.sum + row.n * (row.mean - origin),
      mixed: known.mixed || known.name !== name,
    })
  }
  if ([...builds.values()].some((build) => build.mixed)) {
    return splitInside(by, rows, (row) => row.buildId, nameOf)
  }
  const sums = [...builds.values()].map(({ name, n, sum }): GroupSum => {
    const mean = sum / n
    return { block: 0, group: indexOf(name), n: 1, sum: mean, squares: mean * mean }
  })
  return { by, compares: 'builds', groups: splitGroups(names, sums, LEVEL) }
}

/** Names of groups, in the natural order of `orderOf`. */
function namesIn(rows: readonly PartSum[], nameOf: RowName, orderOf: RowName = nameOf) {
  const order = new Map<string, string>()
  for (const row of rows) {
    const name = nameOf(row)
    if (name !== null) order.set(name, orderOf(row) ?? name)
  }
  const names = [...order].sort(([, a], [, b]) => naturalOrder(a, b)).map(([name]) => name)
  const index = new Map(names.map((name, i) => [name, i]))
  return { names, indexOf: (name: string) => index.get(name) as number }
}
