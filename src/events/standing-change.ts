import type { Estimate } from './event.ts'

/** What of an event says whether it stands for a characteristic. */
interface ToldEvent {
  /** Position of the build that it began with. */
  readonly from: number
  readonly standing: boolean
  readonly members: readonly { readonly shift: Estimate | null }[]
}

/** The event of location that stands for a characteristic, and what that one shows of it, in its unit. */
export interface StandingChange<E> {
  readonly event: E
  readonly shift: Estimate
}

/**
 * Of several events of location that stand for a characteristic the one that began last; null where none does.
 *
 * @param isMember whether a member of an event is the characteristic
 */
export function standingChange<E extends ToldEvent>(
  events: readonly E[],
  isMember: (member: E['members'][number]) => boolean,
): StandingChange<E> | null {
  let latest: StandingChange<E> | null = null
  for (const event of events) {
    const shift = event.members.find(isMember)?.shift ?? null
    if (shift === null || !event.standing) continue
    if (latest === null || event.from > latest.event.from) latest = { event, shift }
  }
  return latest
}
