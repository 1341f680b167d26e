import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { createLog } from '../../../server/log.ts'
import { quickPassword } from '../../tools/quick-password.ts'
import { type RunningServer, startServer } from '../../tools/running-server.ts'

const lines: string[] = []
let server: RunningServer
const logged = () => lines.map((line) => JSON.parse(line) as Record<string, unknown>)

beforeAll(async () => {
  server = await startServer({ log: createLog('debug', { write: (line) => lines.push(line) }) })
})
afterAll(() => server.stop())

describe('health', () => {
  it('tells that the server is alive, and that it is ready', async () => {
    expect(await server.get('/api/health')).toEqual({ alive: true })
    expect(await server.get('/api/ready')).toEqual({ ready: true, database: 'current', disk: 'writable' })
  })

  it('tells what is wanting where it is not', async () => {
    const { store } = server
    const broken = await startServer({
      store: { ...store, isCurrent: () => Promise.reject(new Error('gone')) },
    })
    const answer = await fetch(`${broken.url}/api/ready`)
    expect(answer.status).toBe(503)
    expect(await answer.json()).toMatchObject({ ready: false, database: 'silent' })
    await broken.stop()
  })
})

describe('metrics', () => {
  it('are in the Prometheus text format: requests by route and status, imports, rows, queue, memory, delays', async () => {
    const receipt = await server.bring(
      'characteristics.csv',
      'part_number,revision,characteristic,name,kind,nominal,lower,upper,unit\nHB-1,A,1,length,length,42,41,43,mm\n',
    )
    expect(receipt.verdict).toBe('taken')
    await fetch(`${server.url}/api/no-such-${'x'.repeat(20)}`)
    const answer = await fetch(`${server.url}/api/metrics`)
    expect(answer.headers.get('Content-Type')).toBe('text/plain; version=0.0.4; charset=utf-8')
    const text = await answer.text()
    // Every line is a comment or a sample, as the description of the format has them.
    const sample =
      /^[a-zA-Z_:][\w:]*(\{([a-zA-Z_]\w*="([^"\\\n]|\\["\\n])*",?)*\})? (-?[\d.]+(e[+-]?\d+)?|NaN|[+-]Inf)$/
    for (const line of text.split('\n').filter((each) => each !== '')) {
      expect(line.startsWith('# HELP ') || line.startsWith('# TYPE ') || sample.test(line), line).toBe(true)
    }
    expect(text).toMatch(
      /^as_sintered_http_request_duration_seconds_count\{method="POST",route="\/api\/imports",status="202"\} 1$/m,
    )
    expect(text).toMatch(/route="other",status="404"/)
    expect(text).not.toContain('no-such')
    expect(text).toMatch(/^as_sintered_imports\{verdict="taken"\} 1$/m)
    expect(text).toMatch(/^as_sintered_rows\{what="taken"\} 1$/m)
    expect(text).toMatch(/^as_sintered_intake_queue 0$/m)
    expect(text).toMatch(/^process_resident_memory_bytes \d+$/m)
    expect(text).toMatch(/^nodejs_eventloop_lag_p99_seconds /m)
  })
})

describe('the log', () => {
  it('has a line for every request, with its number, and nothing that came with it', async () => {
    lines.length = 0
    const secret = 'sintered_secret'
    const answer = await fetch(`${server.url}/api/session?who=Zoltan`, {
      method: 'POST',
      headers: {
        'Content-Type': 'application/json',
        Cookie: 'as-sintered=cookie-secret',
        'User-Agent': 'agent-secret',
      },
      body: JSON.stringify({ name: 'Zoltan', password: 'password-secret' }),
    })
    expect(answer.status).toBe(401)
    await fetch(`${server.url}/api/shop`, { headers: { Authorization: `Bearer ${secret}` } })
    await fetch(`${server.url}/api/session/guest`, {
      method: 'POST',
      headers: { 'Content-Type': 'application/json' },
      body: `{"link": broken link-secret`,
    })
    await server.get('/api/shop')
    const all = logged()
    expect(all.map(({ level, status }) => [level, status])).toEqual([
      ['info', 401],
      ['info', 401],
      ['info', 400],
      ['debug', 200],
    ])
    expect(all[0]).toMatchObject({
      method: 'POST',
      path: '/api/session',
      route: 'POST /api/session',
      msg: 'answered',
    })
    expect(all[0]?.request).toBe(answer.headers.get('X-Request-Id'))
    expect(all[0]?.request).toMatch(/^[0-9a-f-]{36}$/)
    expect(lines.join('')).not.toMatch(/secret|Zoltan|Bearer|Cookie/)
    for (const line of lines) expect(line.endsWith('\n')).toBe(true)
  })

  it('tells of a failure by the number that whoever asked was given, without what was sent', async () => {
    lines.length = 0
    const failing = await startServer({
      store: {
        ...server.store,
        partNumbers: () => Promise.reject(new Error(`no such thing\n${'value '.repeat(1000)}`)),
      },
      log: createLog('error', { write: (line) => lines.push(line) }),
    })
    const answer = await fetch(`${failing.url}/api/shop`)
    const { error } = (await answer.json()) as { error: { next: string } }
    const [failed, answered] = logged()
    expect(failed).toMatchObject({
      level: 'error',
      msg: 'failed',
      err: { type: 'Error', message: 'no such thing' },
    })
    expect(answered).toMatchObject({ status: 500, request: failed?.request })
    expect(error.next).toContain(String(failed?.request))
    expect(lines.join('').length).toBeLessThan(4000)
    await failing.stop()
  })

  it('names people by number', async () => {
    lines.length = 0
    const own = await startServer({ log: createLog('debug', { write: (line) => lines.push(line) }) })
    await own.store.write((writer) =>
      writer.addPerson(
        { name: 'Ada Root', role: 'administrator', password: quickPassword('three kilns by the river') },
        { at: 1_790_000_000, who: null },
      ),
    )
    const signIn = await fetch(`${own.url}/api/session`, {
      method: 'POST',
      headers: { 'Content-Type': 'application/json' },
      body: JSON.stringify({ name: 'Ada Root', password: 'three kilns by the river' }),
    })
    const cookie = (signIn.headers.get('Set-Cookie') ?? '').split(';')[0] as string
    await fetch(`${own.url}/api/people`, { headers: { Cookie: cookie } })
    expect(logged().at(-1)).toMatchObject({ caller: 'person 1', path: '/api/people', status: 200 })
    expect(lines.join('')).not.toContain('Ada')
    await own.stop()
  })
})
