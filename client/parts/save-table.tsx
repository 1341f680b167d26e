import type { TableModel } from '../save/csv.ts'
import { saveTable } from './figure.tsx'

/** A button that saves the table that it stands below. */
export function SaveTable({ title, table }: { title: string; table: () => TableModel }) {
  return (
    <p class="actions">
      <button type="button" class="plain" onClick={() => saveTable(table(), title)}>
        Save the table as CSV
      </button>
    </p>
  )
}
