import type { GaugeStudyView } from '../../../server/contract/gauges.ts'
import { AgreementFigure } from '../../../src/figures/agreement-figure.tsx'
import { BiasFigure } from '../../../src/figures/bias-figure.tsx'
import { meanDecimals, valueDecimals } from '../../../src/words/format.ts'
import { unitText } from '../../../src/words/unit.ts'
import { biasTable, pairsTable } from '../../words/gauge-tables.ts'
import { StillFigure } from '../still-figure.tsx'

/** How readings lie about known values, and whether that changes with size. */
export function BiasSection({
  view,
  bias,
}: {
  view: GaugeStudyView
  bias: NonNullable<GaugeStudyView['bias']>
}) {
  const unit = unitText(view.characteristic.unit)
  const decimals = meanDecimals(view.characteristic)
  const readings = view.readings.flatMap(({ reference, value }) =>
    reference === null ? [] : [{ reference, value }],
  )
  const title = `Gauge study ${view.id}, bias at known values`
  return (
    <section>
      <h2>Readings about the known values</h2>
      <StillFigure
        name="bias"
        title={title}
        draw={(palette, width) => (
          <BiasFigure
            study={bias}
            readings={readings}
            unit={unit}
            decimals={valueDecimals(view.characteristic)}
            width={Math.min(width, 1000)}
            palette={palette}
            label={title}
          />
        )}
        table={() => biasTable(bias, unit, decimals)}
        from={[bias]}
      />
      <p class="quiet">
        Small marks are single readings, large ones the mean at each known value with its interval; the line
        and its band say what the bias is at other sizes.
      </p>
    </section>
  )
}

/** Differences of two gauges, part by part. */
export function AgreementSection({
  view,
  agreement,
}: {
  view: GaugeStudyView
  agreement: NonNullable<GaugeStudyView['agreement']>
}) {
  const { gauges, pairs, result } = agreement
  if ('reason' in result) return null
  const unit = unitText(view.characteristic.unit)
  const title = `Gauge study ${view.id}, ${gauges[0]} and ${gauges[1]}`
  return (
    <section>
      <h2>Part by part</h2>
      <StillFigure
        name="agreement"
        title={title}
        draw={(palette, width) => (
          <AgreementFigure
            pairs={pairs}
            agreement={result}
            gauges={gauges}
            unit={unit}
            decimals={meanDecimals(view.characteristic)}
            width={Math.min(width, 1000)}
            palette={palette}
            label={`Differences of ${gauges[0]} and ${gauges[1]} over the size of the part`}
          />
        )}
        table={() => pairsTable(agreement, unit, meanDecimals(view.characteristic))}
        from={[agreement]}
      />
      <p class="quiet">The washes are the intervals of mean and limits.</p>
    </section>
  )
}
