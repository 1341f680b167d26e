import type { CapabilitySummary } from '../../src/capability/summary.ts'
import { correctForGauge } from '../../src/gauges/corrected-index.ts'
import { misjudgedByGauge } from '../../src/gauges/misjudged-by-gauge.ts'
import type { CorrectedRow } from '../contract/gauges.ts'
import { gaugeResults } from '../store/gauge-results.ts'
import type { Store } from '../store/store.ts'

/** Performance with the gauge's spread taken out, for characteristics of which a study tells that spread. */
export async function correctedIndices(
  store: Store,
  summaries: readonly CapabilitySummary[],
): Promise<CorrectedRow[]> {
  const results = await gaugeResults(store)
  return summaries.flatMap(({ characteristic, ppk, mean, sigmaOverall, shape }) => {
    const result = results.of(characteristic.id)
    if (ppk === null || sigmaOverall === null || !(sigmaOverall > 0)) return []
    // The rule on variances holds for indices by sigma, not for those by quantiles.
    if (shape !== null && shape.byQuantiles !== null) return []
    if (result === null || result.gaugeSd === null || result.studyId === null) return []
    return [
      {
        characteristicId: characteristic.id,
        gauge: result.gauge,
        studyId: result.studyId,
        ppk: correctForGauge(ppk, sigmaOverall, result.gaugeSd),
        misjudged: misjudgedByGauge(
          characteristic,
          { mean, sd: sigmaOverall },
          result.gaugeSd.value,
          result.bias,
        ),
      },
    ]
  })
}
