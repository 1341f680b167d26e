import { useLocation } from 'preact-iso'
import type { Characteristic } from '../../../src/domain/characteristic.ts'
import { capabilityDetailPage, type PartNumberKey } from '../../data/addresses.ts'
import { sameSpan } from '../../data/capability-state.ts'

interface CharacteristicLinkProps {
  readonly of: PartNumberKey
  readonly characteristic: Characteristic
}

/** A characteristic by number and name, leading to what it can hold, over the same builds. */
export function CharacteristicLink({ of, characteristic }: CharacteristicLinkProps) {
  const { query } = useLocation()
  const { designator, name } = characteristic
  return (
    <>
      {name !== designator && <span class="designator">{`${designator} `}</span>}
      <a href={`${capabilityDetailPage(of, designator)}${sameSpan(query)}`}>{name}</a>
    </>
  )
}
