import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { type RunningServer, startServer } from '../../tools/running-server.ts'

let server: RunningServer
beforeAll(async () => {
  server = await startServer()
})
afterAll(() => server.stop())

interface Listening {
  /** The identity of the next event. */
  next(): Promise<string>
  stop(): void
}

async function listen(lastEventId?: string): Promise<Listening> {
  const stop = new AbortController()
  const answer = await fetch(`${server.url}/api/notices`, {
    signal: stop.signal,
    headers: lastEventId === undefined ? {} : { 'last-event-id': lastEventId },
  })
  expect(answer.headers.get('content-type')).toBe('text/event-stream')
  const reader = (answer.body as ReadableStream<Uint8Array>).getReader()
  const decoder = new TextDecoder()
  let text = ''
  return {
    async next() {
      for (;;) {
        const end = text.indexOf('\n\n')
        const event = end === -1 ? '' : text.slice(0, end)
        if (end !== -1) text = text.slice(end + 2)
        const id = /^id: ?(.*)$/m.exec(event)?.[1]
        if (id !== undefined) return id
        if (end === -1) {
          const { value, done } = await reader.read()
          if (done) throw new Error('the stream ended')
          text += decoder.decode(value, { stream: true })
        }
      }
    },
    stop: () => stop.abort(),
  }
}

const file = (build: string) =>
  [
    'part_number,revision,serial,build,characteristic,nominal,value,unit',
    `HB-204,C,S-${build}-1,${build},1,42,42.01,mm`,
    `HB-204,C,S-${build}-2,${build},1,42,42.02,mm`,
  ].join('\n')

const bring = async (build: string) => {
  const drawing =
    'part_number,revision,designator,name,kind,nominal,lower,upper,unit,axis\nHB-204,C,1,length,length,42,41.9,42.1,mm,X'
  await server.bring('drawing.csv', drawing)
  const receipt = await server.bring(`${build}.csv`, file(build))
  expect(receipt.verdict).toBe('taken')
}

const version = async () => (await fetch(`${server.url}/api/shop`)).headers.get('x-record-version') as string

describe('notices', () => {
  it('tell the version of the record at once, which is that of the answers', async () => {
    const listening = await listen()
    expect(await listening.next()).toBe(await version())
    listening.stop()
  })

  it('tell of an import, whose builds are in what is read after', async () => {
    const listening = await listen()
    const before = await listening.next()
    await bring('0500')
    let now = before
    while (now !== (await version())) now = await listening.next()
    expect(now).not.toBe(before)
    const drift = await server.get<{ builds: { name: string }[] }>('/api/part-numbers/HB-204/C/drift')
    expect(drift.builds.map((build) => build.name)).toContain('0500')
    listening.stop()
  })

  it('tell at once whoever comes back after something was missed', async () => {
    const first = await listen()
    const heard = await first.next()
    first.stop()
    await bring('0501')
    const again = await listen(heard)
    const told = await again.next()
    expect(told).not.toBe(heard)
    expect(Number(told.split('.').at(-1))).toBeGreaterThan(Number(heard.split('.').at(-1)))
    again.stop()
  })

  it('tell nothing to whoever missed nothing, until something changes', async () => {
    const heard = await version()
    const again = await listen(heard)
    await bring('0502')
    expect(await again.next()).not.toBe(heard)
    again.stop()
  })
})
