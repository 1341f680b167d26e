import { formatNumber } from '../../../src/words/format.ts'
import { GAUGES_PAGE, gaugeStudyPage } from '../../data/gauge-addresses.ts'
import type { DetailProps } from './capability-values.tsx'
import { CorrectedIndices } from './corrected-indices.tsx'

/** What is known of the gauge that measures the characteristic. */
export function GaugeOfCharacteristic({ view, measured }: DetailProps) {
  const { gauge, corrected, summary } = measured
  const judgement = gauge?.judgement ?? null
  return (
    <section aria-labelledby="gauge-title">
      <h2 id="gauge-title">The gauge</h2>
      {judgement === null || gauge === null || gauge.studyId === null ? (
        <p>
          No study tells how much of the spread is the measuring.{' '}
          <a href={GAUGES_PAGE}>Gauges has what is known, and plans studies.</a>
        </p>
      ) : (
        <>
          <p>
            {`${gauge.gauge ?? 'A gauge that is not named'} is ${judgement.sure ? 'surely ' : ''}${judgement.verdict}: it takes ${percent(judgement.share.value)} of the ${judgement.of === 'tolerance' ? 'tolerance' : 'spread that is seen'} (${percent(judgement.share.lower)} to ${judgement.share.upper === null ? 'no upper end' : percent(judgement.share.upper)}). `}
            <a href={gaugeStudyPage(gauge.studyId)}>{`Study ${gauge.studyId}`}</a>
          </p>
          {corrected !== null && (
            <CorrectedIndices
              view={{ partNumber: view.partNumber, rows: [summary], corrected: [corrected] }}
            />
          )}
        </>
      )}
    </section>
  )
}

function percent(share: number): string {
  return `${formatNumber(100 * share, 0)} %`
}
