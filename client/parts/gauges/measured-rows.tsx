import type { MeasuredRow } from '../../../server/contract/gauges.ts'
import { SCREEN } from '../../../src/figures/palette.ts'
import { ShareAxis, ShareMark } from '../../../src/figures/share-mark.tsx'
import { formatNumber, meanDecimals } from '../../../src/words/format.ts'
import { unitText } from '../../../src/words/unit.ts'
import { driftPage } from '../../data/addresses.ts'
import { gaugePage, gaugeStudyPage } from '../../data/gauge-addresses.ts'
import { shareText, verdictText } from '../../words/gauge-tables.ts'
import { CharacteristicLink } from '../characteristic-link.tsx'

/** Characteristics as rows: by which gauge, what share of the tolerance it takes, verdict, uncertainty, study. */
export function MeasuredRows({ rows, caption }: { rows: readonly MeasuredRow[]; caption: string }) {
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must be reached by keyboard
    <section class="scroll" aria-label={caption} tabIndex={0}>
      <table class="list measured">
        <caption class="unseen">{caption}</caption>
        <thead>
          <tr>
            <th scope="col">characteristic</th>
            <th scope="col">gauge</th>
            <th scope="col" class="marks">
              <span class="unseen">share against a tenth and three tenths</span>
              <ShareAxis palette={SCREEN} />
            </th>
            <th scope="col">the gauge takes</th>
            <th scope="col">verdict</th>
            <th scope="col" class="number">
              groups told apart
            </th>
            <th scope="col" class="number">
              uncertainty, k = 2
            </th>
            <th scope="col">from</th>
          </tr>
        </thead>
        <tbody>
          {rows.map((row) => (
            <Row key={`${row.characteristic.id} ${row.gauge}`} row={row} />
          ))}
        </tbody>
      </table>
    </section>
  )
}

function Row({ row }: { row: MeasuredRow }) {
  const { characteristic, partNumber, gauge, judgement, categories, uncertainty, studyId } = row
  return (
    <tr>
      <th scope="row">
        <span class="quiet">{`${partNumber.number} ${partNumber.revision} `}</span>
        <CharacteristicLink
          characteristic={characteristic}
          href={driftPage(partNumber, characteristic.designator)}
        />
      </th>
      <td>{gauge === null ? '–' : <a href={gaugePage(gauge)}>{gauge}</a>}</td>
      <td class="marks">
        <ShareMark judgement={judgement} palette={SCREEN} />
      </td>
      <td>{judgement === null ? '–' : `${shareText(judgement)} of the ${judgement.of}`}</td>
      <td class={judgement?.verdict === 'too coarse' ? 'said-mark' : undefined}>{verdictText(judgement)}</td>
      <td class="number">{categories === null ? '–' : Math.floor(categories.value)}</td>
      <td class="number">
        {uncertainty === null
          ? '–'
          : `${formatNumber(uncertainty.expanded, meanDecimals(characteristic))} ${unitText(characteristic.unit)}`}
      </td>
      <td>
        {studyId !== null ? (
          <a href={gaugeStudyPage(studyId)}>{`study ${studyId}`}</a>
        ) : uncertainty === null ? (
          '–'
        ) : (
          'certificate'
        )}
      </td>
    </tr>
  )
}
