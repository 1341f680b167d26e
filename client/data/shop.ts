import { createContext } from 'preact'
import { useContext } from 'preact/hooks'
import type { ShopView } from '../../server/contract/views.ts'
import type { Resource } from './resource.ts'

/** What the database holds, read once for the whole page and again after every import. */
export const ShopContext = createContext<Resource<ShopView>>({
  value: null,
  loading: true,
  problem: null,
  again: () => {},
})

export function useShop(): Resource<ShopView> {
  return useContext(ShopContext)
}
