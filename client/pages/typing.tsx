import { useEffect, useMemo, useRef, useState } from 'preact/hooks'
import { useLocation, useRoute } from 'preact-iso'
import type { TypingView } from '../../server/contract/typing.ts'
import type { Stage } from '../../src/domain/cell.ts'
import { typingAddress, typingPage } from '../data/addresses.ts'
import { useResource } from '../data/resource.ts'
import { useShop } from '../data/shop.ts'
import { intakeQueue } from '../data/the-intake.ts'
import {
  dropSheet,
  fileOfSheet,
  filledCells,
  keepSheet,
  keptSheet,
  keptSheets,
  leftOfSheet,
  remarksOf,
  type TypedRemark,
  type TypedSheet,
  withCell,
  withSerial,
} from '../data/typed-sheet.ts'
import { IntakeItemView } from '../parts/intake-item.tsx'
import { Reading } from '../parts/notice.tsx'
import { StageChoice } from '../parts/stage-choice.tsx'
import { useTitle } from '../parts/title.ts'
import { TypingChart } from '../parts/typing-chart.tsx'
import { TypingGrid } from '../parts/typing-grid.tsx'
import { storedName } from '../parts/who.tsx'
import { counted } from '../words/quantities.ts'

const EMPTY_ROW = { serial: '', cells: {} }

/** Values of hand gauges typed part by part: first what is measured, then the sheet. */
export function TypingPage() {
  const { params } = useRoute()
  const kept = useMemo(() => (params.sheet === undefined ? null : keptSheet(params.sheet)), [params.sheet])
  if (kept !== null) return <SheetPage key={kept.id} kept={kept} />
  return <BeginPage gone={params.sheet !== undefined} />
}

function BeginPage({ gone }: { gone: boolean }) {
  useTitle('Type measurements')
  const shop = useShop()
  const { route } = useLocation()
  const sheets = keptSheets()
  const partNumbers = shop.value?.partNumbers ?? []
  const [chosen, setChosen] = useState(0)
  const [stage, setStage] = useState<Stage>('sintered')
  const [build, setBuild] = useState('')
  const [gauge, setGauge] = useState('')
  const [inspector, setInspector] = useState(storedName)
  const [left, setLeft] = useState<readonly string[]>([])
  const key = partNumbers[chosen]
  const view = useResource<TypingView>(key === undefined ? null : typingAddress(key, stage))
  const characteristics = view.value?.characteristics ?? []
  const designators = characteristics.map((each) => each.designator).filter((each) => !left.includes(each))
  return (
    <>
      <header class="opening">
        <h1>Type measurements, part by part.</h1>
        <p class="grounds">
          {gone &&
            'The sheet at this address is not kept in this browser: it was taken in, or begun elsewhere. '}
          What is typed is kept in this browser until it is taken in, and checked while it is typed.
        </p>
      </header>
      {sheets.length > 0 && (
        <section>
          <h2>Not taken in yet</h2>
          <ul class="notes">
            {sheets.map((sheet) => (
              <li key={sheet.id}>
                <a href={typingPage(sheet.id)}>
                  {`Build ${sheet.build} of ${sheet.number} rev ${sheet.revision}: ${counted(filledCells(sheet).length, 'value')}`}
                </a>
              </li>
            ))}
          </ul>
        </section>
      )}
      <form
        class="begin-typing"
        onSubmit={(event) => {
          event.preventDefault()
          if (key === undefined) return
          const { number, revision } = key
          const about = { number, revision, stage, build: build.trim(), gauge: gauge.trim() }
          const id = Date.now().toString(36)
          const sheet = { id, ...about, inspector: inspector.trim(), designators, rows: [EMPTY_ROW] }
          if (keepSheet(sheet)) route(typingPage(id))
        }}
      >
        <label class="field">
          Part number
          <select value={chosen} onChange={(event) => setChosen(Number(event.currentTarget.value))}>
            {partNumbers.map(({ number, revision }, i) => (
              <option key={`${number} ${revision}`} value={i}>{`${number}, rev ${revision}`}</option>
            ))}
          </select>
        </label>
        <StageChoice value={stage} onPick={(picked) => setStage(picked as Stage)} />
        <label class="field">
          Build, on record or new
          <input
            type="text"
            required
            maxLength={200}
            list="typing-builds"
            value={build}
            onInput={(event) => setBuild(event.currentTarget.value)}
          />
        </label>
        <datalist id="typing-builds">
          {(view.value?.builds ?? []).map(({ name }) => (
            <option key={name} value={name} />
          ))}
        </datalist>
        <label class="field">
          Gauge
          <input
            type="text"
            maxLength={200}
            list="typing-gauges"
            value={gauge}
            onInput={(event) => setGauge(event.currentTarget.value)}
          />
        </label>
        <datalist id="typing-gauges">
          {[...new Set((view.value?.builds ?? []).flatMap(({ gauges }) => gauges))].map((name) => (
            <option key={name} value={name} />
          ))}
        </datalist>
        <label class="field">
          Inspector
          <input
            type="text"
            maxLength={200}
            value={inspector}
            onInput={(event) => setInspector(event.currentTarget.value)}
          />
        </label>
        <Reading resource={view} what="the characteristics" />
        <fieldset class="ticks">
          <legend>Characteristics to measure</legend>
          {characteristics.map(({ designator, name }) => (
            <label key={designator}>
              <input
                type="checkbox"
                checked={!left.includes(designator)}
                onChange={(event) =>
                  setLeft(
                    event.currentTarget.checked
                      ? left.filter((each) => each !== designator)
                      : [...left, designator],
                  )
                }
              />
              {`${designator} ${name}`}
            </label>
          ))}
        </fieldset>
        <InFilesOnly names={view.value?.inFilesOnly ?? []} />
        <p class="actions">
          <button type="submit" class="main" disabled={designators.length === 0}>
            Begin typing
          </button>
        </p>
      </form>
    </>
  )
}

