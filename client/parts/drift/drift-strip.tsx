import { useMemo, useState } from 'preact/hooks'
import type { DriftView } from '../../../server/contract/views.ts'
import { Focus } from '../../../src/figures/focus.tsx'
import { type LaneModel, laneModel, writtenLanes } from '../../../src/figures/lane-model.ts'
import type { MovedBand } from '../../../src/figures/moved-band.tsx'
import { type Palette, SCREEN } from '../../../src/figures/palette.ts'
import { Strip } from '../../../src/figures/strip.tsx'
import { type RowOrder, rowAt, sortRows, stripLayout } from '../../../src/figures/strip-layout.ts'
import { timelineLayout } from '../../../src/figures/timeline-layout.ts'
import type { OverviewRow } from '../../../src/overview/overview.ts'
import { characteristicTitle } from '../../../src/words/format.ts'
import { neighbourRow } from '../../data/drift-state.ts'
import type { TableModel } from '../../save/csv.ts'
import { findingMark } from '../../words/finding-words.ts'
import { Figure } from '../figure.tsx'
import { useWidth } from '../width.ts'
import { type StripCell, StripReadout } from './strip-readout.tsx'

interface DriftStripProps {
  readonly view: DriftView
  readonly order: RowOrder
  readonly span: readonly [number, number]
  readonly chosen: OverviewRow
  readonly band: MovedBand | null
  readonly focus: number | null
  onPick(row: OverviewRow): void
  onFocus(position: number | null): void
}

/** The strip with its ways of picking a row: pointer, arrow keys, Home and End. */
export function DriftStrip({ view, order, span, chosen, band, focus, onPick, onFocus }: DriftStripProps) {
  const [ref, width] = useWidth()
  const [cell, setCell] = useState<StripCell | null>(null)
  const { rows } = view.overview
  const [from, to] = span
  const draw = (palette: Palette, wide: number, live: boolean) => (
    <Strip
      rows={rows}
      order={order}
      layout={timelineLayout(wide, from, to)}
      buildNames={view.builds.map((build) => build.name)}
      lanes={lanesOf(view, from, to)}
      chosen={live ? chosen.characteristic.designator : null}
      band={band}
      palette={palette}
      label={live ? null : 'Deviation of each build’s mean from its centre line, by characteristic'}
    />
  )
  // Drawn anew only when what it shows changes.
  const drawn = useMemo(
    () => (width === null ? null : draw(SCREEN, width, true)),
    [view, order, from, to, chosen, band, width],
  )
  const places = stripLayout(rows, order)
  const pointed = (event: MouseEvent) => {
    const box = (event.currentTarget as Element).getBoundingClientRect()
    const scale = timelineLayout(width ?? 0, span[0], span[1]).scale
    return { row: rowAt(places, event.clientY - box.top), position: scale.at(event.clientX - box.left) }
  }
  const pointAt = (row: OverviewRow | null, position: number | null) => {
    setCell(row === null || position === null ? null : { row, position })
    onFocus(position)
  }
  const key = (event: KeyboardEvent) => {
    const along = event.key === 'ArrowLeft' ? -1 : event.key === 'ArrowRight' ? 1 : null
    if (along !== null && !event.shiftKey) {
      event.preventDefault()
      pointAt(chosen, Math.min(to, Math.max(from, (focus ?? (along < 0 ? to + 1 : to - 1)) + along)))
      return
    }
    const sorted = sortRows(rows, order)
    const next =
      event.key === 'ArrowDown'
        ? neighbourRow(rows, order, chosen, 1)
        : event.key === 'ArrowUp'
          ? neighbourRow(rows, order, chosen, -1)
          : event.key === 'Home'
            ? sorted[0]
            : event.key === 'End'
              ? sorted.at(-1)
              : undefined
    if (next === undefined) return
    event.preventDefault()
    if (cell !== null) setCell({ ...cell, row: next })
    onPick(next)
  }
  return (
    <Figure
      name="strip"
      title={`${view.partNumber.number} rev ${view.partNumber.revision}, deviation of each build’s mean`}
      draw={(palette, wide) => draw(palette, wide, false)}
      table={() => stripTable(view, order, span)}
    >
      <StripReadout view={view} cell={cell} />
      <div
        ref={ref}
        class="reach"
        role="listbox"
        tabIndex={0}
        aria-label="Characteristics, deviation of each build’s mean. Up and down pick one, left and right go from build to build."
        aria-activedescendant={optionId(chosen.characteristic.designator)}
        onClick={(event) => {
          const { row } = pointed(event)
          if (row !== null) onPick(row)
        }}
        onPointerMove={(event) => {
          const { row, position } = pointed(event)
          pointAt(row, position)
        }}
        onPointerLeave={() => pointAt(null, null)}
        onKeyDown={key}
      >
        {sortRows(rows, order).map((row) => (
          // biome-ignore lint/a11y/useFocusableInteractive: the list holds the focus and names its option
          <span
            key={row.characteristic.id}
            id={optionId(row.characteristic.designator)}
            class="unseen"
            role="option"
            aria-selected={row === chosen}
          >
            {rowWords(row)}
          </span>
        ))}
        {drawn}
        {width !== null && focus !== null && focus >= from && focus <= to && (
          <Focus
            layout={timelineLayout(width, from, to)}
            position={focus}
            name={view.builds[focus]?.name ?? ''}
            palette={SCREEN}
          />
        )}
      </div>
    </Figure>
  )
}

