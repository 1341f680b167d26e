import { useState } from 'preact/hooks'
import type { ImportChoices } from '../../../server/contract/receipt.ts'
import { useShop } from '../../data/shop.ts'

/** What the choice of a part number says where it is none of those on record. */
const ANOTHER = 'another'

/** Says which part number a file is of: one on record, or another. */
export function NamePartNumber({ onRemedy }: { onRemedy: (choices: Partial<ImportChoices>) => void }) {
  const known = useShop().value?.partNumbers ?? []
  const [chosen, setChosen] = useState('')
  const [number, setNumber] = useState('')
  const [revision, setRevision] = useState('')
  const isAnother = known.length === 0 || chosen === ANOTHER
  return (
    <form
      class="inline"
      onSubmit={(event) => {
        event.preventDefault()
        const picked = known[Number(chosen)]
        if (!isAnother && picked !== undefined) {
          onRemedy({ partNumber: picked.number, revision: picked.revision })
        } else {
          onRemedy({ partNumber: number.trim(), revision: revision.trim() === '' ? null : revision.trim() })
        }
      }}
    >
      {known.length > 0 && (
        <label class="field">
          Of which part number is it?
          <select required value={chosen} onChange={(event) => setChosen(event.currentTarget.value)}>
            <option value="">choose</option>
            {known.map((each, i) => (
              <option key={`${each.number} ${each.revision}`} value={String(i)}>
                {`${each.number}, rev ${each.revision}`}
              </option>
            ))}
            <option value={ANOTHER}>another one</option>
          </select>
        </label>
      )}
      {isAnother && (
        <>
          <label class="field">
            Part number
            <input
              type="text"
              required
              value={number}
              onInput={(event) => setNumber(event.currentTarget.value)}
            />
          </label>
          <label class="field short">
            Revision
            <input type="text" value={revision} onInput={(event) => setRevision(event.currentTarget.value)} />
          </label>
        </>
      )}
      <button type="submit">Name it and try again</button>
    </form>
  )
}
