import { useEffect } from 'preact/hooks'
import { useLocation } from 'preact-iso'
import { driftPage } from '../data/addresses.ts'
import { useShop } from '../data/shop.ts'
import { Reading } from '../parts/notice.tsx'
import { useTitle } from '../parts/title.ts'

/** The bare address: on to the drift of the part number measured last, or to the intake where nothing is. */
export function StartPage() {
  const { route } = useLocation()
  const shop = useShop()
  const { value } = shop
  useEffect(() => {
    if (value === null) return
    const [first, ...others] = value.partNumbers
    if (first === undefined) route('/intake', true)
    else route(others.length === 0 ? driftPage(first) : '/drift', true)
  }, [value, route])
  return <Reading resource={shop} what="what is on record" />
}

export function NowherePage() {
  useTitle('No such page')
  return (
    <header class="opening">
      <h1>There is no page at this address.</h1>
      <p class="grounds">
        Pick a place above, or go to the <a href="/drift">part numbers</a>.
      </p>
    </header>
  )
}
