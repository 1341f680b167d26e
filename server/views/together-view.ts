import { togetherChart } from '../../src/charts/together.ts'
import type { Stage } from '../../src/domain/cell.ts'
import { chartedMeans } from '../../src/overview/build-overview.ts'
import { togetherWords } from '../../src/words/together-words.ts'
import type { TogetherView } from '../contract/together.ts'
import type { PartNumber } from '../contract/views.ts'
import { kept } from '../store/kept.ts'
import type { Store } from '../store/store.ts'
import { chartedOnRecord } from './drift-view.ts'

/** All characteristics of a part number in one chart. */
export function togetherView(store: Store, partNumber: PartNumber, stage: Stage): Promise<TogetherView> {
  return kept(store, `together ${partNumber.id} ${stage}`, async () => {
    const { builds, charted } = await chartedOnRecord(store, partNumber, stage)
    const rows = chartedMeans(charted, builds)
    const characteristics = rows.map((row) => row.characteristic)
    const chart = togetherChart(rows.map((row) => row.means))
    const words = togetherWords(chart, characteristics, (position) => builds[position]?.name ?? '')
    return { partNumber, stage, builds, characteristics, chart, ...words }
  })
}
