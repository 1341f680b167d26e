import type { QuietHours } from '../contract/event-notices.ts'

const MINUTES = 24 * 60

/**
 * When something due at `at` may be sent: then, or when the quiet hours that hold it end. Seconds since 1970-01-01 UTC.
 */
export function afterQuietHours(at: number, quiet: QuietHours | null): number {
  if (quiet === null) return at
  const [from, to, now] = [minutesOf(quiet.from), minutesOf(quiet.to), minutesOf(clockText(at, quiet.zone))]
  const into = (now - from + MINUTES) % MINUTES
  const length = (to - from + MINUTES) % MINUTES
  if (into >= length) return at
  return at - (at % 60) + (length - into) * 60
}

function minutesOf(text: string): number {
  const [hours, minutes] = text.split(':')
  return Number(hours) * 60 + Number(minutes)
}

/** "22:00" in the zone. */
function clockText(at: number, zone: string): string {
  return new Intl.DateTimeFormat('en-GB', {
    timeZone: zone,
    hour: '2-digit',
    minute: '2-digit',
    hourCycle: 'h23',
  }).format(at * 1000)
}
