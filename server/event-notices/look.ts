import { STAGES } from '../../src/domain/cell.ts'
import type { PartNumber } from '../contract/views.ts'
import type { NoticeSettingsContent, Receiver, Series } from '../store/event-notice-reads.ts'
import type { Store } from '../store/store.ts'
import { eventsView } from '../views/events-view.ts'
import { seriesNews } from './news.ts'
import { afterQuietHours } from './quiet-hours.ts'

/**
 * Look for events that are new in every part number that notices are wanted of, and put a notice of each into the store,
 * to be sent from there.
 *
 * @param now seconds since 1970-01-01 UTC
 */
export async function lookForEvents(
  store: Store,
  settings: NoticeSettingsContent,
  now: number,
): Promise<void> {
  const receivers = receiversOf(settings)
  const wanted = (id: number) =>
    receivers.length > 0 && (settings.partNumberIds === null || settings.partNumberIds.includes(id))
  const watched = await store.watchedSeries()
  const unwanted = watched.filter(({ partNumberId }) => !wanted(partNumberId))
  if (unwanted.length > 0) {
    await store.write(async (writer) => {
      for (const series of unwanted) await writer.forgetSeries(series)
    })
  }
  for (const partNumber of await store.partNumbers()) {
    if (!wanted(partNumber.id)) continue
    for (const stage of STAGES) {
      const series = { partNumberId: partNumber.id, stage }
      if ((await newsOf(store, partNumber, series)) === null) continue
      // Computed again where nobody else writes: another process may have been faster, and of two looks at different
      // states of the record the older one must not have the last word.
      await store.write(async (writer) => {
        const news = await newsOf(store, partNumber, series)
        if (news === null) return
        await writer.keepNews(series, news, receivers, now, afterQuietHours(now, settings.quiet))
      })
    }
  }
}

export function receiversOf({ recipients, webhook }: NoticeSettingsContent): Receiver[] {
  return [
    ...recipients.map((target) => ({ channel: 'e-mail' as const, target })),
    ...(webhook === null ? [] : [{ channel: 'webhook' as const, target: webhook }]),
  ]
}

async function newsOf(store: Store, partNumber: PartNumber, series: Series) {
  const [builds, watched, known, basis] = await Promise.all([
    store.builds(series.partNumberId, series.stage),
    store.watchedSeries(),
    store.knownEvents(series),
    store.takenOrDecided(series),
  ])
  const { events } = builds.length === 0 ? { events: [] } : await eventsView(store, partNumber, series.stage)
  return seriesNews({
    partNumber,
    stage: series.stage,
    builds,
    events,
    watched: watched.some((each) => each.partNumberId === series.partNumberId && each.stage === series.stage),
    known,
    basis,
  })
}
