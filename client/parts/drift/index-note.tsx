import type { DriftView } from '../../../server/contract/views.ts'
import { KINDS_WITH_FLOOR } from '../../../src/domain/characteristic.ts'
import { characteristicTitle } from '../../../src/words/format.ts'
import { capabilityPage } from '../../data/addresses.ts'

const MOST_NAMED = 3

/**
 * Why Ppk beside the strip may not be that of Capability: it takes mean and sigma, which are at hand, where Capability
 * takes the distribution of single values. Said of the kinds whose values have a floor, which are hardly ever normal.
 */
export function IndexNote({ view }: { view: DriftView }) {
  const floored = view.overview.rows.filter(
    ({ characteristic, ppk }) => ppk !== null && KINDS_WITH_FLOOR.has(characteristic.kind),
  )
  if (floored.length === 0) return null
  const names =
    floored.length > MOST_NAMED
      ? `${floored.length} characteristics of form and place`
      : floored.map(({ characteristic }) => characteristicTitle(characteristic)).join(', ')
  return (
    <p class="quiet">
      {`Ppk here takes mean and sigma. Of ${names}, which begin at zero, `}
      <a href={capabilityPage(view.partNumber)}>Capability takes the distribution</a>
      {' and may state another figure.'}
    </p>
  )
}
