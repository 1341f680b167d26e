import type { Characteristic } from '../domain/characteristic.ts'
import { formatCount, formatNumber, meanDecimals } from './format.ts'
import type { Sentence } from './sentence.ts'

/** A number of builds: one decimal below ten, "over 100,000" where it says no more than that. */
export function buildsText(count: number): string {
  if (count >= 100_000) return 'over 100,000'
  return count < 10 ? formatNumber(count, 1) : formatCount(Math.round(count))
}

/** What tests cost and catch, as a sentence. Counts are null while they are being computed. */
export function testPowerWords(
  characteristic: Characteristic,
  shift: number,
  falseAlarm: number | null,
  seen: number | null,
): Sentence {
  const unit = characteristic.unit === 'um' ? 'µm' : characteristic.unit === 'deg' ? '°' : characteristic.unit
  return [
    { text: `A shift of ${formatNumber(shift, meanDecimals(characteristic))} ${unit} is seen after ` },
    { text: seen === null ? '…' : buildsText(seen), role: 'strong' },
    { text: ' builds on average, and a false alarm comes every ' },
    { text: falseAlarm === null ? '…' : buildsText(falseAlarm), role: 'strong' },
    { text: '.' },
  ]
}
