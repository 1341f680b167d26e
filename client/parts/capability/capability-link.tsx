import { useLocation } from 'preact-iso'
import type { Characteristic } from '../../../src/domain/characteristic.ts'
import { capabilityDetailPage, type PartNumberKey } from '../../data/addresses.ts'
import { sameSpan } from '../../data/capability-state.ts'
import { CharacteristicLink } from '../characteristic-link.tsx'

interface CapabilityLinkProps {
  readonly of: PartNumberKey
  readonly characteristic: Characteristic
}

/** A characteristic, leading to what it can hold, over the same builds. */
export function CapabilityLink({ of, characteristic }: CapabilityLinkProps) {
  const { query } = useLocation()
  return (
    <CharacteristicLink
      characteristic={characteristic}
      href={`${capabilityDetailPage(of, characteristic.designator)}${sameSpan(query)}`}
    />
  )
}
