import { useMemo, useState } from 'preact/hooks'
import { useLocation, useRoute } from 'preact-iso'
import type { TypingView } from '../../server/contract/typing.ts'
import type { ShopView } from '../../server/contract/views.ts'
import type { Stage } from '../../src/domain/cell.ts'
import { typingAddress, typingPage } from '../data/addresses.ts'
import { useResource } from '../data/resource.ts'
import { useShop } from '../data/shop.ts'
import { filledCells, keepSheet, keptSheet, keptSheets } from '../data/typed-sheet.ts'
import { EMPTY_ROW } from '../data/use-typed-sheet.ts'
import { TypingSheet } from '../parts/intake/typing-sheet.tsx'
import { Reading } from '../parts/notice.tsx'
import { StageChoice } from '../parts/stage-choice.tsx'
import { useTitle } from '../parts/title.ts'
import { storedName } from '../parts/who.tsx'
import { counted } from '../words/quantities.ts'

/** Values of hand gauges typed part by part: first what is measured, then the sheet. */
export function TypingPage() {
  const { params } = useRoute()
  const kept = useMemo(() => (params.sheet === undefined ? null : keptSheet(params.sheet)), [params.sheet])
  if (kept !== null) return <TypingSheet key={kept.id} kept={kept} />
  return <BeginPage gone={params.sheet !== undefined} />
}

function BeginPage({ gone }: { gone: boolean }) {
  useTitle('Type measurements')
  const shop = useShop()
  const sheets = keptSheets()
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
      <Reading resource={shop} what="the part numbers" />
      {shop.value !== null &&
        (shop.value.partNumbers.length === 0 ? (
          <p class="grounds">
            No part number is on record yet, so that there is no characteristic to type values for. Bring a
            file that <a href="/guide/files">defines characteristics</a>, or one of measurements, to the{' '}
            <a href="/intake">intake</a> first.
          </p>
        ) : (
          <BeginForm partNumbers={shop.value.partNumbers} />
        ))}
    </>
  )
}

/** What a sheet is about, and which characteristics are typed into it. */
function BeginForm({ partNumbers }: { partNumbers: ShopView['partNumbers'] }) {
  const { route } = useLocation()
  const [chosen, setChosen] = useState(0)
  const [picked, setPicked] = useState<Stage | null>(null)
  const [build, setBuild] = useState('')
  const [gauge, setGauge] = useState('')
  const [inspector, setInspector] = useState(storedName)
  const [left, setLeft] = useState<readonly string[]>([])
  const key = partNumbers[chosen]
  const measured = key?.stages ?? []
  const stage = picked ?? (measured.includes('sintered') ? 'sintered' : (measured.at(-1) ?? 'sintered'))
  const view = useResource<TypingView>(key === undefined ? null : typingAddress(key, stage))
  const characteristics = view.value?.characteristics ?? []
  const designators = characteristics.map((each) => each.designator).filter((each) => !left.includes(each))
  const ofGauge = characteristics.flatMap(({ designator }) =>
    (view.value?.gauges[designator] ?? []).includes(gauge.trim()) ? [designator] : [],
  )
  return (
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
      <StageChoice
        value={stage}
        onPick={(stage) => setPicked(stage as Stage)}
        note={(stage) => (measured.includes(stage) ? '' : ', the first of them')}
      />
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
        {ofGauge.length > 0 && (
          <p class="whole">
            {`Lately measured with ${gauge.trim()}: ${ofGauge.join(', ')}. `}
            <button
              type="button"
              class="plain"
              onClick={() =>
                setLeft(
                  characteristics.flatMap(({ designator }) =>
                    ofGauge.includes(designator) ? [] : [designator],
                  ),
                )
              }
            >
              Only these
            </button>{' '}
            <button type="button" class="plain" onClick={() => setLeft([])}>
              All
            </button>
          </p>
        )}
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
      <p class="actions">
        <button type="submit" class="main" disabled={designators.length === 0}>
          Begin typing
        </button>
      </p>
    </form>
  )
}
