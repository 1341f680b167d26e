import type { ReadingView } from '../../../server/contract/gauges.ts'
import type { Characteristic } from '../../../src/domain/characteristic.ts'
import { formatNumber, valueDecimals } from '../../../src/words/format.ts'
import { unitText } from '../../../src/words/unit.ts'
import { filePage } from '../../data/addresses.ts'
import { readingsTable } from '../../words/gauge-tables.ts'
import { saveTable } from '../figure.tsx'

interface ReadingsListProps {
  readonly readings: readonly ReadingView[]
  readonly characteristic: Characteristic
  readonly title: string
}

/** Every reading, with the way to the file and the line that it stands on. */
export function ReadingsList({ readings, characteristic, title }: ReadingsListProps) {
  const unit = unitText(characteristic.unit)
  const decimals = valueDecimals(characteristic)
  const has = (of: (reading: ReadingView) => unknown) =>
    readings.some((reading) => (of(reading) ?? '') !== '')
  const shown = {
    inspector: has(({ inspector }) => inspector),
    trial: has(({ trial }) => trial),
    gauge: new Set(readings.map(({ gauge }) => gauge)).size > 1,
    reference: has(({ reference }) => reference),
    measuredAt: has(({ measuredAt }) => measuredAt),
  }
  return (
    <>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must be reached by keyboard */}
      <section class="scroll tall" aria-label="Readings of the study" tabIndex={0}>
        <table>
          <caption class="unseen">Readings of the study</caption>
          <thead>
            <tr>
              <th scope="col">part</th>
              {shown.gauge && <th scope="col">gauge</th>}
              {shown.inspector && <th scope="col">inspector</th>}
              {shown.trial && (
                <th scope="col" class="number">
                  trial
                </th>
              )}
              {shown.measuredAt && <th scope="col">measured</th>}
              {shown.reference && <th scope="col" class="number">{`known value, ${unit}`}</th>}
              <th scope="col" class="number">{`reading, ${unit}`}</th>
              <th scope="col">where it stands</th>
            </tr>
          </thead>
          <tbody>
            {readings.map((reading) => (
              <tr key={`${reading.importId} ${reading.line}`}>
                <td>{reading.part}</td>
                {shown.gauge && <td>{reading.gauge ?? '–'}</td>}
                {shown.inspector && <td>{reading.inspector === '' ? '–' : reading.inspector}</td>}
                {shown.trial && <td class="number">{reading.trial ?? '–'}</td>}
                {shown.measuredAt && (
                  <td class="time">
                    {reading.measuredAt === null
                      ? '–'
                      : new Date(reading.measuredAt * 1000).toISOString().slice(0, 10)}
                  </td>
                )}
                {shown.reference && (
                  <td class="number">
                    {reading.reference === null ? '–' : formatNumber(reading.reference, decimals)}
                  </td>
                )}
                <td class="number">{formatNumber(reading.value, decimals)}</td>
                <td>
                  <a
                    href={filePage(reading.importId, reading.line)}
                  >{`import ${reading.importId}, line ${reading.line}`}</a>
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      </section>
      <p class="actions">
        <button
          type="button"
          class="plain"
          onClick={() => saveTable(readingsTable(readings, unit, decimals), title)}
        >
          Save the readings as CSV
        </button>
      </p>
    </>
  )
}
