import type { CapabilityView } from '../../../server/contract/views.ts'
import type { CorrectedIndex } from '../../../src/gauges/corrected-index.ts'
import { characteristicTitle, formatNumber } from '../../../src/words/format.ts'
import { GAUGES_PAGE, gaugeStudyPage } from '../../data/gauge-addresses.ts'
import type { TableModel } from '../../save/csv.ts'
import { Disclosure } from '../disclosure.tsx'
import { saveTable } from '../figure.tsx'

/** Indices as measured beside that of the parts alone, the gauge’s spread taken out. */
export function CorrectedIndices({
  view,
}: {
  view: Pick<CapabilityView, 'partNumber' | 'rows' | 'corrected'>
}) {
  const rows = view.corrected.flatMap((row) => {
    const of = view.rows.find(({ characteristic }) => characteristic.id === row.characteristicId)
    return of === undefined ? [] : [{ ...row, characteristic: of.characteristic }]
  })
  const title = `${view.partNumber.number}, with the gauge’s spread taken out`
  const table = (): TableModel => ({
    caption: title,
    columns: [
      { heading: 'characteristic', decimals: null },
      { heading: 'gauge', decimals: null },
      ...INDICES.flatMap(([, name]) => [
        { heading: `gauge, % of the variance of ${name}`, decimals: 1 },
        ...[name, `${name} of the parts alone`]
          .flatMap((index) => [index, `${index}, lower limit`, `${index}, upper limit`])
          .map((heading) => ({ heading, decimals: 2 })),
      ]),
      { heading: 'wrongly accepted, per million', decimals: 1 },
      { heading: 'wrongly rejected, per million', decimals: 1 },
      { heading: 'study', decimals: 0 },
    ],
    rows: rows.map(({ characteristic, gauge, indices, misjudged, studyId }) => [
      characteristicTitle(characteristic),
      gauge,
      ...INDICES.flatMap(([key]) => {
        const index = indices[key]
        return [
          index === null ? null : 100 * index.gaugeShare,
          ...[index?.plain, index?.corrected].flatMap((each) => [
            each?.value ?? null,
            each?.lower ?? null,
            each?.upper ?? null,
          ]),
        ]
      }),
      misjudged === null ? null : 1e6 * misjudged.wronglyAccepted,
      misjudged === null ? null : 1e6 * misjudged.wronglyRejected,
      studyId,
    ]),
  })
  return (
    <Disclosure name="gauges" title="With the gauge’s spread taken out">
      {rows.length === 0 ? (
        <p class="quiet">
          No study tells how much of the spread is the measuring. <a href={GAUGES_PAGE}>Gauges</a> has what is
          known, and plans studies.
        </p>
      ) : (
        <>
          {/* biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must be reached by keyboard */}
          <section class="scroll" aria-label={title} tabIndex={0}>
            <table class="list">
              <caption class="unseen">{title}</caption>
              <thead>
                <tr>
                  <th scope="col">characteristic</th>
                  <th scope="col">gauge</th>
                  <th scope="col">index</th>
                  <th scope="col" class="number">
                    gauge, % of its variance
                  </th>
                  <th scope="col" class="number">
                    as measured
                  </th>
                  <th scope="col" class="number">
                    of the parts alone
                  </th>
                  <th scope="col" class="number">
                    wrongly accepted, rejected, per million
                  </th>
                  <th scope="col">from</th>
                </tr>
              </thead>
              {rows.map((row) => (
                <IndexRows
                  key={row.characteristicId}
                  row={row}
                  title={characteristicTitle(row.characteristic)}
                />
              ))}
            </table>
          </section>
          <p class="quiet">
            What a gauge without spread would show: the plain index over √(1 − the gauge’s share of the
            variance that the index takes): for Cp and Cpk that of a process without shifts, for Pp and Ppk
            all of it. It is no figure to promise, since the customer’s gauges scatter too; verdicts stay with
            the plain one. Its limits take those of both together, with at least about 90 % confidence where
            each has 95 %.
          </p>
          <p class="actions">
            <button type="button" class="plain" onClick={() => saveTable(table(), title)}>
              Save the table as CSV
            </button>
          </p>
        </>
      )}
    </Disclosure>
  )
}

type Row = CapabilityView['corrected'][number]

const INDICES = [
  ['cp', 'Cp'],
  ['cpk', 'Cpk'],
  ['pp', 'Pp'],
  ['ppk', 'Ppk'],
] as const

/** One characteristic: a line for each index that it has. */
function IndexRows({ row, title }: { row: Row; title: string }) {
  const { gauge, indices, misjudged, studyId } = row
  const known = INDICES.flatMap(([key, name]) => {
    const index = indices[key]
    return index === null ? [] : [{ name, ...index }]
  })
  return (
    <tbody>
      {known.map(({ name, plain, corrected, gaugeShare }, i) => (
        <tr key={name}>
          {i === 0 && (
            <>
              <th scope="rowgroup" rowSpan={known.length}>
                {title}
              </th>
              <td rowSpan={known.length}>{gauge ?? 'not named'}</td>
            </>
          )}
          <td>{name}</td>
          <td class="number">{formatNumber(100 * gaugeShare, 1)}</td>
          <td class="number">
            {`${formatNumber(plain.value, 2)} (${formatNumber(plain.lower, 2)} to ${formatNumber(plain.upper, 2)})`}
          </td>
          <td class="number">{correctedText(corrected)}</td>
          {i === 0 && (
            <>
              <td class="number" rowSpan={known.length}>
                {misjudgedText(misjudged)}
              </td>
              <td rowSpan={known.length}>
                <a href={gaugeStudyPage(studyId)}>{`study ${studyId}`}</a>
              </td>
            </>
          )}
        </tr>
      ))}
    </tbody>
  )
}

function misjudgedText(misjudged: Row['misjudged']): string {
  if (misjudged === null) return '–'
  const text = (share: number) => (share < 0.5e-6 ? 'below 1' : formatNumber(1e6 * share, 0))
  return `${text(misjudged.wronglyAccepted)}, ${text(misjudged.wronglyRejected)}`
}

type Corrected = CorrectedIndex | null

function correctedText(corrected: Corrected): string {
  if (corrected === null) return 'the gauge alone explains the spread'
  const { value, lower, upper } = corrected
  const text = (limit: number | null) => (limit === null ? 'no limit' : formatNumber(limit, 2))
  return `${formatNumber(value, 2)} (${text(lower)} to ${text(upper)})`
}
