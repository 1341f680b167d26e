import { useState } from 'preact/hooks'
import type { ImportChoices, Question, Reading, Receipt } from '../../../server/contract/receipt.ts'
import {
  type Answers,
  choicesFrom,
  firstAnswers,
  likelyColumns,
  questionKey,
  stillToName,
} from '../../data/intake-answers.ts'
import { timeText } from '../../words/quantities.ts'
import { DataTable } from '../data-table.tsx'
import { ColumnsToName, nameOf, RoleChoice } from './columns-to-name.tsx'

interface AskingProps {
  readonly receipt: Receipt
  readonly reading: Reading
  onChoose(choices: Partial<ImportChoices>): void
}

const SHAPES = {
  'measurement-a-row': 'one measurement a row',
  'part-a-row': 'one part a row, a column for each characteristic',
  'characteristic-a-row': 'one characteristic a row, a column for each part',
  blocks: 'blocks of one part each',
} as const

/** How a file would be read, what only a person can say of it, and the way on. */
export function Asking({ receipt, reading, onChoose }: AskingProps) {
  const [answers, setAnswers] = useState<Answers>(() => firstAnswers(reading.questions))
  const [columns, setColumns] = useState<Readonly<Record<string, string>>>(() => likelyColumns(reading))
  const isUnknown = reading.columns.every(({ role }) => role === null)
  const missing = isUnknown ? stillToName(columns) : []
  const waiting = reading.questions.filter(
    (question) => question.waits && (answers[questionKey(question)] ?? '').trim() === '',
  )
  return (
    <form
      class="asking"
      onSubmit={(event) => {
        event.preventDefault()
        onChoose(choicesFrom(reading, answers, columns))
      }}
    >
      <p class="grounds">
        {reading.shape === null
          ? ''
          : `Read as ${SHAPES[reading.shape]}, ${reading.headingLine === 0 ? 'without headings' : `headings in line ${reading.headingLine}`}. `}
        {reading.remembered !== null &&
          `Read as ${reading.remembered.who} decided for this layout on ${timeText(reading.remembered.at)}.`}
      </p>
      {reading.questions.map((question) => (
        <QuestionField
          key={questionKey(question)}
          question={question}
          value={answers[questionKey(question)] ?? ''}
          onChange={(answer) => setAnswers({ ...answers, [questionKey(question)]: answer })}
        />
      ))}
      {isUnknown ? (
        <ColumnsToName
          fileName={receipt.fileName}
          reading={reading}
          columns={columns}
          onColumn={(position, role) => setColumns({ ...columns, [position]: role })}
        />
      ) : (
        <ReadingTable
          fileName={receipt.fileName}
          reading={reading}
          columns={columns}
          onColumn={(position, role) => setColumns({ ...columns, [position]: role })}
        />
      )}
      <p class="actions">
        <button type="submit" class="main" disabled={waiting.length > 0 || missing.length > 0}>
          Take it in so
        </button>
        <button
          type="button"
          disabled={missing.length > 0}
          onClick={() => onChoose({ ...choicesFrom(reading, answers, columns), preview: true })}
        >
          Show how it is read then
        </button>
        {missing.length > 0 && <span class="quiet">{`Still to name: ${missing.join(', ')}.`}</span>}
      </p>
    </form>
  )
}

interface QuestionFieldProps {
  readonly question: Question
  readonly value: string
  onChange(answer: string): void
}

function QuestionField({ question, value, onChange }: QuestionFieldProps) {
  const id = `question-${questionKey(question).replace(' ', '-')}`
  return (
    <div class="field">
      <label for={id}>{question.text}</label>
      {question.options.length === 0 ? (
        <input
          id={id}
          type="text"
          value={value}
          required={question.waits}
          onInput={(event) => onChange(event.currentTarget.value)}
        />
      ) : (
        <select
          id={id}
          value={value}
          required={question.waits}
          onChange={(event) => onChange(event.currentTarget.value)}
        >
          <option value="">choose</option>
          {question.options.map(({ choice, text }) => (
            <option key={choice} value={choice}>
              {text}
            </option>
          ))}
        </select>
      )}
    </div>
  )
}

interface ReadingTableProps {
  readonly fileName: string
  readonly reading: Reading
  readonly columns: Readonly<Record<string, string>>
  onColumn(position: number, role: string): void
}

/** Each column with what it is taken for, to be put right by hand, and the first values as read. */
function ReadingTable({ fileName, reading, columns, onColumn }: ReadingTableProps) {
  const shown = [...new Set(reading.rows.flatMap(({ fields }) => Object.keys(fields)))]
  const inWords = new Map(reading.roles.map(({ role, inWords }) => [role, inWords]))
  return (
    <>
      <details>
        <summary>What each column is taken for</summary>
        <ul class="mapping">
          {reading.columns.map((column) => (
            <li key={column.position}>
              <span>{nameOf(column)}</span>
              <RoleChoice
                roles={reading.roles}
                label={`What ${nameOf(column)} holds`}
                value={columns[column.position] ?? column.role ?? 'none'}
                onChange={(role) => onColumn(column.position, role)}
              />
            </li>
          ))}
        </ul>
      </details>
      {reading.context.length > 0 && (
        <p>{`For all rows: ${reading.context.map(({ inWords: words, text }) => `${words} ${text}`).join(', ')}.`}</p>
      )}
      {reading.rows.length > 0 && (
        <DataTable
          table={{
            caption: `The first values of ${fileName}, as they are read`,
            columns: [
              { heading: 'line', decimals: 0 },
              ...shown.map((role) => ({ heading: inWords.get(role) ?? role, decimals: null })),
            ],
            rows: reading.rows.map(({ line, fields }) => [line, ...shown.map((role) => fields[role] ?? '')]),
          }}
        />
      )}
    </>
  )
}
