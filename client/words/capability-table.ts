import type { CapabilityView } from '../../server/contract/views.ts'
import type { IndexEstimate } from '../../src/capability/index-estimate.ts'
import { requirementText } from '../../src/figures/requirement.ts'
import { choiceSentence } from '../../src/words/choice-words.ts'
import type { TableCell, TableColumn, TableModel } from '../save/csv.ts'
import { unitText } from './quantities.ts'

/** Everything that is known of every characteristic, for the table behind the picture and for CSV. */
export function capabilityTable(view: CapabilityView): TableModel {
  const words = (heading: string): TableColumn => ({ heading, decimals: null })
  const figures = (heading: string, decimals: number): TableColumn => ({ heading, decimals })
  const index = (name: string) => [figures(name, 2), figures(`${name} from`, 2), figures(`${name} to`, 2)]
  const share = (name: string) => [figures(name, 6), figures(`${name} from`, 6), figures(`${name} to`, 6)]
  return {
    caption: `Capability of ${view.partNumber.number} revision ${view.partNumber.revision}`,
    columns: [
      words('number'),
      words('characteristic'),
      words('requirement'),
      words('unit'),
      figures('parts', 0),
      figures('builds', 0),
      figures('mean', 4),
      figures('least', 3),
      figures('greatest', 3),
      figures('sigma inside builds', 5),
      figures('sigma between builds', 5),
      figures('sigma overall', 5),
      ...index('Cp'),
      ...index('Cpk'),
      ...index('Pp'),
      ...index('Ppk'),
      ...share('share outside'),
      ...share('tolerance used'),
      words('distribution'),
      words('why this distribution'),
      words('class'),
      words('asked'),
      figures('sure to', 3),
      words('verdict'),
      figures('parts in all to tell', 0),
      figures('builds in all to tell', 0),
      words('stable'),
    ],
    rows: view.rows.map((row) => [
      row.characteristic.designator,
      row.characteristic.name,
      requirementText(row.characteristic),
      unitText(row.characteristic.unit),
      row.n,
      row.builds,
      row.mean,
      row.min,
      row.max,
      row.sigmaWithin,
      row.sigmaBetween,
      row.sigmaOverall,
      ...three(row.cp),
      ...three(row.cpk),
      ...three(row.pp),
      ...three(row.ppk),
      ...three(row.outside.total),
      ...three(row.toleranceUsed),
      row.shape?.fitted.family ?? null,
      row.shape === null ? null : choiceSentence(row.shape.fitted.family, row.shape.reason),
      row.requirement.class,
      `${row.requirement.index} ${row.requirement.value}`,
      row.requirement.confidence,
      row.verdict,
      row.toSettle?.parts ?? null,
      row.toSettle?.builds ?? null,
      row.stable ? 'yes' : `no, first signal at ${row.movedAt}`,
    ]),
  }
}

function three(index: Omit<IndexEstimate, 'confidence'> | null): TableCell[] {
  return index === null ? [null, null, null] : [index.value, index.lower, index.upper]
}
