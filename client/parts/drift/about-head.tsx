import type { ComponentChildren } from 'preact'
import { useLocation } from 'preact-iso'
import type { CharacteristicsView } from '../../../server/contract/places.ts'
import {
  type About,
  aboutPage,
  characteristicsAddress,
  floorPage,
  togetherPage,
} from '../../data/about-addresses.ts'
import { capabilityDetailPage, driftPage, type PartNumberKey } from '../../data/addresses.ts'
import { changedQuery } from '../../data/query.ts'
import { useResource } from '../../data/resource.ts'
import { CharacteristicChoice } from './characteristic-choice.tsx'

const NAMES: Readonly<Record<About, string>> = {
  places: 'Where its parts lay',
  slow: 'Slow changes',
  tests: 'What the tests cost and catch',
}

/** Ways from one page about a characteristic to the others. */
export function AboutWays({
  of,
  designator,
  here,
}: {
  of: PartNumberKey
  designator: string
  here: About | null
}) {
  return (
    <nav class="ways" aria-label="About this characteristic">
      {here !== null && <a href={driftPage(of, designator)}>Control chart</a>}
      {(Object.keys(NAMES) as About[])
        .filter((about) => about !== here)
        .map((about) => (
          <a key={about} href={aboutPage(of, designator, about)}>
            {NAMES[about]}
          </a>
        ))}
      <a href={capabilityDetailPage(of, designator)}>What it can hold</a>
    </nav>
  )
}

/** Ways from the strip to other views of the whole part number. */
export function TogetherWay({ of }: { of: PartNumberKey }) {
  return (
    <nav class="ways" aria-label="About this part number">
      <a href={togetherPage(of)}>All characteristics together</a>
      <a href={floorPage(of)}>For a screen on the shop floor</a>
      <a href="/drift/notices">Notices of new events</a>
    </nav>
  )
}

interface AboutControlsProps {
  readonly of: PartNumberKey
  readonly designator: string
  readonly here: About
  readonly children?: ComponentChildren
}

/** The characteristic that a page is about, to be changed, and whatever else the page lets the reader choose. */
export function AboutControls({ of, designator, here, children }: AboutControlsProps) {
  const { route, query } = useLocation()
  const { value } = useResource<CharacteristicsView>(characteristicsAddress(of))
  return (
    <div class="controls">
      {value !== null && (
        <CharacteristicChoice
          all={value.characteristics}
          value={designator}
          onPick={(picked) => route(`${aboutPage(of, picked, here)}${changedQuery(query, {})}`, true)}
        />
      )}
      {children}
    </div>
  )
}
