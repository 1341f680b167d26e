import type { RecordEntryView, RecordSubjectView } from '../../../server/contract/record.ts'
import { entriesAbout, RECORD_PAGE, subjectPage } from '../../data/record-addresses.ts'
import { timeText } from '../../words/quantities.ts'

/** Entries of the record, each with the ways to what it is about. */
export function RecordTable({ entries, caption }: { entries: readonly RecordEntryView[]; caption: string }) {
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must be reached by keyboard
    <section class="scroll" aria-label={caption} tabIndex={0}>
      <table class="list record">
        <caption class="unseen">{caption}</caption>
        <thead>
          <tr>
            <th scope="col" class="number">
              entry
            </th>
            <th scope="col">when</th>
            <th scope="col">who</th>
            <th scope="col">what was done</th>
            <th scope="col">about</th>
            <th scope="col">hash</th>
          </tr>
        </thead>
        <tbody>
          {entries.map((entry) => (
            <tr key={entry.sequence} id={`entry-${entry.sequence}`}>
              <td class="number">{entry.sequence}</td>
              <td class="time">{timeText(entry.at)}</td>
              <td>{entry.who ?? '–'}</td>
              <td class="did">
                {entry.did}
                {entry.reason !== null && <p class="quiet">{`Reason: ${entry.reason}`}</p>}
                {entry.erasures.length > 0 && <Erased erasures={entry.erasures} />}
              </td>
              <td class="about">
                {entry.subjects.map((subject, i) => (
                  <span key={`${subject.kind} ${subject.id}`}>
                    {i > 0 && ', '}
                    <Subject subject={subject} />
                  </span>
                ))}
              </td>
              <td title={entry.hash}>
                <code>{entry.hash.slice(0, 12)}</code>
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  )
}

/** Leads to its page or, where it has none, to all that was done about it. */
function Subject({ subject }: { subject: RecordSubjectView }) {
  return <a href={subjectPage(subject) ?? entriesAbout(subject)}>{subject.words}</a>
}

function Erased({ erasures }: { erasures: readonly number[] }) {
  return (
    <p class="quiet">
      {'Something was erased here: '}
      {erasures.map((erasure, i) => (
        <span key={erasure}>
          {i > 0 && ', '}
          <a href={`${RECORD_PAGE}?kind=erasure&before=${erasure + 1}`}>{`entry ${erasure}`}</a>
        </span>
      ))}
      {'.'}
    </p>
  )
}

/** The way to older entries, and back to the newest. */
export function RecordPaging({
  next,
  paged,
  onPage,
}: {
  readonly next: number | null
  readonly paged: boolean
  onPage(before: string | null): void
}) {
  if (next === null && !paged) return null
  return (
    <p class="choices">
      {paged && (
        <button type="button" class="plain" onClick={() => onPage(null)}>
          The newest entries
        </button>
      )}
      {next !== null && (
        <button type="button" onClick={() => onPage(String(next))}>
          Older entries
        </button>
      )}
    </p>
  )
}
