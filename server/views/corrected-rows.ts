import type { CapabilitySummary } from '../../src/capability/summary.ts'
import { correctedIndices } from '../../src/gauges/corrected-index.ts'
import { misjudgedByGauge } from '../../src/gauges/misjudged-by-gauge.ts'
import type { CorrectedRow } from '../contract/gauges.ts'
import { gaugeResults } from '../store/gauge-results.ts'
import type { Store } from '../store/store.ts'

/** Indices with the gauge's spread taken out, for characteristics of which a study tells that spread. */
export async function correctedRows(
  store: Store,
  summaries: readonly CapabilitySummary[],
): Promise<CorrectedRow[]> {
  const results = await gaugeResults(store)
  return summaries.flatMap((summary) => {
    const { characteristic, mean, sigmaOverall } = summary
    const result = results.of(characteristic.id)
    if (result === null || result.gaugeSd === null || result.studyId === null) return []
    const indices = correctedIndices(summary, result.gaugeSd)
    if (sigmaOverall === null || Object.values(indices).every((index) => index === null)) return []
    return [
      {
        characteristicId: characteristic.id,
        gauge: result.gauge,
        studyId: result.studyId,
        indices,
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
