/** What the choice of the opening event looks at. */
export interface Openable {
  readonly standing: boolean
  /** Number of the finding that answers the event; null where nobody has answered it. */
  readonly answer: number | null
  readonly from: number
  readonly to: number
  readonly members: readonly unknown[]
}

/** An event that has ended is news for this many builds. */
const NEWS = 5

/** Whether an event stands, or ended in the latest builds. @param builds number of builds on the timeline */
export function isNews({ standing, to }: Pick<Openable, 'standing' | 'to'>, builds: number): boolean {
  return standing || to >= builds - NEWS
}

/**
 * Position of the event that the page opens with: of those that nobody has answered and that stand, or ended in the
 * latest builds, one that concerns several characteristics before one of a single one, then the latest. Null where all is
 * answered or past.
 *
 * @param builds number of builds on the timeline
 */
export function openingEvent(events: readonly Openable[], builds: number): number | null {
  let best: number | null = null
  for (const [i, event] of events.entries()) {
    if (event.answer !== null || !isNews(event, builds)) continue
    const lead = best === null ? null : (events[best] as Openable)
    if (lead === null || comesBefore(event, lead)) best = i
  }
  return best
}

function comesBefore(a: Openable, b: Openable): boolean {
  if (a.standing !== b.standing) return a.standing
  // An event of many characteristics is a change of the process; recency decides between such, and between others.
  const many = (event: Openable) => event.members.length > 1
  return many(a) === many(b) ? a.from > b.from : many(a)
}