/** What the process was run with, and what people wrote about it. */
function lanesOf({ builds, findings, remarks }: DriftView, from: number, to: number): LaneModel {
  const { lanes, throughout } = laneModel(builds, from, to)
  const found = findings.flatMap((finding) =>
    finding.places === null ? [] : [{ ...finding.places, text: findingMark(finding) }],
  )
  const noted = remarks.flatMap(({ place, text }) =>
    place === null ? [] : [{ from: place, to: place, text }],
  )
  return {
    lanes: [
      ...lanes,
      ...writtenLanes('remarks', noted, from, to),
      ...writtenLanes('findings', found, from, to),
    ],
    throughout,
  }
}

function optionId(designator: string): string {
  return `row-${encodeURIComponent(designator)}`
}

/** A row in words. */
function rowWords({ characteristic, worst }: OverviewRow): string {
  const { axis } = characteristic
  const answer = worst?.answer ?? null
  const what =
    worst === null
      ? 'steady'
      : `${worst.words}, from build ${worst.build}${answer === null ? '' : `, answered by finding ${answer}`}`
  return `${characteristicTitle(characteristic)}${axis === null ? '' : `, ${axis}`}: ${what}`
}

function stripTable(view: DriftView, order: RowOrder, [from, to]: readonly [number, number]): TableModel {
  const rows = sortRows(view.overview.rows, order)
  const conditions = [
    ['powder lot', (i: number) => view.builds[i]?.powderLot ?? null],
    ['powder reuse', (i: number) => view.builds[i]?.powderReuse ?? null],
    ['printer', (i: number) => view.builds[i]?.printer ?? null],
    ['furnace', (i: number) => view.builds[i]?.furnaces.join(', ') ?? null],
    ['scale X', (i: number) => view.builds[i]?.scale.x ?? null],
    ['scale Y', (i: number) => view.builds[i]?.scale.y ?? null],
    ['scale Z', (i: number) => view.builds[i]?.scale.z ?? null],
    [
      'remarks',
      (i: number) => joined(view.remarks.filter((each) => each.place === i).map(({ text }) => text)),
    ],
    [
      'findings',
      (i: number) =>
        joined(
          view.findings
            .filter(({ places }) => places !== null && places.from <= i && places.to >= i)
            .map(findingMark),
        ),
    ],
  ] as const
  const decimals: Readonly<Record<string, number>> = {
    'powder reuse': 0,
    'scale X': 4,
    'scale Y': 4,
    'scale Z': 4,
  }
  const positions = Array.from({ length: to - from + 1 }, (_, k) => from + k)
  return {
    caption:
      'Deviation of each build’s mean from the centre line, in standard errors, and what the build was run with',
    columns: [
      { heading: 'build', decimals: null },
      ...rows.map(({ characteristic }) => ({
        heading: `${characteristicTitle(characteristic)}`,
        decimals: 2,
      })),
      ...conditions.map(([heading]) => ({ heading, decimals: decimals[heading] ?? null })),
    ],
    rows: positions.map((i) => [
      view.builds[i]?.name ?? '',
      ...rows.map((row) => row.deviations[i] ?? null),
      ...conditions.map(([, value]) => value(i)),
    ]),
  }
}

function joined(texts: readonly string[]): string | null {
  return texts.length === 0 ? null : texts.join('; ')
}
