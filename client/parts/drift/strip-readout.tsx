import { useEffect, useState } from 'preact/hooks'
import type { ChartView, DriftView } from '../../../server/contract/views.ts'
import type { OverviewRow } from '../../../src/overview/overview.ts'
import { formatNumber, meanDecimals } from '../../../src/words/format.ts'
import { unitText } from '../../../src/words/unit.ts'
import { chartAddress } from '../../data/addresses.ts'
import { useResource } from '../../data/resource.ts'
import { cellWords } from '../../words/cell-words.ts'
import { counted } from '../../words/quantities.ts'

/** A cell of the strip. */
export interface StripCell {
  readonly row: OverviewRow
  readonly position: number
}

/** Milliseconds that a row is pointed at before its chart is asked for. */
const REST = 150

/** The figures of the cell that is pointed at: from the strip at once, the mean itself as soon as its chart is read. */
export function StripReadout({ view, cell }: { view: DriftView; cell: StripCell | null }) {
  const designator = useRested(cell?.row.characteristic.designator ?? null)
  const chart = useResource<ChartView>(
    designator === null ? null : chartAddress(view.partNumber, designator, view.stage),
  )
  if (cell === null) {
    return <p class="quiet cell-readout">Point at a cell for its figures; pick it for its chart.</p>
  }
  const { row, position } = cell
  const charted = chart.value?.characteristic.id === row.characteristic.id ? chart.value : null
  return (
    <p class="cell-readout">
      {`${cellWords(view, row, position)}${charted === null ? '' : meanWords(charted, view.builds[position]?.name)}`}
    </p>
  )
}

function meanWords({ chart, characteristic }: ChartView, build: string | undefined): string {
  const i = chart.subgroups.findIndex(({ label }) => label === build)
  const mean = chart.location.values[i] ?? null
  const centre = chart.location.centre[i] ?? null
  if (mean === null) return ''
  const decimals = meanDecimals(characteristic)
  const against = centre === null ? '' : ` against ${formatNumber(centre, decimals)}`
  return `; mean ${formatNumber(mean, decimals)}${against} ${unitText(characteristic.unit)}, ${counted(chart.subgroups[i]?.n ?? 0, 'part')}`
}

/** What has stayed the same for a moment; null while it changes. */
function useRested(text: string | null): string | null {
  const [rested, setRested] = useState<string | null>(null)
  useEffect(() => {
    const timer = setTimeout(() => setRested(text), REST)
    return () => clearTimeout(timer)
  }, [text])
  return rested === text ? rested : null
}