/** Characteristics that a sheet has no place for. */
function InFilesOnly({ names }: { names: readonly string[] }) {
  if (names.length === 0) return null
  return (
    <p class="quiet">
      {`Not to be typed here: ${names.join(', ')}. Each part brings a limit of its own there; bring the values in a file, with a column for the limit or the bonus.`}
    </p>
  )
}

function SheetPage({ kept }: { kept: TypedSheet }) {
  useTitle(`Typing build ${kept.build}`)
  const [sheet, setSheet] = useState<TypedSheet | null>(kept)
  const [isKept, setIsKept] = useState(true)
  const before = useRef<readonly TypedSheet[]>([])
  const [at, setAt] = useState<{ row: number; designator: string | null }>({ row: 0, designator: null })
  const view = useResource<TypingView>(typingAddress(kept, kept.stage))
  const [keys, setKeys] = useState<readonly number[]>([])
  const items = useItems().filter((item) => keys.includes(item.key))
  const latest = useRef(sheet)
  const hold = (next: TypedSheet) => {
    // The last row is always an empty one, for the next part.
    const last = next.rows.at(-1)
    const full = last === undefined || last.serial !== '' || Object.keys(last.cells).length > 0
    const held = full ? { ...next, rows: [...next.rows, EMPTY_ROW] } : next
    latest.current = held
    setSheet(held)
    setIsKept(keepSheet(held))
  }
  const type = (next: TypedSheet, field: string) => {
    if (latest.current !== null && lastField.current !== field)
      before.current = [...before.current, latest.current]
    lastField.current = field
    hold(next)
  }
  const lastField = useRef('')
  const undo = () => {
    const last = before.current.at(-1)
    if (last === undefined) return
    before.current = before.current.slice(0, -1)
    lastField.current = ''
    hold(last)
  }
  const receipt = items.at(-1)?.state === 'done' ? items.at(-1)?.receipt : null
  useEffect(() => {
    if (!receipt || latest.current === null) return
    const left = leftOfSheet(latest.current, receipt)
    if (left === latest.current) return
    before.current = []
    if (left !== null) hold(left)
    else {
      dropSheet(kept.id)
      latest.current = null
      setSheet(null)
    }
  }, [receipt])
  const characteristics = (view.value?.characteristics ?? []).filter((each) =>
    kept.designators.includes(each.designator),
  )
  const remarks = sheet === null || view.value === null ? [] : remarksOf(sheet, view.value)
  const count = sheet === null ? 0 : filledCells(sheet).length
  const focused = characteristics.find((each) => each.designator === at.designator) ?? characteristics[0]
  const faults = remarks.filter(({ kind }) => kind === 'fault').length
  const underWay = items.some(
    ({ state }) => state === 'waiting' || state === 'sending' || state === 'working',
  )
  return (
    <>
      <header class="opening">
        <h1>
          {sheet === null
            ? `Build ${kept.build} is taken in.`
            : `Build ${kept.build} of ${kept.number}, rev ${kept.revision}: ${counted(count, 'value')} typed, not taken in yet.`}
        </h1>
        <p class="grounds" role="status">
          {sheet === null
            ? 'The receipt below says what came of it.'
            : isKept
              ? `Kept in this browser until it is taken in, also when it is closed. Measured ${kept.stage}, with ${kept.gauge || 'no gauge named'}, by ${kept.inspector || 'nobody named'}.`
              : 'This browser keeps nothing: take the values in before you leave the page.'}
        </p>
      </header>
      <Reading resource={view} what="what the values are checked against" />
      {sheet !== null && view.value !== null && (
        <>
          <TypingGrid
            sheet={sheet.rows.length === 0 ? { ...sheet, rows: [EMPTY_ROW] } : sheet}
            characteristics={characteristics}
            remarks={remarks}
            onSerial={(row, text) => type(withSerial(sheet, row, text), `${row}`)}
            onCell={(row, designator, text) =>
              type(withCell(sheet, row, designator, text, new Date()), `${row} ${designator}`)
            }
            onFocus={(row, designator) => setAt({ row, designator })}
            onUndo={undo}
          />
          <p class="actions">
            <button
              type="button"
              class="main"
              disabled={count === 0 || faults > 0 || underWay || view.loading}
              onClick={() => {
                const file = fileOfSheet(sheet, characteristics)
                setKeys(intakeQueue.add([file], sheet.inspector || storedName()))
              }}
            >
              Take it in
            </button>
            <button type="button" onClick={undo} disabled={before.current.length === 0}>
              Undo
            </button>
            <button
              type="button"
              disabled={at.designator === null}
              onClick={() => {
                const text = sheet.rows[at.row]?.cells[at.designator ?? '']?.text ?? ''
                const turned = /^[-−]/.test(text) ? text.slice(1) : `-${text}`
                type(withCell(sheet, at.row, at.designator as string, turned, new Date()), 'sign')
              }}
            >
              Change the sign
            </button>
          </p>
          <Remarks
            sheet={sheet}
            remarks={remarks}
            onCorrect={(row, designator, text) =>
              type(withCell(sheet, row, designator, text, new Date()), `correct ${row} ${designator}`)
            }
          />
        </>
      )}
      <ul class="intake-items" aria-label="What came of it">
        {items.map((item) => (
          <IntakeItemView key={item.key} item={item} queue={intakeQueue} />
        ))}
      </ul>
      {sheet !== null && focused !== undefined && <TypingChart sheet={sheet} characteristic={focused} />}
      <p>
        <a href="/intake">Back to Intake</a>
      </p>
    </>
  )
}

interface RemarksProps {
  readonly sheet: TypedSheet
  readonly remarks: readonly TypedRemark[]
  onCorrect(row: number, designator: string, text: string): void
}

function Remarks({ sheet, remarks, onCorrect }: RemarksProps) {
  return (
    <div role="status" aria-label="Checks">
      {remarks.length > 0 && (
        <ul class="notes typing-checks">
          {remarks.map(({ row, designator, kind, text, likely }) => (
            <li key={`${row} ${designator} ${kind}`}>
              {`Part ${sheet.rows[row]?.serial || row + 1}, ${designator}: ${text} `}
              {likely !== null && (
                <button type="button" class="plain" onClick={() => onCorrect(row, designator, likely)}>
                  {`It was ${likely}`}
                </button>
              )}
            </li>
          ))}
        </ul>
      )}
    </div>
  )
}

function useItems() {
  const [items, setItems] = useState(intakeQueue.items)
  useEffect(() => intakeQueue.subscribe(() => setItems(intakeQueue.items())), [])
  return items
}
