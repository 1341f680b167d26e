import type { Nonconforming } from '../../../server/contract/receipt.ts'
import { OWN_TOLERANCE } from '../../../src/domain/characteristic.ts'
import { formatNumber } from '../../../src/words/format.ts'
import type { PartNumberKey } from '../../data/addresses.ts'
import { buildPartsPage, findPartPage, partPage } from '../../data/part-addresses.ts'
import type { TableModel } from '../../save/csv.ts'
import { counted } from '../../words/quantities.ts'
import { DataTable } from '../data-table.tsx'
import { saveTable } from '../figure.tsx'
import { type FileAtHand, rowDetail } from '../source-rows.tsx'

interface ValuesAtLimitsProps {
  readonly values: readonly Nonconforming[]
  readonly fileName: string
  /** How many lie inside the limits and inside the uncertainty; null for values outside the limits. */
  readonly inside: number | null
  readonly file: FileAtHand | null
  /** Part numbers of the file: with one of them a serial number leads straight to its part. */
  readonly partNumbers: readonly PartNumberKey[]
}

/** No probability of conforming is 0 or 1, and none reads as if it were. */
function chanceText(probability: number): string {
  if (probability < 0.0005) return '< 0.001'
  return probability >= 0.9995 ? '> 0.999' : formatNumber(probability, 3)
}

/** Values outside their limits, or nearer to one than the uncertainty of measuring, with what that proves. */
export function ValuesAtLimits({ values, fileName, inside, file, partNumbers }: ValuesAtLimitsProps) {
  const judged = values.some(({ conformity }) => conformity !== undefined)
  const own = values.some(({ ofOwnTolerance }) => ofOwnTolerance !== undefined)
  const table: TableModel = {
    caption:
      inside === null
        ? `Values of ${fileName} outside their specification limits`
        : `Values of ${fileName} inside their limits, nearer to one than the uncertainty of measuring`,
    columns: [
      { heading: 'line', decimals: 0 },
      ...['serial', 'build', 'characteristic', 'value', 'limit'].map((heading) => ({
        heading,
        decimals: null,
      })),
      ...(own ? [{ heading: OWN_TOLERANCE, decimals: null }] : []),
      ...(judged
        ? ['± (k = 2)', 'by ISO 14253-1', 'conforms with probability'].map((heading) => ({
            heading,
            decimals: null,
          }))
        : []),
    ],
    rows: values.map(
      ({ line, serial, build, characteristic, value, side, limit, unit, conformity, ofOwnTolerance }) => [
        line,
        serial,
        build,
        characteristic,
        `${value} ${unit}`,
        `${ofOwnTolerance === undefined ? '' : 'its own '}${side === 'below' ? 'lower' : 'upper'} ${limit}`,
        ...(own ? [ofOwnTolerance === undefined ? '–' : formatNumber(ofOwnTolerance, 3)] : []),
        ...(judged
          ? [
              conformity === undefined ? 'not known' : String(Number(conformity.expanded.toPrecision(3))),
              conformity === undefined ? 'not known' : conformity.decision,
              conformity === undefined ? '–' : chanceText(conformity.probability),
            ]
          : []),
      ],
    ),
  }
  const title =
    inside === null
      ? `${counted(values.length, 'value')} outside the specification limits`
      : `${counted(inside, 'value')} inside the limits that measuring does not prove to conform`
  return (
    <div class="refused">
      <h3>{title}</h3>
      <DataTable
        table={table}
        {...rowDetail(file, values)}
        link={(row, heading) => {
          const { serial, build } = values[row] as Nonconforming
          const [only, another] = partNumbers
          const isOne = only !== undefined && another === undefined
          if (heading === 'serial') return isOne ? partPage(only, serial) : findPartPage(serial)
          return heading === 'build' && isOne ? buildPartsPage(only, build) : null
        }}
      />
      {judged && (
        <p class="quiet">
          A value proves that its part conforms where it lies inside the limits by at least the expanded
          uncertainty, and that it does not where it lies outside by more than that (ISO 14253-1).
        </p>
      )}
      <p class="actions">
        <button type="button" class="plain" onClick={() => saveTable(table, title)}>
          Save the table as CSV
        </button>
      </p>
    </div>
  )
}
