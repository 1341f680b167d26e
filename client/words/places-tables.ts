import type { PlacesView } from '../../server/contract/places.ts'
import { boxesOf } from '../../src/figures/bed-layout.ts'
import { groupVerdict } from '../../src/figures/split-chart.tsx'
import { meanDecimals } from '../../src/words/format.ts'
import type { TableModel } from '../save/csv.ts'
import { unitText } from './quantities.ts'

const words = (heading: string) => ({ heading, decimals: null })
const figures = (heading: string, decimals: number) => ({ heading, decimals })

/** The bed map as a table: every part, or every box. */
export function bedTable(view: PlacesView, singly: boolean): TableModel {
  const { bed } = view
  if (bed === null) return { caption: 'No places in the bed', columns: [], rows: [] }
  if (bed.parts !== null && singly) {
    return {
      caption: 'Parts, their place in the bed, and how far they lay from the parts of their build and load',
      columns: [
        words('serial'),
        words('build'),
        figures('x, mm', 1),
        figures('y, mm', 1),
        figures('z, mm', 1),
        figures('deviation, standard deviations', 2),
      ],
      rows: bed.parts.map(({ serial, build, x, y, z, deviation }) => [serial, build, x, y, z, deviation]),
    }
  }
  return {
    caption: `Boxes of the bed of ${bed.step.join(' × ')} mm and the parts that lay in them`,
    columns: [
      figures('x from, mm', 1),
      figures('y from, mm', 1),
      figures('z from, mm', 1),
      figures('parts', 0),
      figures('mean deviation, standard deviations', 2),
    ],
    rows: boxesOf(bed).map(({ x, y, z, n, mean }) => [x, y, z, n, mean]),
  }
}

export function trayTable(view: PlacesView): TableModel {
  return {
    caption: 'Places on trays and the parts that stood there',
    columns: [
      words('furnace'),
      words('tray'),
      words('place'),
      figures('parts', 0),
      figures('mean deviation, standard deviations', 2),
    ],
    rows: view.trays.map(({ furnace, tray, place, n, mean }) => [furnace, tray, place, n, mean]),
  }
}

export function splitTable(view: PlacesView): TableModel {
  const decimals = meanDecimals(view.characteristic)
  return {
    caption: `Groups against the mean of the groups, ${unitText(view.characteristic.unit)}, with 95 % intervals`,
    columns: [
      words('split by'),
      words('group'),
      words('compared'),
      figures('how many', 0),
      figures('from the mean', decimals),
      figures('lower', decimals),
      figures('upper', decimals),
      words('verdict'),
    ],
    rows: view.splits.flatMap((split) =>
      split.groups.map((group) => [
        split.by,
        group.name,
        split.compares,
        group.n,
        group.value,
        group.lower,
        group.upper,
        groupVerdict(group),
      ]),
    ),
  }
}
