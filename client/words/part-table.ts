import type { PartValue, PartView } from '../../server/contract/parts.ts'
import type { Limits } from '../../src/capability/indices.ts'
import type { Unit } from '../../src/domain/characteristic.ts'
import type { TableModel } from '../save/csv.ts'
import { unitText } from './quantities.ts'
import { figures, words } from './table-columns.ts'

/** All values of a part as they are saved: figures whole, with file and line. */
export function partTable({ serial, values }: PartView): TableModel {
  return {
    caption: `Values of part ${serial}`,
    columns: [
      words('characteristic'),
      words('name'),
      words('stage'),
      figures('reading', 0),
      figures('value', 4),
      words('unit'),
      figures('lower limit', 4),
      figures('upper limit', 4),
      words('limits'),
      figures('expanded uncertainty (k = 2)', 4),
      words('by ISO 14253-1'),
      figures('conforms with probability', 4),
      figures('judged value', 4),
      words('in'),
      figures('mean of its build and load', 4),
      figures('standard deviation there', 4),
      figures('values there', 0),
      words('gauge'),
      words('inspector'),
      words('measured at'),
      figures('import', 0),
      words('file'),
      figures('line', 0),
      words('left out'),
    ],
    rows: values.map((each) => {
      const { characteristic, conformity, among } = each
      return [
        characteristic.designator,
        characteristic.name,
        each.stage,
        each.replicate,
        measuredOf(each),
        unitText(unitOf(each)),
        limitsOf(each).lower,
        limitsOf(each).upper,
        each.own === undefined ? 'of the drawing' : 'of the part’s own',
        conformity?.expanded ?? null,
        conformity?.decision ?? null,
        conformity?.probability ?? null,
        each.value,
        unitText(characteristic.unit),
        among.mean,
        among.deviation,
        among.n,
        each.gauge,
        each.inspector,
        each.measuredAt === null ? null : new Date(each.measuredAt * 1000).toISOString(),
        each.importId,
        each.fileName,
        each.line,
        notCountedWords(each),
      ]
    }),
  }
}

/** Why a value goes into no chart; null where it does. */
export function notCountedWords({ counts, leftOut }: PartValue): string | null {
  if (leftOut !== null) return `left out by ${leftOut.who}: ${leftOut.reason}`
  return counts ? null : 'another measurement of it counts'
}

/** What was measured, in `unitOf`, whatever it is judged as. */
export function measuredOf({ value, own }: PartValue): number {
  return own?.measured ?? value
}

export function unitOf({ characteristic, own }: PartValue): Unit {
  return own === undefined ? characteristic.unit : (characteristic.ownLimits?.unit ?? characteristic.unit)
}

/** The limits that bind, in `unitOf`. */
export function limitsOf({ characteristic, own }: PartValue): Limits {
  const { lower, upper } = own ?? characteristic
  return { lower, upper }
}
