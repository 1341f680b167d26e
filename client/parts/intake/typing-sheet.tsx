import { useEffect, useMemo, useRef, useState } from 'preact/hooks'
import type { TypingView } from '../../../server/contract/typing.ts'
import { typingAddress } from '../../data/addresses.ts'
import { usePartsOnRecord } from '../../data/parts-on-record.ts'
import { useResource } from '../../data/resource.ts'
import { intakeQueue } from '../../data/the-intake.ts'
import { isOpen, remarksOf } from '../../data/typed-checks.ts'
import { conditionFiles, decisionsOf, fileOfSheet, leftOfSheet } from '../../data/typed-file.ts'
import { designatorOf } from '../../data/typed-own-limits.ts'
import {
  filledCells,
  type TypedSheet,
  withCell,
  withDecision,
  withSerial,
  withTypedCell,
} from '../../data/typed-sheet.ts'
import { EMPTY_ROW, type HeldSheet, useTypedSheet } from '../../data/use-typed-sheet.ts'
import { counted } from '../../words/quantities.ts'
import { Reading } from '../notice.tsx'
import { useTitle } from '../title.ts'
import { storedName } from '../who.tsx'
import { IntakeItemView } from './intake-item.tsx'
import { TypingChart } from './typing-chart.tsx'
import { TypingChecks } from './typing-checks.tsx'
import { TypingConditions } from './typing-conditions.tsx'
import { TypingGrid } from './typing-grid.tsx'

