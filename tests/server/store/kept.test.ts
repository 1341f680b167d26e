import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { kept } from '../../../server/store/kept.ts'
import type { Store } from '../../../server/store/store.ts'
import { openUnrecorded as openStore } from '../../tools/unrecorded.ts'

describe('what is kept of a store', () => {
  let store: Store
  let computed: number
  beforeEach(async () => {
    store = await openStore({ file: ':memory:' })
    computed = 0
  })
  afterEach(() => store.close())

  const gauge = (id: number) => store.write((writer) => writer.put('gauge', [{ id, name: `CMM-${id}` }]))
  const view = async () => ++computed

  it('is computed once until something is committed', async () => {
    expect(await kept(store, 'a', view)).toBe(1)
    expect(await kept(store, 'a', view)).toBe(1)
    expect(await kept(store, 'b', view)).toBe(2)
    await gauge(1)
    expect(await kept(store, 'a', view)).toBe(3)
  })

  it('is computed once for all who ask meanwhile', async () => {
    expect(await Promise.all([1, 2, 3].map(() => kept(store, 'a', view)))).toEqual([1, 1, 1])
  })

  it('is not kept where it was begun before a commit', async () => {
    let goOn: () => void = () => undefined
    const waiting = new Promise<void>((resolve) => {
      goOn = resolve
    })
    const begun = kept(store, 'a', async () => {
      await waiting
      return 'old'
    })
    await gauge(1)
    goOn()
    expect(await begun).toBe('old')
    expect(await kept(store, 'a', view)).toBe(1)
  })

  it('is tried again where it failed', async () => {
    await expect(kept(store, 'a', () => Promise.reject(new Error('no luck')))).rejects.toThrow('no luck')
    expect(await kept(store, 'a', view)).toBe(1)
  })

  it('is not kept while a transaction of the same connection is open', async () => {
    await store
      .write(async (writer) => {
        await writer.put('gauge', [{ id: 1, name: 'CMM-1' }])
        expect(await kept(store, 'a', view)).toBe(1)
        throw new Error('taken back')
      })
      .catch(() => undefined)
    expect(await kept(store, 'a', view)).toBe(2)
  })

  it('makes room for others after a while, the one unasked for longest first', async () => {
    for (let i = 0; i < 64; i++) await kept(store, `view ${i}`, view)
    await kept(store, 'view 0', view)
    await kept(store, 'one too many', view)
    expect(computed).toBe(65)
    await kept(store, 'view 0', view)
    expect(computed).toBe(65)
    await kept(store, 'view 1', view)
    expect(computed).toBe(66)
  })
})
