import type { Stage } from '../../src/domain/cell.ts'
import { buildOverview } from '../../src/overview/build-overview.ts'
import type { PartNumber, PartNumberNews, PartNumberSummary, ShopNewsView } from '../contract/views.ts'
import { kept } from '../store/kept.ts'
import type { Store } from '../store/store.ts'
import { chartedOnRecord } from './drift-view.ts'
import { eventsView } from './events-view.ts'

/** What moved in the whole shop: of each part number what its page Drift opens with. What moved comes first. */
export function shopNewsView(store: Store): Promise<ShopNewsView> {
  return kept(store, 'shop news', async () => {
    const partNumbers: PartNumberNews[] = []
    // One after another, so that charts are answered in between.
    for (const summary of await store.partNumbers()) {
      const stage = stageOf(summary.stages)
      if (stage !== null) partNumbers.push(await newsOf(store, summary, stage))
    }
    partNumbers.sort((a, b) => Number(b.movedSince !== null) - Number(a.movedSince !== null))
    return { partNumbers }
  })
}

async function newsOf(store: Store, summary: PartNumberSummary, stage: Stage): Promise<PartNumberNews> {
  const { events, opening } = await eventsView(store, summary, stage)
  const lead = opening === null ? undefined : events[opening]
  // Builds are held anyway; the overview, which is large, is read where nothing else has anything to say, and not kept.
  const [builds, words] =
    lead === undefined
      ? [[], await overviewWords(store, summary, stage)]
      : [await store.builds(summary.id, stage), { headline: lead.sentence, grounds: lead.grounds }]
  return {
    number: summary.number,
    revision: summary.revision,
    name: summary.name,
    stage,
    lastBuild: summary.lastBuild,
    ...words,
    movedSince: lead === undefined ? null : (builds[lead.from]?.name ?? null),
    further: events.filter((event) => event !== lead && event.standing && event.answer === null).length,
  }
}

/** What the page Drift opens with where no event does. */
async function overviewWords(store: Store, partNumber: PartNumber, stage: Stage) {
  const { charted, builds } = await chartedOnRecord(store, partNumber, stage)
  const { headline, grounds } = buildOverview(charted, builds)
  return { headline, grounds }
}

/** The stage that the drawing speaks of, or else the last one that anything was measured at. */
function stageOf(stages: readonly Stage[]): Stage | null {
  return stages.includes('sintered') ? 'sintered' : (stages.at(-1) ?? null)
}
