import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { connect } from 'node:net'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { gzipSync } from 'node:zlib'
import { Hono } from 'hono'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { boundedBodies } from '../../../server/access/bodies.ts'
import { answerError, type Problem } from '../../../server/problem.ts'
import { eventStream } from '../../../server/routes/event-streams.ts'
import { type RunningServer, startServer } from '../../tools/running-server.ts'

let server: RunningServer
let clientFolder: string

beforeAll(async () => {
  clientFolder = mkdtempSync(join(tmpdir(), 'as-sintered-client-'))
  writeFileSync(join(clientFolder, 'index.html'), '<!doctype html><title>as-sintered</title>')
  server = await startServer({ clientFolder })
  writeFileSync(join(server.folder, 'secret.txt'), 'the shop’s own')
})
afterAll(async () => {
  await server.stop()
  rmSync(clientFolder, { recursive: true })
})

/** What the server answers to these bytes, exactly as they are; a client would put them right first. */
function raw(request: string): Promise<string> {
  const { hostname, port } = new URL(server.url)
  return new Promise((resolve, reject) => {
    const socket = connect(Number(port), hostname, () => socket.write(request))
    let answer = ''
    socket.on('data', (chunk) => {
      answer += chunk
    })
    socket.on('end', () => resolve(answer))
    socket.on('error', reject)
    socket.setTimeout(5000, () => socket.destroy(new Error('no answer')))
  })
}

describe('every answer', () => {
  it.each(['/', '/drift', '/api/shop', '/api/none', '/api/imports/999', '/guide/security'])(
    'of %s keeps browsers from frames, foreign scripts, inline scripts and guessing types',
    async (path) => {
      const { headers } = await fetch(server.url + path)
      const policy = headers.get('Content-Security-Policy') ?? ''
      expect(policy).toContain("default-src 'none'")
      expect(policy).toContain("script-src 'self';")
      expect(policy).toContain("style-src 'self';")
      expect(policy).toContain("frame-ancestors 'none'")
      expect(policy).toContain("base-uri 'none'")
      expect(policy).not.toMatch(/unsafe|\*|https?:/)
      expect(headers.get('X-Frame-Options')).toBe('DENY')
      expect(headers.get('X-Content-Type-Options')).toBe('nosniff')
      expect(headers.get('Referrer-Policy')).toBe('no-referrer')
      expect(headers.get('Cross-Origin-Opener-Policy')).toBe('same-origin')
      expect(headers.get('Cross-Origin-Resource-Policy')).toBe('same-origin')
      expect(headers.get('X-Powered-By')).toBeNull()
      expect(headers.get('Access-Control-Allow-Origin')).toBeNull()
    },
  )
})

describe('a path', () => {
  it.each([
    '/../secret.txt',
    '/..%2fsecret.txt',
    '/%2e%2e/secret.txt',
    '/%2e%2e%2fsecret.txt',
    '/..%5csecret.txt',
    '/....//secret.txt',
    '/assets/../../secret.txt',
    '//etc/passwd',
    '/%00/../secret.txt',
    '/file:///etc/passwd',
    '/api/imports/../../secret.txt',
    '/api/imports/..%2f..%2fsecret.txt/file',
    '/api/imports/jobs/..%2f..%2fsecret.txt',
  ])('%s leads to nothing outside', async (path) => {
    const answer = await raw(`GET ${path} HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n`)
    expect(answer).toMatch(/^HTTP\/1\.1 [234]\d\d/)
    expect(answer).not.toContain('the shop’s own')
    expect(answer).not.toContain('root:')
  })
})

describe('a body', () => {
  it('that is larger than 16 MiB is refused with the limit, before it is read', async () => {
    const answer = await raw(
      'POST /api/part-numbers/A/1/remarks HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\nContent-Length: 16777217\r\nConnection: close\r\n\r\n{',
    )
    expect(answer).toMatch(/^HTTP\/1\.1 413/)
    expect(answer).toContain('larger than 16 MiB')
  })

  it('that does not say how large it is is refused once it is too large, or too slow', async () => {
    const app = new Hono().use(boundedBodies(1024, 50)).post('/', async (c) => c.text(await c.req.text()))
    app.onError(answerError)
    const send = (body: ReadableStream) =>
      app.request('/', { method: 'POST', body, duplex: 'half' } as RequestInit)
    const chunk = new Uint8Array(600)
    let given = 0
    const endless = new ReadableStream({
      pull(controller) {
        given++
        controller.enqueue(chunk)
      },
    })
    expect((await send(endless)).status).toBe(413)
    // What is not needed any more is not asked for.
    expect(given).toBeLessThan(10)
    const stuck = new ReadableStream({
      start(controller) {
        controller.enqueue(new TextEncoder().encode('{'))
      },
    })
    const late = await send(stuck)
    expect(late.status).toBe(408)
    expect(((await late.json()) as { error: Problem }).error.what).toMatch(/not there after 0.05 s/)
    const whole = await send(new Blob(['{"a":1}']).stream())
    expect(await whole.text()).toBe('{"a":1}')
  })

  it('that grows two hundredfold when it is unpacked is refused', async () => {
    // 1 MB packed stands for 1 GB; text, so that no other fault is found first. Packed once and put together from members,
    // as gzip allows (RFC 1952, section 2.2), since packing takes longer than refusing.
    const member = gzipSync(Buffer.alloc(8 * 1024 ** 2, 'a'), { level: 9 })
    const packed = Buffer.concat(Array.from({ length: 25 }, () => member))
    const receipt = await server.bring('bomb.csv.gz', packed)
    expect(receipt.verdict).toBe('refused')
    expect(JSON.stringify(receipt.problem)).toMatch(/grows to more than 250 times its size/)
  })

  it.each([
    [
      'internal entities',
      '<!DOCTYPE r [<!ENTITY a "ha"><!ENTITY b "&a;&a;">]><QIFDocument>&b;</QIFDocument>',
    ],
    [
      'files of this machine',
      '<!DOCTYPE r [<!ENTITY x SYSTEM "file:///etc/passwd">]><QIFDocument>&x;</QIFDocument>',
    ],
    ['parameter entities', '<!DOCTYPE r [<!ENTITY % p SYSTEM "http://192.0.2.1/x.dtd"> %p;]><QIFDocument/>'],
  ])('of XML that declares %s is refused', async (_, xml) => {
    const receipt = await server.bring('results.qif', `<?xml version="1.0"?>\n${xml}`)
    expect(receipt.verdict).toBe('refused')
    expect(JSON.stringify(receipt)).not.toContain('root:')
  })
})

describe('event streams', () => {
  it('are bounded, and their places are given back', async () => {
    const ends: (() => void)[] = []
    const app = new Hono().get('/', (c) =>
      eventStream(
        c,
        (stream) =>
          new Promise<void>((resolve) => {
            ends.push(resolve)
            stream.onAbort(resolve)
          }),
        2,
      ),
    )
    app.onError(answerError)
    const first = await app.request('/')
    await app.request('/')
    const third = await app.request('/')
    expect([first.status, third.status]).toEqual([200, 503])
    expect(third.headers.get('Retry-After')).toBe('60')
    for (const end of ends) end()
    await first.text()
    const again = await app.request('/')
    expect(again.status).toBe(200)
    for (const end of ends) end()
    await again.text()
    // Nobody reads the stream of a HEAD.
    for (let i = 0; i < 5; i++) expect((await app.request('/', { method: 'HEAD' })).status).toBe(200)
  })
})
