import { useEffect, useRef, useState } from 'preact/hooks'
import type { ImportsView } from '../../server/contract/receipt.ts'
import { typingPage } from '../data/addresses.ts'
import { CALLS } from '../data/calls.ts'
import { pastedFile } from '../data/pasted-file.ts'
import { useResource } from '../data/resource.ts'
import { useMay } from '../data/session.ts'
import { useShop } from '../data/shop.ts'
import { intakeQueue, onReceipt } from '../data/the-intake.ts'
import { Disclosure } from '../parts/disclosure.tsx'
import { ImportsTable } from '../parts/intake/imports-table.tsx'
import { IntakeItemView } from '../parts/intake/intake-item.tsx'
import { Reading } from '../parts/notice.tsx'
import { useTitle } from '../parts/title.ts'
import { storedName, Who } from '../parts/who.tsx'
import { download } from '../save/download.ts'
import { MEASUREMENT_COLUMNS, MEASUREMENT_EXAMPLE } from '../words/column-guide.ts'

const RECENT = 8

/** Where the inspector brings files, and reads what came of them. */
export function IntakePage() {
  useTitle('Intake')
  const shop = useShop()
  const [who, setWho] = useState(storedName)
  const [preview, setPreview] = useState(false)
  const items = useItems()
  const recent = useResource<ImportsView>('/api/imports')
  useEffect(() => onReceipt(recent.again), [recent.again])
  const may = useMay()
  const mayBring = may(CALLS.bring)
  usePasted(mayBring ? who : null)
  const empty = shop.value !== null && shop.value.partNumbers.length === 0
  return (
    <>
      <header class="opening">
        <h1>{empty ? 'Nothing is on record yet. Bring the first file.' : 'Bring files of measurements.'}</h1>
        <p class="grounds">
          Drop them anywhere on this page, paste a table copied from a spreadsheet, or pick them. A file is
          taken in whole or not at all, unless you say otherwise, and every refused row is named.
        </p>
      </header>
      {!mayBring && <p>Files are brought by the inspector, the process engineer and the administrator.</p>}
      <div class="bring" hidden={!mayBring}>
        <Who value={who} onChange={setWho} />
        <PickFiles who={who} preview={preview} />
        <label class="beside">
          <input
            type="checkbox"
            checked={preview}
            onChange={(event) => setPreview(event.currentTarget.checked)}
          />{' '}
          Show me how a picked file is read before it is taken in
        </label>
        <a href={typingPage()}>Type measurements of hand gauges</a>
        <a href="/record/parts">Find a part</a>
      </div>
      {empty && may(CALLS.takeSample) && shop.value?.sampleOffered && items.length === 0 && (
        <p class="offer">
          <button type="button" onClick={() => intakeQueue.addSample(who)}>
            Take in the sample shop
          </button>{' '}
          to look around first: an invented shop, two part numbers, with drifts planted in its builds.
        </p>
      )}
      {items.length > 0 && (
        <ul class="intake-items" aria-label="Files handed in">
          {items.map((item) => (
            <IntakeItemView key={item.key} item={item} queue={intakeQueue} />
          ))}
        </ul>
      )}
      <Disclosure name="columns" title="What a file needs">
        <ColumnGuide />
      </Disclosure>
      <Reading resource={recent} what="the recent imports" />
      {recent.value !== null && recent.value.imports.length > 0 && (
        <section>
          <h2>Taken in before</h2>
          <ImportsTable
            imports={recent.value.imports.slice(0, RECENT)}
            caption="Recent imports, newest first"
          />
          {recent.value.imports.length > RECENT && (
            <p>
              <a href="/record">All imports</a>
            </p>
          )}
        </section>
      )}
    </>
  )
}

function useItems() {
  const [items, setItems] = useState(intakeQueue.items)
  useEffect(() => {
    setItems(intakeQueue.items())
    return intakeQueue.subscribe(() => setItems(intakeQueue.items()))
  }, [])
  // What was handed in last stands on top, files of one lot in their own order.
  return [...items].sort((a, b) => b.batch - a.batch || a.key - b.key)
}

/**
 * Takes a table or files from the clipboard, unless the reader is writing in a field.
 *
 * @param who brings them; null where the reader may bring none
 */
function usePasted(who: string | null) {
  useEffect(() => {
    if (who === null) return
    const paste = (event: ClipboardEvent) => {
      const target = event.target
      if (target instanceof HTMLInputElement || target instanceof HTMLTextAreaElement) return
      const files = [...(event.clipboardData?.files ?? [])]
      const text = event.clipboardData?.getData('text/plain') ?? ''
      const made = files.length > 0 ? files : text.trim() === '' ? [] : [pastedFile(text, new Date())]
      if (made.length === 0) return
      event.preventDefault()
      intakeQueue.add(made, who)
    }
    document.addEventListener('paste', paste)
    return () => document.removeEventListener('paste', paste)
  }, [who])
}

function PickFiles({ who, preview }: { who: string; preview: boolean }) {
  const input = useRef<HTMLInputElement>(null)
  return (
    <div class="pick">
      <button type="button" class="main" onClick={() => input.current?.click()}>
        Pick files
      </button>
      <input
        ref={input}
        type="file"
        multiple
        class="unseen"
        aria-label="Files of measurements"
        tabIndex={-1}
        accept=".csv,.tsv,.txt,.qif,.xml,.gz,text/csv,text/plain,text/tab-separated-values"
        onChange={(event) => {
          intakeQueue.add([...(event.currentTarget.files ?? [])], who, { preview })
          event.currentTarget.value = ''
        }}
      />
      <span class="quiet">or drop or paste them here</span>
    </div>
  )
}

function ColumnGuide() {
  const [copied, setCopied] = useState<string | null>(null)
  const copy = () =>
    navigator.clipboard.writeText(MEASUREMENT_EXAMPLE).then(
      () => setCopied('The example is on the clipboard.'),
      () => setCopied('This browser does not let the page copy; save the example instead.'),
    )
  return (
    <>
      <p>
        A text file with one heading line and one value a row: comma, semicolon or tab between columns,
        decimal point or decimal comma. Characteristics with their limits, builds and furnace loads come in
        files of their own, and so do <a href="/guide/gauges">gauges and studies of them</a>.
      </p>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must be reached by keyboard */}
      <section class="scroll" aria-label="Columns of a file of measurements" tabIndex={0}>
        <table class="list">
          <thead>
            <tr>
              <th scope="col">column</th>
              <th scope="col">what it says</th>
              <th scope="col">needed</th>
            </tr>
          </thead>
          <tbody>
            {MEASUREMENT_COLUMNS.map(({ heading, meaning, needed }) => (
              <tr key={heading}>
                <td>
                  <code>{heading}</code>
                </td>
                <td>{meaning}</td>
                <td>{needed ? 'yes' : 'no'}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </section>
      <p class="actions">
        <button
          type="button"
          class="plain"
          onClick={() =>
            download('measurements-example.csv', new Blob([MEASUREMENT_EXAMPLE], { type: 'text/csv' }))
          }
        >
          Save an example
        </button>
        <button type="button" class="plain" onClick={copy}>
          Copy the example
        </button>
        {copied !== null && <span role="status">{copied}</span>}
      </p>
    </>
  )
}
