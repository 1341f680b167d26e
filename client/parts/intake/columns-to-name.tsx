import type { Reading } from '../../../server/contract/receipt.ts'

export function nameOf({ heading, position }: Reading['columns'][number]): string {
  return heading === '' ? `column ${position}` : heading
}

interface RoleChoiceProps {
  readonly roles: Reading['roles']
  readonly value: string
  readonly label: string
  onChange(role: string): void
}

export function RoleChoice({ roles, value, label, onChange }: RoleChoiceProps) {
  return (
    <select value={value} aria-label={label} onChange={(event) => onChange(event.currentTarget.value)}>
      <option value="none">passed over</option>
      {roles.map(({ role, inWords }) => (
        <option key={role} value={role}>
          {inWords}
        </option>
      ))}
    </select>
  )
}

interface ColumnsToNameProps {
  readonly fileName: string
  readonly reading: Reading
  /** Place of a column, counted from 1, → what it holds. */
  readonly columns: Readonly<Record<string, string>>
  onColumn(position: number, role: string): void
}

/** A table that is not understood, with a choice above each column of what it holds. */
export function ColumnsToName({ fileName, reading, columns, onColumn }: ColumnsToNameProps) {
  const isGuessed = reading.columns.some(({ likely }) => likely !== undefined)
  return (
    <>
      <p>
        {isGuessed
          ? 'What is filled in is what the headings and the cells suggest: look whether it is right, and name the other columns that count.'
          : 'Say what each column holds: the part, the characteristic and its value are needed, the build where the part is new.'}
      </p>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must be reached by keyboard */}
      <section class="scroll" aria-label={`Columns of ${fileName}`} tabIndex={0}>
        <table class="columns-to-name">
          <caption class="unseen">{`The first rows of ${fileName}, with what each column holds`}</caption>
          <thead>
            <tr>
              <th scope="col" class="number">
                line
              </th>
              {reading.columns.map((column) => (
                <th key={column.position} scope="col">
                  {nameOf(column)}
                  <RoleChoice
                    roles={reading.roles}
                    label={`What ${nameOf(column)} holds`}
                    value={columns[column.position] ?? 'none'}
                    onChange={(role) => onColumn(column.position, role)}
                  />
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {reading.rows.map(({ line, fields }) => (
              <tr key={line}>
                <td class="number">{line}</td>
                {reading.columns.map(({ position }) => (
                  <td key={position}>{fields[`column ${position}`] ?? ''}</td>
                ))}
              </tr>
            ))}
          </tbody>
        </table>
      </section>
    </>
  )
}
