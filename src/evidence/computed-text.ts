import type { CheckResult } from './evidence.ts'

/** The computed figure with two decimals more than were published, or all of its digits where those count. */
export function computedText({ computed, published, exact }: CheckResult): string {
  const decimals = /\.(\d*)/.exec(published)?.[1]?.length ?? 0
  return exact || /e/i.test(published)
    ? computed.toPrecision(16)
    : computed.toFixed(Math.min(16, decimals + 2))
}
