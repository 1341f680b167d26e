import { LocationProvider, Route, Router } from 'preact-iso'
import { renderToStaticMarkup } from 'preact-render-to-string'
import { afterEach, describe, expect, it, vi } from 'vitest'
import type { Resource } from '../../client/data/resource.ts'
import { ShopContext } from '../../client/data/shop.ts'
import { TypingPage } from '../../client/pages/typing.tsx'
import { ReadingOfPartNumber } from '../../client/parts/notice.tsx'
import type { ShopView } from '../../server/contract/views.ts'

const resource = <T,>(change: Partial<Resource<T>>): Resource<T> => ({
  value: null,
  loading: false,
  problem: null,
  again: () => {},
  ...change,
})
const problem = {
  what: 'Part number X, revision A, is not known.',
  where: null,
  next: 'Pick one from the list.',
}

describe('a page of one part number', () => {
  const say = (change: Partial<Resource<unknown>>) =>
    renderToStaticMarkup(<ReadingOfPartNumber resource={resource(change)} what="the builds" />)

  it('says that it reads', () => {
    expect(say({ loading: true })).toContain('Reading the builds …')
  })

  it('says what is wrong, what to do, and leads to all part numbers', () => {
    const html = say({ problem })
    expect(html).toContain(problem.what)
    expect(html).toContain(problem.next)
    expect(html).toContain('Try again')
    expect(html).toContain('href="/drift"')
  })

  it('says nothing of the way while it shows what it read before, or all is well', () => {
    expect(say({ problem, value: {} })).not.toContain('href="/drift"')
    expect(say({ value: {} })).toBe('')
  })
})

describe('the page on which values are typed', () => {
  const rendered = (shop: Partial<Resource<ShopView>>) => {
    vi.stubGlobal('location', new URL('http://127.0.0.1/intake/typing'))
    vi.stubGlobal('localStorage', { getItem: () => null, key: () => null, length: 0 })
    return renderToStaticMarkup(
      <ShopContext.Provider value={resource(shop)}>
        <LocationProvider>
          <Router>{[<Route key="typing" path="/intake/typing/:sheet?" component={TypingPage} />]}</Router>
        </LocationProvider>
      </ShopContext.Provider>,
    )
  }
  afterEach(() => {
    vi.unstubAllGlobals()
  })

  it('says what has to be there first where no part number is on record', () => {
    const html = rendered({ value: { partNumbers: [] } as unknown as ShopView })
    expect(html).toContain('No part number is on record yet')
    expect(html).toContain('href="/intake"')
    expect(html).not.toContain('Begin typing')
  })

  it('says that it reads, and what is wrong', () => {
    expect(rendered({ loading: true })).toContain('Reading the part numbers …')
    expect(rendered({ problem })).toContain(problem.what)
  })
})