/** A sheet of typed values: the grid with its checks, the way in, and the chart of what is typed. */
export function TypingSheet({ kept }: { kept: TypedSheet }) {
  useTitle(`Typing build ${kept.build}`)
  const held = useTypedSheet(kept)
  const { sheet } = held
  const [at, setAt] = useState<{ row: number; designator: string | null }>({ row: 0, designator: null })
  const view = useResource<TypingView>(typingAddress(kept, kept.stage))
  const [keys, setKeys] = useState<readonly number[]>([])
  const handedIn = useRef<TypedSheet | null>(null)
  const items = useItems().filter((item) => keys.includes(item.key))
  const last = items.at(-1)
  const receipt = last?.state === 'done' ? last.receipt : null
  useEffect(() => {
    const given = handedIn.current
    if (receipt !== null && given !== null) held.leave((now) => leftOfSheet(now, given, receipt))
  }, [receipt])
  const parts = usePartsOnRecord(
    kept,
    kept.stage,
    (sheet?.rows ?? []).map(({ serial }) => serial.trim()),
  )
  const characteristics = (view.value?.characteristics ?? []).filter((each) =>
    kept.designators.includes(each.designator),
  )
  const remarks = useMemo(
    () => (sheet === null || view.value === null ? [] : remarksOf(sheet, view.value, parts)),
    [sheet, view.value, parts],
  )
  const count = sheet === null ? 0 : filledCells(sheet).length
  const focused =
    characteristics.find(({ designator }) => designator === designatorOf(at.designator ?? '')) ??
    characteristics[0]
  const faults = remarks.filter(({ kind }) => kind === 'fault').length
  const underWay = items.some(
    ({ state }) => state === 'waiting' || state === 'sending' || state === 'working',
  )
  const isNew = {
    build: view.value !== null && !view.value.builds.some(({ name }) => name === kept.build),
    load:
      view.value !== null &&
      !view.value.furnaceLoads.includes((sheet?.conditions?.furnace_load ?? '').trim()),
  }
  /** Change one cell, so that taking it back leaves alone what was typed elsewhere. */
  const changeCell = (
    field: string,
    row: number,
    designator: string,
    change: (sheet: TypedSheet) => TypedSheet,
  ) => {
    const before = sheet?.rows[row]?.cells[designator]
    held.change(field, change, (now) => withTypedCell(now, row, designator, before))
  }
  const typeCell = (field: string, row: number, designator: string, text: string) =>
    changeCell(field, row, designator, (now) => withCell(now, row, designator, text, new Date()))
  return (
    <>
      <header class="opening">
        <h1>
          {sheet === null
            ? `Build ${kept.build} is taken in.`
            : `Build ${kept.build} of ${kept.number}, rev ${kept.revision}: ${count === 0 ? 'nothing typed yet.' : `${counted(count, 'value')} typed, not taken in yet.`}`}
        </h1>
        <p class="grounds" role="status">
          {whereItIsKept(kept, held)}
        </p>
      </header>
      <Reading resource={view} what="what the values are checked against" />
      {sheet !== null && view.value !== null && (
        <>
          <TypingGrid
            sheet={sheet.rows.length === 0 ? { ...sheet, rows: [EMPTY_ROW] } : sheet}
            characteristics={characteristics}
            remarks={remarks}
            onSerial={(row, text) => {
              const before = sheet.rows[row]?.serial ?? ''
              held.change(
                `${row}`,
                (now) => withSerial(now, row, text),
                (now) => withSerial(now, row, before),
              )
            }}
            onCell={(row, designator, text) => typeCell(`${row} ${designator}`, row, designator, text)}
            onFocus={(row, designator) => setAt({ row, designator })}
            onUndo={held.undo}
          />
          <p class="actions">
            <button
              type="button"
              class="main"
              disabled={count === 0 || faults > 0 || underWay || view.loading}
              onClick={() => {
                const who = sheet.inspector || storedName()
                handedIn.current = sheet
                const file = fileOfSheet(sheet, characteristics)
                setKeys([
                  ...intakeQueue.add(conditionFiles(sheet, isNew), who),
                  ...intakeQueue.add([file], who, { doubts: decisionsOf(sheet) }),
                ])
              }}
            >
              Take it in
            </button>
            <button type="button" onClick={held.undo} disabled={!held.canUndo}>
              Undo
            </button>
            <button
              type="button"
              disabled={at.designator === null}
              onClick={() => {
                const { row, designator } = at
                if (designator === null) return
                const text = sheet.rows[row]?.cells[designator]?.text ?? ''
                typeCell('sign', row, designator, /^[-−]/.test(text) ? text.slice(1) : `-${text}`)
              }}
            >
              Change the sign
            </button>
          </p>
          <TypingChecks
            sheet={sheet}
            remarks={remarks}
            onCorrect={(row, designator, text) =>
              typeCell(`correct ${row} ${designator}`, row, designator, text)
            }
            onDecide={(row, designator, doubt, isKept) =>
              changeCell(`decide ${row} ${designator} ${doubt}`, row, designator, (now) =>
                withDecision(now, row, designator, doubt, isKept),
              )
            }
          />
        </>
      )}
      <ul class="intake-items" aria-label="What came of it">
        {items.map((item) => (
          <IntakeItemView key={item.key} item={item} queue={intakeQueue} />
        ))}
      </ul>
      {sheet !== null && focused !== undefined && (
        <TypingChart
          sheet={sheet}
          characteristic={focused}
          left={remarks.filter((remark) => remark.designator === focused.designator && isOpen(remark))}
          parts={parts}
        />
      )}
      {sheet !== null && view.value !== null && (
        <TypingConditions
          sheet={sheet}
          isNewBuild={isNew.build}
          furnaceLoads={view.value.furnaceLoads}
          onChange={(heading, text) => {
            const before = sheet.conditions?.[heading] ?? ''
            const withText = (now: TypedSheet, said: string) => ({
              ...now,
              conditions: { ...now.conditions, [heading]: said },
            })
            held.change(
              `condition ${heading}`,
              (now) => withText(now, text),
              (now) => withText(now, before),
            )
          }}
        />
      )}
      <p>
        <a href="/intake">Back to Intake</a>
      </p>
    </>
  )
}

function whereItIsKept(
  { stage, gauge, inspector }: TypedSheet,
  { sheet, isKept, others, takenElsewhere }: HeldSheet,
): string {
  if (sheet === null) {
    return takenElsewhere
      ? 'It was taken in from another tab of this browser, where its receipt is.'
      : 'The receipt below says what came of it.'
  }
  if (!isKept) return 'This browser keeps nothing: take the values in before you leave the page.'
  const elsewhere =
    others === 0
      ? ''
      : ` Open in ${counted(others, 'other tab')} as well: what is typed in one appears in all of them.`
  return `Kept in this browser until it is taken in, also when it is closed. Measured ${stage}, with ${gauge || 'no gauge named'}, by ${inspector || 'nobody named'}.${elsewhere}`
}

function useItems() {
  const [items, setItems] = useState(intakeQueue.items)
  useEffect(() => intakeQueue.subscribe(() => setItems(intakeQueue.items())), [])
  return items
}
