/** The shop as files: their names and their text. Comma-separated, UTF-8, line feeds, one heading line. */

import type { Shop } from './generate-shop.ts'
import type { ShopMeasurement } from './measure.ts'
import { PART_NUMBERS, type PartNumber } from './shop.ts'

type Field = string | number | null

/** No field of the shop holds a comma, a quote or a line end, so nothing needs quoting. */
function csv(headings: readonly string[], rows: readonly (readonly Field[])[]): string {
  return `${[headings, ...rows].map((row) => row.map((field) => field ?? '').join(',')).join('\n')}\n`
}

/** ISO 8601 in UTC, to the second. */
function time(milliseconds: number): string {
  return `${new Date(milliseconds).toISOString().slice(0, 19)}Z`
}

function characteristicsFile(of: PartNumber): string {
  const headings = ['part_number', 'revision', 'part_name', 'designator', 'name', 'kind']
  return csv(
    [...headings, 'nominal', 'lower', 'upper', 'unit', 'axis'],
    of.characteristics.map((c) => [
      of.partNumber,
      of.revision,
      of.name,
      c.designator,
      c.name,
      c.kind,
      c.nominal,
      c.lower,
      c.upper,
      'mm',
      c.axis,
    ]),
  )
}

function buildsFile(shop: Shop): string {
  const headings = ['build', 'printed_at', 'printer', 'build_box', 'powder_lot', 'powder_reuse']
  return csv(
    [...headings, 'scale_x', 'scale_y', 'scale_z', 'binder_saturation_pct', 'layer_time_s'],
    shop.builds.map((b) => [
      b.build,
      time(b.printedAt),
      b.printer,
      b.buildBox,
      b.powderLot,
      b.powderReuse,
      b.scale.X.toFixed(4),
      b.scale.Y.toFixed(4),
      b.scale.Z.toFixed(4),
      b.binderSaturationPct.toFixed(1),
      b.layerTimeS.toFixed(1),
    ]),
  )
}

function furnaceLoadsFile(shop: Shop): string {
  return csv(
    ['furnace_load', 'sintered_at', 'furnace', 'profile', 'atmosphere'],
    shop.loads.map((l) => [l.furnaceLoad, time(l.sinteredAt), l.furnace, l.profile, l.atmosphere]),
  )
}

function measurementsFile(rows: readonly ShopMeasurement[]): string {
  const part = ['part_number', 'revision', 'serial', 'build', 'furnace_load', 'tray', 'tray_place']
  const value = ['characteristic', 'value', 'unit', 'stage', 'measured_at', 'gauge', 'inspector']
  return csv(
    [...part, 'bed_x', 'bed_y', 'bed_z', ...value],
    rows.map((r) => [
      r.partNumber,
      r.revision,
      r.serial,
      r.build,
      r.furnaceLoad,
      r.tray,
      r.trayPlace,
      r.bed.x.toFixed(1),
      r.bed.y.toFixed(1),
      r.bed.z.toFixed(1),
      r.characteristic,
      r.value.toFixed(3),
      'mm',
      r.stage,
      time(r.measuredAt),
      r.gauge,
      r.inspector,
    ]),
  )
}

/** Lists of words stay on one line, as the project's formatter has them. */
function plantedFile(shop: Shop): string {
  const text = JSON.stringify(shop.planted, null, 2)
  return `${text.replace(/\[\s+("[^[\]{}]*")\s+\]/g, (_, words: string) => `[${words.replace(/\s+/g, ' ')}]`)}\n`
}

/** Text of every file by its path below sample-data/. */
export function shopFiles(shop: Shop): Map<string, string> {
  const files = new Map<string, string>()
  for (const of of PART_NUMBERS)
    files.set(`characteristics/${of.partNumber}-${of.revision}.csv`, characteristicsFile(of))
  files.set('builds/builds.csv', buildsFile(shop))
  files.set('furnace-loads/furnace-loads.csv', furnaceLoadsFile(shop))
  for (const { build } of shop.builds) {
    const rows = shop.measurements.filter((row) => row.build === build)
    files.set(`measurements/${build}.csv`, measurementsFile(rows))
  }
  for (const [name, { headings, rows }] of shop.gaugeFiles)
    files.set(`gauges/${name}.csv`, csv(headings, rows))
  files.set('planted.json', plantedFile(shop))
  return files
}
