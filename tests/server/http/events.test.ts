import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { ImportProgress } from '../../../server/contract/receipt.ts'
import type { EventsView, ShopNewsView } from '../../../server/contract/views.ts'
import { plain } from '../../../src/words/sentence.ts'
import { lastReceipt, type RunningServer, startServer } from '../../tools/running-server.ts'

/** What was planted in the sample shop, as the running program tells it. */

let server: RunningServer
let view: EventsView

beforeAll(async () => {
  server = await startServer()
  const answer = await fetch(`${server.url}/api/sample-shop`, { method: 'POST' })
  await lastReceipt(server.url, (await answer.json()) as ImportProgress)
  view = await server.get<EventsView>('/api/part-numbers/HB-204/C/events')
}, 60_000)

afterAll(() => server.stop())

const event = (words: RegExp) => view.events.find(({ sentence }) => words.test(plain(sentence)))

describe('the events of the sample shop', () => {
  it('name the step along Z, with the powder lot that came with it', () => {
    const step = event(/everything along Z/)
    expect(plain(step?.sentence ?? [])).toMatch(
      /build 0441 everything along Z comes out small, by 0\.1\d % ± 0\.0\d/,
    )
    expect(step?.conditions[0]).toMatchObject({ condition: 'powder lot', from: 'K7', to: 'K8' })
    expect(plain(step?.grounds ?? [])).toMatch(/K7 → K8/)
    expect(step?.standing).toBe(true)
  })

  it('name the corrected scale factor along Y, whose own effect was predicted', () => {
    const step = event(/along Y/)
    expect(step?.conditions[0]?.method).toBe('scale-prediction')
  })

  it('name furnace 2 for the drift along X, and say when a limit is reached', () => {
    const drift = event(/along X/)
    expect(drift?.kind).toBe('drift')
    expect(drift?.conditions[0]).toMatchObject({ condition: 'furnace', to: 'F2' })
    expect(drift?.forecast).not.toBeNull()
  })

  it('name the build of doubled scatter and the mistyped value', () => {
    expect(view.events.some(({ kind, from, to }) => kind === 'spread' && from === 37 && to === 37)).toBe(true)
    const single = view.events.find(({ kind }) => kind === 'single')
    expect(plain(single?.sentence ?? [])).toMatch(/5\.129/)
  })

  it('are all there is: what stands comes first, the rest are bare signals', () => {
    expect(view.events).toHaveLength(5)
    const standing = view.events.map((each) => each.standing)
    expect(standing).toEqual(standing.toSorted((a, b) => Number(b) - Number(a)))
    expect(view.expectedByChance).toBeGreaterThan(1)
  })
})

describe('the news of the shop', () => {
  it('say of each part number what its own page opens with, and since when', async () => {
    const { partNumbers } = await server.get<ShopNewsView>('/api/shop/news')
    expect(partNumbers.map(({ number, movedSince }) => [number, movedSince])).toEqual([
      ['HB-204', '0441'],
      ['LV-310', '0441'],
    ])
    const [bracket] = partNumbers
    expect(bracket?.headline).toEqual(view.events[view.opening ?? -1]?.sentence)
    const waiting = view.events.filter(({ standing, answer }) => standing && answer === null)
    expect(bracket?.further).toBe(waiting.length - 1)
  })
})
