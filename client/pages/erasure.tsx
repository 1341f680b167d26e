import { useState } from 'preact/hooks'
import type { ErasureDone, ErasureWanted } from '../../server/contract/erasure.ts'
import { send, tellDecided } from '../data/decide.ts'
import { type Problem, problemOf } from '../data/http.ts'
import { reportRecordPage } from '../data/record-addresses.ts'
import { useShop } from '../data/shop.ts'
import { Choice } from '../parts/choice.tsx'
import { ProblemNotice } from '../parts/notice.tsx'
import { useTitle } from '../parts/title.ts'
import { storedName, Who } from '../parts/who.tsx'
import { counted } from '../words/quantities.ts'

type What = ErasureWanted['what']

/** Erases what must go, after it was shown what that takes. */
export function ErasurePage() {
  useTitle('Erasure')
  const partNumbers = useShop().value?.partNumbers ?? []
  const [what, setWhat] = useState<What>('parts')
  const [partNumber, setPartNumber] = useState('')
  const [names, setNames] = useState('')
  const [files, setFiles] = useState(false)
  const [reason, setReason] = useState('')
  const [who, setWho] = useState(storedName)
  const [shown, setShown] = useState<{ readonly asked: string; readonly done: ErasureDone } | null>(null)
  const [erased, setErased] = useState<ErasureDone | null>(null)
  const [problem, setProblem] = useState<Problem | null>(null)
  const [busy, setBusy] = useState(false)

  const chosen = partNumbers.find(({ id }) => String(id) === partNumber) ?? partNumbers[0]
  const listed = names
    .split(/[\n,;]/)
    .map((each) => each.trim())
    .filter((each) => each !== '')
  const wanted = wantedOf(what, chosen, listed, files)
  const asked = JSON.stringify(wanted)
  const ready = wanted !== null && reason.trim() !== '' && who.trim() !== '' && !busy
  const isShown = shown !== null && shown.asked === asked

  const ask = async (preview: boolean) => {
    setBusy(true)
    setProblem(null)
    try {
      const body = { wanted, preview, who: who.trim(), reason: reason.trim() }
      const done = await send<ErasureDone>('/api/record/erasures', body)
      setShown(preview ? { asked, done } : null)
      setErased(preview ? null : done)
      if (!preview) tellDecided()
    } catch (error) {
      setProblem(problemOf(error))
    } finally {
      setBusy(false)
    }
  }

  return (
    <>
      <p class="back">
        <a href="/record">The record</a>
      </p>
      <header class="opening">
        <h1>What is erased here is gone for good; that it was erased stays on record.</h1>
        <p class="grounds">
          Ask your quality department first: measurements of parts that were delivered are often owed to the
          customer for years. Backups made before hold it still.
        </p>
      </header>
      <form
        class="decision"
        onSubmit={(event) => {
          event.preventDefault()
          if (ready) void ask(!isShown)
        }}
      >
        <Choice
          legend="What must go"
          name="erasure-what"
          value={what}
          options={[
            { value: 'parts', text: 'parts' },
            { value: 'person', text: 'a person’s name' },
            { value: 'files', text: 'kept files' },
          ]}
          onPick={(next) => setWhat(next as What)}
        />
        {what === 'parts' && (
          <label class="field">
            Part number
            <select
              value={String(chosen?.id ?? '')}
              onChange={(event) => setPartNumber(event.currentTarget.value)}
            >
              {partNumbers.map(({ id, number, revision }) => (
                <option key={id} value={String(id)}>
                  {`${number} ${revision}`}
                </option>
              ))}
            </select>
          </label>
        )}
        <label class="field">
          {LABELS[what]}
          <textarea rows={2} value={names} onInput={(event) => setNames(event.currentTarget.value)} />
        </label>
        {what === 'parts' && (
          <label>
            <input
              type="checkbox"
              checked={files}
              onChange={(event) => setFiles(event.currentTarget.checked)}
            />{' '}
            The kept files that they came in, too
          </label>
        )}
        <label class="field">
          Why
          <textarea
            rows={2}
            maxLength={2000}
            value={reason}
            onInput={(event) => setReason(event.currentTarget.value)}
          />
        </label>
        <div class="decide">
          <Who value={who} onChange={setWho} />
          <button type="submit" class="main" disabled={!ready}>
            {isShown ? 'Erase it for good' : 'Show what it takes'}
          </button>
        </div>
        {problem !== null && <ProblemNotice problem={problem} />}
        {isShown && <Taken done={shown.done} said="It takes" />}
        {erased !== null && <Taken done={erased} said={`Erased, as entry ${erased.entry} says:`} />}
      </form>
    </>
  )
}

const LABELS: Readonly<Record<What, string>> = {
  parts: 'Serial numbers, one a line or with commas',
  person: 'Name, as it stands on record',
  files: 'Numbers of the imports whose files must go',
}

function wantedOf(
  what: What,
  partNumber: { readonly number: string; readonly revision: string } | undefined,
  names: readonly string[],
  files: boolean,
): ErasureWanted | null {
  if (names.length === 0) return null
  if (what === 'person') return { what, name: names.join(', ') }
  if (what === 'files') {
    const imports = names.map(Number)
    return imports.every((id) => Number.isInteger(id) && id > 0) ? { what, imports } : null
  }
  if (partNumber === undefined) return null
  return {
    what,
    partNumber: partNumber.number,
    revision: partNumber.revision,
    serials: [...names],
    files,
  }
}

function Taken({ done, said }: { done: ErasureDone; said: string }) {
  const { parts, measurements, files, rows, entries, pseudonym, imports, reports } = done
  const what =
    pseudonym === null
      ? `${counted(parts, 'part')}, ${counted(measurements, 'measurement')} and ${counted(files.length, 'kept file')}`
      : `the name in ${counted(rows, 'row')}, in whose place stands “${pseudonym}”`
  return (
    <div role="status">
      <p>{`${said} ${what}; words of ${counted(entries, 'entry', 'entries')} of the record are replaced.`}</p>
      {imports.length > 0 && files.length === 0 && (
        <p>{`Kept files hold them still, those of: ${imports.map((id) => `import ${id}`).join(', ')}.`}</p>
      )}
      {reports.length > 0 && (
        <p>
          {'These reports name it, and stay as they were given out: '}
          {reports.map((report, i) => (
            <span key={report}>
              {i > 0 && ', '}
              <a href={reportRecordPage(report)}>{`report ${report}`}</a>
            </span>
          ))}
          {'.'}
        </p>
      )}
    </div>
  )
}
