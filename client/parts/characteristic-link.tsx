import type { Characteristic } from '../../src/domain/characteristic.ts'

interface CharacteristicLinkProps {
  readonly characteristic: Pick<Characteristic, 'designator' | 'name'>
  readonly href: string
}

/** A characteristic by number and name; the numbers of a column of them stand one below the other. */
export function CharacteristicLink({ characteristic: { designator, name }, href }: CharacteristicLinkProps) {
  return (
    <>
      {name !== designator && <span class="designator">{`${designator} `}</span>}
      <a href={href}>{name}</a>
    </>
  )
}
