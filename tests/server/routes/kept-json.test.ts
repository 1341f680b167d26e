import { gunzipSync } from 'node:zlib'
import { Hono } from 'hono'
import { describe, expect, it } from 'vitest'
import { keptJson } from '../../../server/routes/kept-json.ts'

/** A record whose state and content the test sets, and how often a view of it was made. */
function shop() {
  const record = { version: '1', content: 'a', views: 0 }
  const source = { contentVersion: async () => record.version }
  const app = new Hono().get('/', (c) =>
    keptJson(c, source, 'view', async () => {
      record.views++
      return { content: record.content.repeat(5000) }
    }),
  )
  const ask = (headers: Record<string, string> = {}) =>
    app.request('/', { headers: { 'accept-encoding': 'gzip, br', ...headers } })
  return { record, ask }
}

const read = async (answer: Response) => JSON.parse(gunzipSync(await answer.arrayBuffer()).toString())

describe('a large view as JSON', () => {
  it('is compressed once for a state of the record', async () => {
    const { record, ask } = shop()
    const first = await ask()
    expect(first.headers.get('content-encoding')).toBe('gzip')
    expect(first.headers.get('content-type')).toMatch(/^application\/json/)
    expect(first.headers.get('vary')).toMatch(/accept-encoding/i)
    expect(await read(first)).toEqual({ content: 'a'.repeat(5000) })
    expect(await read(await ask())).toEqual({ content: 'a'.repeat(5000) })
    expect(record.views).toBe(1)
  })

  it('is not sent again to whoever has it: RFC 9110, 13.1.2 and 15.4.5', async () => {
    const { ask } = shop()
    const tag = (await ask()).headers.get('etag') as string
    for (const known of [tag, tag.replace('W/', ''), `"other", ${tag}`, '*']) {
      const again = await ask({ 'if-none-match': known })
      expect(again.status).toBe(304)
      expect(again.headers.get('etag')).toBe(tag)
      expect((await again.arrayBuffer()).byteLength).toBe(0)
    }
    expect((await ask({ 'if-none-match': '"other"' })).status).toBe(200)
  })

  it('stays known after a commit that changed nothing in it, and not after one that did', async () => {
    const { record, ask } = shop()
    const tag = (await ask()).headers.get('etag') as string
    record.version = '2'
    expect((await ask({ 'if-none-match': tag })).status).toBe(304)
    record.version = '3'
    record.content = 'b'
    const changed = await ask({ 'if-none-match': tag })
    expect(changed.status).toBe(200)
    expect(await read(changed)).toEqual({ content: 'b'.repeat(5000) })
  })

  it.each(['identity', 'br', 'gzip;q=0', 'gzip; q=0.0'])('is plain for who accepts %s', async (coding) => {
    const answer = await shop().ask({ 'accept-encoding': coding })
    expect(answer.headers.get('content-encoding')).toBeNull()
    expect(await answer.json()).toEqual({ content: 'a'.repeat(5000) })
  })

  it('is made once, whether it is asked for plain or compressed', async () => {
    const { record, ask } = shop()
    const plain = await ask({ 'accept-encoding': 'identity' })
    expect(plain.headers.get('etag')).toBe((await ask()).headers.get('etag'))
    expect(await plain.text()).toBe(JSON.stringify({ content: 'a'.repeat(5000) }))
    expect(record.views).toBe(1)
  })
})
