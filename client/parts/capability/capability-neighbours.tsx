import { useLayoutEffect, useRef } from 'preact/hooks'
import { useLocation } from 'preact-iso'
import type { CapabilityDetailView, NamedCharacteristic } from '../../../server/contract/capability-detail.ts'
import { characteristicTitle } from '../../../src/words/format.ts'
import { capabilityDetailPage, capabilityPage } from '../../data/addresses.ts'
import { sameSpan } from '../../data/capability-state.ts'

/**
 * Ways to the characteristics before and after this one, and back to all; the arrow keys go along while one has the
 * focus.
 */
export function CapabilityNeighbours({ view }: { view: CapabilityDetailView }) {
  const { query, route } = useLocation()
  const { partNumber, before, after, place, of } = view
  const asked = sameSpan(query)
  const to = ({ designator }: NamedCharacteristic) =>
    `${capabilityDetailPage(partNumber, designator)}${asked}`
  const ways = useRef<HTMLElement>(null)
  const stepped = useRef(false)
  // The first and the last have one way only: the focus goes there when its own is gone.
  useLayoutEffect(() => {
    if (!stepped.current) return
    stepped.current = false
    if (ways.current?.contains(document.activeElement)) return
    ways.current?.querySelector<HTMLElement>('a[rel]')?.focus()
  }, [view])
  const key = (event: KeyboardEvent) => {
    const next = event.key === 'ArrowLeft' ? before : event.key === 'ArrowRight' ? after : null
    if (next === null) return
    event.preventDefault()
    stepped.current = true
    route(to(next))
  }
  return (
    <nav ref={ways} class="ways" aria-label="Other characteristics" onKeyDown={key}>
      <a href={`${capabilityPage(partNumber)}${asked}`}>
        {`All of ${partNumber.number}, rev ${partNumber.revision}`}
      </a>
      {before !== null && (
        <a href={to(before)} rel="prev">
          {`← ${characteristicTitle(before)}`}
        </a>
      )}
      {place !== null && <span class="quiet">{`${place} of ${of}`}</span>}
      {after !== null && (
        <a href={to(after)} rel="next">
          {`${characteristicTitle(after)} →`}
        </a>
      )}
    </nav>
  )
}
