import type { RecordKind, RecordPeopleView } from '../../../server/contract/record.ts'
import { RECORD_KINDS } from '../../../src/words/record-kinds.ts'
import type { RecordFilterName } from '../../data/record-addresses.ts'
import { useResource } from '../../data/resource.ts'
import { useShop } from '../../data/shop.ts'

interface RecordFiltersProps {
  readonly query: Readonly<Record<string, string>>
  onChange(patch: Readonly<Partial<Record<RecordFilterName, string | null>>>): void
}

/** Which entries to list: by kind, person, part number, days and text. */
export function RecordFilters({ query, onChange }: RecordFiltersProps) {
  const people = useResource<RecordPeopleView>('/api/record/people').value?.people ?? []
  const partNumbers = useShop().value?.partNumbers ?? []
  const set = (name: RecordFilterName) => (event: { currentTarget: HTMLInputElement | HTMLSelectElement }) =>
    onChange({ [name]: event.currentTarget.value === '' ? null : event.currentTarget.value })
  const about = query.about ?? ''
  const isPartNumber = about === '' || partNumbers.some(({ id }) => about === `part-number:${id}`)
  return (
    <search class="controls" aria-label="Which entries">
      <label>
        {'kind '}
        <select value={query.kind ?? ''} onChange={set('kind')}>
          <option value="">all</option>
          {(Object.keys(RECORD_KINDS) as RecordKind[]).map((kind) => (
            <option key={kind} value={kind}>
              {RECORD_KINDS[kind]}
            </option>
          ))}
        </select>
      </label>
      <label>
        {'who '}
        <select value={query.person ?? ''} onChange={set('person')}>
          <option value="">everybody</option>
          {people.map((name) => (
            <option key={name} value={name}>
              {name}
            </option>
          ))}
        </select>
      </label>
      <label>
        {'about '}
        <select value={about} onChange={set('about')}>
          <option value="">everything</option>
          {!isPartNumber && <option value={about}>{about.replace(':', ' ').replaceAll('-', ' ')}</option>}
          {partNumbers.map(({ id, number, revision }) => (
            <option key={id} value={`part-number:${id}`}>
              {`${number} ${revision}`}
            </option>
          ))}
        </select>
      </label>
      <label>
        {'from '}
        <input type="date" value={query.from ?? ''} onChange={set('from')} />
      </label>
      <label>
        {'to '}
        <input type="date" value={query.to ?? ''} onChange={set('to')} />
      </label>
      <label>
        {'text '}
        <input type="text" value={query.text ?? ''} maxLength={200} onChange={set('text')} />
      </label>
    </search>
  )
}
