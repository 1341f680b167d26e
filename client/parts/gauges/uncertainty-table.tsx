import type { Characteristic } from '../../../src/domain/characteristic.ts'
import type { MeasurementUncertainty } from '../../../src/gauges/uncertainty.ts'
import { formatNumber, meanDecimals } from '../../../src/words/format.ts'
import { unitText } from '../../../src/words/unit.ts'
import type { TableModel } from '../../save/csv.ts'
import { DataTable } from '../data-table.tsx'

interface UncertaintyTableProps {
  readonly title: string
  readonly uncertainty: MeasurementUncertainty
  readonly characteristic: Characteristic
}

/** What the uncertainty of measuring is made of, the greatest first. */
export function UncertaintyTable({ title, uncertainty, characteristic }: UncertaintyTableProps) {
  const { expanded, effectiveDf, coverage, sources } = uncertainty
  const unit = unitText(characteristic.unit)
  const decimals = meanDecimals(characteristic) + 1
  const table: TableModel = {
    caption: `Uncertainty of measuring ${title}`,
    columns: [
      { heading: 'source', decimals: null },
      { heading: `standard uncertainty, ${unit}`, decimals },
      { heading: 'degrees of freedom', decimals: 0 },
      { heading: '% of the variance', decimals: 0 },
      { heading: 'counts', decimals: null },
    ],
    rows: sources.map(({ name, standard, df, share, counted }) => [
      name,
      standard,
      df,
      100 * share,
      counted ? 'yes' : 'no, a greater one holds it already',
    ]),
  }
  return (
    <>
      <p>
        {`${title}: U = ${formatNumber(expanded, decimals)} ${unit} (k = 2), which covers ${formatNumber(100 * coverage, 1)} % of errors${effectiveDf === null ? '' : ` at ${formatNumber(effectiveDf, 0)} effective degrees of freedom`}.`}
      </p>
      <DataTable table={table} />
    </>
  )
}
