import type { Stage } from '../../src/domain/cell.ts'
import type { PartNumberNews, PartNumberSummary, ShopNewsView } from '../contract/views.ts'
import { kept } from '../store/kept.ts'
import type { Store } from '../store/store.ts'
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
  const { events, opening, headline, grounds } = await eventsView(store, summary, stage)
  const lead = opening === null ? undefined : events[opening]
  const builds = lead === undefined ? [] : await store.builds(summary.id, stage)
  return {
    number: summary.number,
    revision: summary.revision,
    name: summary.name,
    stage,
    lastBuild: summary.lastBuild,
    headline,
    grounds,
    movedSince: lead === undefined ? null : (builds[lead.from]?.name ?? null),
    further: events.filter((event) => event !== lead && event.standing && event.answer === null).length,
  }
}

/** The stage that the drawing speaks of, or else the last one that anything was measured at. */
function stageOf(stages: readonly Stage[]): Stage | null {
  return stages.includes('sintered') ? 'sintered' : (stages.at(-1) ?? null)
}
