import type { ComponentChildren } from 'preact'
import { useState } from 'preact/hooks'
import type { TableCell, TableColumn, TableModel } from '../save/csv.ts'
import { cellText } from '../words/figure-text.ts'

export interface DataTableProps {
  readonly table: TableModel
  /** What the first cell of a row opens below it, and how that is said; rows open nothing where it is left out. */
  readonly detail?: { readonly open: string; readonly close: string; of(row: number): ComponentChildren }
  /** Where a cell leads to, by its row and the heading of its column; null where nowhere. */
  readonly link?: (row: number, heading: string) => string | null
}

/** A table in a region of its own that scrolls sideways where it is too wide. */
export function DataTable({ table, detail, link }: DataTableProps) {
  const [opened, setOpened] = useState<number | null>(null)
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
          {table.rows.map((row, i) => [
            // Rows have no name of their own and never change places.
            <tr key={i}>
              {row.map((cell, k) => {
                const column = table.columns[k] as TableColumn
                return (
                  <td key={column.heading} class={column.decimals === null ? undefined : 'number'}>
                    {detail === undefined || k > 0 ? (
                      <CellText text={shown(cell, column)} to={link?.(i, column.heading) ?? null} />
                    ) : (
                      <button
                        type="button"
                        class="plain"
                        aria-label={`${opened === i ? detail.close : detail.open}, ${column.heading} ${shown(cell, column)}`}
                        aria-expanded={opened === i}
                        onClick={() => setOpened(opened === i ? null : i)}
                      >
                        {shown(cell, column)}
                      </button>
                    )}
                  </td>
                )
              })}
            </tr>,
            detail !== undefined && opened === i && (
              <tr key={`${i} detail`} class="form">
                <td colSpan={table.columns.length}>{detail.of(i)}</td>
              </tr>
            ),
          ])}
        </tbody>
      </table>
    </section>
  )
}

function CellText({ text, to }: { text: string; to: string | null }) {
  return to === null ? <>{text}</> : <a href={to}>{text}</a>
}

function shown(cell: TableCell, column: TableColumn): string {
  if (cell === null) return '–'
  return typeof cell === 'number' ? cellText(cell, column.decimals ?? 0) : cell
}
