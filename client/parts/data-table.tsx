import { formatNumber } from '../../src/words/format.ts'
import type { TableCell, TableColumn, TableModel } from '../save/csv.ts'

/** A table in a region of its own that scrolls sideways where it is too wide. */
export function DataTable({ table }: { table: TableModel }) {
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must be reached by keyboard
    <section class="scroll" aria-label={table.caption} tabIndex={0}>
      <table>
        <caption class="unseen">{table.caption}</caption>
        <thead>
          <tr>
            {table.columns.map((column) => (
              <th key={column.heading} scope="col" class={column.decimals === null ? undefined : 'number'}>
                {column.heading}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {table.rows.map((row, i) => (
            // Rows have no name of their own and never change places.
            <tr key={i}>
              {row.map((cell, k) => {
                const column = table.columns[k] as TableColumn
                return (
                  <td key={column.heading} class={column.decimals === null ? undefined : 'number'}>
                    {cellText(cell, column)}
                  </td>
                )
              })}
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  )
}

function cellText(cell: TableCell, column: TableColumn): string {
  if (cell === null) return '–'
  return typeof cell === 'number' ? formatNumber(cell, column.decimals ?? 0) : cell
}
