import type { DriftView } from '../../server/contract/views.ts'
import type { OverviewRow } from '../../src/overview/overview.ts'
import { characteristicTitle, formatNumber } from '../../src/words/format.ts'
import { signalWords } from '../../src/words/signal.ts'

/** What one cell of the strip says: the build's mean against its centre line, and the signals that it belongs to. */
export function cellWords(
  { builds }: Pick<DriftView, 'builds'>,
  { characteristic, deviations, signals, leftOut }: OverviewRow,
  position: number,
): string {
  const name = (at: number | undefined) => builds[at ?? -1]?.name ?? ''
  const head = `${characteristicTitle(characteristic)}, build ${name(position)}: `
  const deviation = deviations[position] ?? null
  const left = leftOut.includes(position) ? '; values are left out' : ''
  if (deviation === null) return `${head}${left === '' ? 'no mean to judge' : 'left out'}`
  const size = formatNumber(Math.abs(deviation), 1)
  const where =
    Number(size) === 0
      ? 'on the centre line'
      : `${size} standard errors ${deviation < 0 ? 'below' : 'above'} the centre line`
  const own = signals
    .filter(({ points }) => points.includes(position))
    .map((signal) => {
      const [first, last] = [name(signal.points[0]), name(signal.points.at(-1))]
      return `${signalWords(signal)}${first === last ? '' : ` (${first} to ${last})`}`
    })
  return `${head}${where}${own.length === 0 ? '' : `; ${own.join('; ')}`}${left}`
}
