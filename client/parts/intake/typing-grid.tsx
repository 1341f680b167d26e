import { useRef } from 'preact/hooks'
import { type Characteristic, writtenUnit } from '../../../src/domain/characteristic.ts'
import { requirementText } from '../../../src/figures/requirement.ts'
import { characteristicTitle } from '../../../src/words/format.ts'
import { isOpen, type TypedRemark } from '../../data/typed-checks.ts'
import { OWN_FIELD_WORDS, type OwnField, ownCell, ownFields } from '../../data/typed-own-limits.ts'
import type { TypedSheet } from '../../data/typed-sheet.ts'
import { unitText } from '../../words/quantities.ts'

interface TypingGridProps {
  readonly sheet: TypedSheet
  readonly characteristics: readonly Characteristic[]
  readonly remarks: readonly TypedRemark[]
  onSerial(row: number, text: string): void
  onCell(row: number, designator: string, text: string): void
  onFocus(row: number, designator: string | null): void
  onUndo(): void
}

/** One row a part: Enter and Tab go to the next characteristic, then to the next part; arrows move about. */
export function TypingGrid(props: TypingGridProps) {
  const { sheet, characteristics, remarks, onSerial, onCell, onFocus, onUndo } = props
  const body = useRef<HTMLTableSectionElement>(null)
  const columns = characteristics.flatMap(columnsOf)
  const width = columns.length + 1
  const goTo = (row: number, column: number) => {
    const field = body.current?.querySelector<HTMLInputElement>(`[data-at="${row} ${column}"]`)
    field?.focus()
    field?.select()
    return field !== null && field !== undefined
  }
  const key = (event: KeyboardEvent, row: number, column: number) => {
    const field = event.currentTarget as HTMLInputElement
    const atStart = field.selectionStart === 0
    const atEnd = field.selectionEnd === field.value.length
    const step = (cells: number) => {
      const to = row * width + column + cells
      return goTo(Math.floor(to / width), to % width)
    }
    const moved =
      event.key === 'Enter'
        ? step(event.shiftKey ? -1 : 1)
        : event.key === 'ArrowDown'
          ? goTo(row + 1, column)
          : event.key === 'ArrowUp'
            ? goTo(row - 1, column)
            : event.key === 'ArrowRight' && atEnd
              ? step(1)
              : event.key === 'ArrowLeft' && atStart
                ? step(-1)
                : false
    const undone = event.key === 'z' && (event.ctrlKey || event.metaKey)
    if (undone) onUndo()
    if (moved || undone || event.key === 'Enter') event.preventDefault()
  }
  const marked = (row: number, { designator, field }: Column) =>
    remarks.filter((each) => each.row === row && each.designator === designator && each.field === field)
  return (
    <div class="scroll">
      <table class="typing">
        <caption class="unseen">{`Values of build ${sheet.build}, one row a part`}</caption>
        <thead>
          <tr>
            <th scope="col">serial</th>
            {columns.map(({ cell, title, requirement }) => (
              <th key={cell} scope="col">
                {title}
                <span class="quiet">{` ${requirement}`}</span>
              </th>
            ))}
          </tr>
        </thead>
        <tbody ref={body}>
          {sheet.rows.map((part, row) => (
            // Rows have no name until their serial number is typed, and never change places.
            <tr key={row}>
              <td data-label="serial">
                <input
                  type="text"
                  data-at={`${row} 0`}
                  aria-label={`Serial number of part ${row + 1}`}
                  maxLength={200}
                  autocomplete="off"
                  value={part.serial}
                  onInput={(event) => onSerial(row, event.currentTarget.value)}
                  onFocus={() => onFocus(row, null)}
                  onKeyDown={(event) => key(event, row, 0)}
                />
              </td>
              {columns.map((column, i) => {
                const { cell, title } = column
                const found = marked(row, column)
                const shown = found.find(isOpen) ?? found[0]
                return (
                  <td key={cell} data-label={title}>
                    <input
                      type="text"
                      inputMode="decimal"
                      class={found.some(isOpen) ? 'doubtful' : undefined}
                      data-at={`${row} ${i + 1}`}
                      aria-label={`${title} of part ${part.serial === '' ? row + 1 : part.serial}`}
                      aria-invalid={found.some(({ kind }) => kind === 'fault')}
                      autocomplete="off"
                      value={part.cells[cell]?.text ?? ''}
                      onInput={(event) => onCell(row, cell, event.currentTarget.value)}
                      onFocus={() => onFocus(row, cell)}
                      onKeyDown={(event) => key(event, row, i + 1)}
                    />
                    {shown !== undefined && <span class="mark">{markOf(shown)}</span>}
                  </td>
                )
              })}
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  )
}

interface Column {
  /** What a row calls its cell. */
  readonly cell: string
  readonly designator: string
  readonly field?: OwnField
  readonly title: string
  readonly requirement: string
}

/** The values of a characteristic and, where each part brings limits of its own, what is typed of these beside them. */
function columnsOf(characteristic: Characteristic): Column[] {
  const { designator, ownLimits } = characteristic
  const title = characteristicTitle(characteristic)
  const unit = unitText(writtenUnit(characteristic))
  const requirement =
    ownLimits === undefined
      ? `${requirementText(characteristic)} ${unit}`
      : ownLimits.sides === 'upper' && ownLimits.upper !== null
        ? `max ${ownLimits.upper} ${unit} and its bonus`
        : `${unit}, limits of each part`
  return [
    { cell: designator, designator, title, requirement },
    ...ownFields(characteristic).map((field) => ({
      cell: ownCell(designator, field),
      designator,
      field,
      title: `${designator} ${OWN_FIELD_WORDS[field]}`,
      requirement: unit,
    })),
  ]
}

function markOf({ kind, isKept, doubt }: TypedRemark): string {
  if (isKept) return 'kept'
  return doubt === 'measured-before' ? 'seen before' : MARK[kind]
}

const MARK: Readonly<Record<TypedRemark['kind'], string>> = {
  fault: 'cannot be taken',
  doubt: 'doubtful',
  outside: 'outside',
}
