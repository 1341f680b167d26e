import { connect } from 'node:net'
import { exampleOf } from '../../client/words/example-call.ts'
import type { OpenApiDocument, OpenApiOperation } from '../../server/contract/openapi.ts'
import { type RandomSource, randomSource } from '../../src/numbers/random-source.ts'

/**
 * Texts that have broken programs before: signs of other languages, ends, paths, formulas, scripts, numbers out of
 * range.
 */
const NASTY: readonly string[] = [
  '',
  ' ',
  '\0',
  '%00',
  '%',
  '%zz',
  '../../etc/passwd',
  '..%2f..%2fetc%2fpasswd',
  "' or 1=1 --",
  '"; drop table import; --',
  '<script>alert(1)</script>',
  '=cmd|/C calc!A0',
  '${7*7}',
  '__proto__',
  'constructor',
  'null',
  'NaN',
  '-1',
  '0',
  '1e309',
  '-1e309',
  '9007199254740993',
  '2147483648',
  '99999999999999999999',
  '0x10',
  '1,5',
  '\u202e',
  '\ufeff',
  '\ud800',
  '🧲🧲🧲',
  'é'.repeat(300),
  'x'.repeat(5000),
  '\r\nX-Injected: yes',
]

const VALUES: readonly unknown[] = [
  null,
  true,
  -1,
  0,
  1.5,
  1e308,
  2 ** 53,
  [],
  {},
  [[[[[[[[]]]]]]]],
  { __proto__: { administrator: true } },
  { constructor: { prototype: {} } },
  ['x', 1, null],
]

/** A request as bytes, and what it is an attempt at. */
export interface MalformedRequest {
  readonly what: string
  readonly bytes: Buffer
}

/** What came back. */
export interface Outcome {
  /** Null where the connection was closed without an answer, which is one too. */
  readonly status: number | null
}

/**
 * Requests that are wrong in some way, the same for the same seed: bytes that are no HTTP, headings that contradict one
 * another, and calls of every route with addresses, parameters and bodies that no page would send.
 */
export function* malformedRequests(document: OpenApiDocument, seed: number): Generator<MalformedRequest> {
  const random = randomSource(seed)
  const calls = Object.entries(document.paths).flatMap(([path, methods]) =>
    Object.entries(methods).map(([method, operation]) => ({ method, path, operation })),
  )
  for (;;) {
    const kind = random.integer(10)
    if (kind === 0) yield { what: 'garbage', bytes: garbage(random) }
    else if (kind === 1) yield brokenHttp(random)
    else {
      const { method, path, operation } = pick(random, calls)
      yield { what: operation.operationId, bytes: call(random, document, method, path, operation) }
    }
  }
}

function pick<T>(random: RandomSource, from: readonly T[]): T {
  return from[random.integer(from.length)] as T
}

function garbage(random: RandomSource): Buffer {
  return Buffer.from(Array.from({ length: 1 + random.integer(400) }, () => random.integer(256)))
}

const BROKEN: readonly (readonly [string, string])[] = [
  ['no host', 'GET /api/shop HTTP/1.1\r\n\r\n'],
  ['two hosts', 'GET /api/shop HTTP/1.1\r\nHost: a\r\nHost: b\r\n\r\n'],
  ['a host that is none', 'GET /api/shop HTTP/1.1\r\nHost: [[[\r\n\r\n'],
  ['no version', 'GET /api/shop\r\n\r\n'],
  ['another version', 'GET /api/shop HTTP/9.9\r\nHost: localhost\r\n\r\n'],
  ['a method that is none', 'TAKE /api/shop HTTP/1.1\r\nHost: localhost\r\n\r\n'],
  ['an address that is none', 'GET http:// HTTP/1.1\r\nHost: localhost\r\n\r\n'],
  ['a star', 'OPTIONS * HTTP/1.1\r\nHost: localhost\r\n\r\n'],
  [
    'two lengths',
    'POST /api/session HTTP/1.1\r\nHost: localhost\r\nContent-Length: 2\r\nContent-Length: 5\r\n\r\n{}',
  ],
  [
    'length and chunks',
    'POST /api/session HTTP/1.1\r\nHost: localhost\r\nContent-Length: 2\r\nTransfer-Encoding: chunked\r\n\r\n0\r\n\r\n',
  ],
  [
    'a chunk that is none',
    'POST /api/session HTTP/1.1\r\nHost: localhost\r\nTransfer-Encoding: chunked\r\n\r\nzz\r\n',
  ],
  ['a negative length', 'POST /api/session HTTP/1.1\r\nHost: localhost\r\nContent-Length: -1\r\n\r\n'],
  ['a heading without a name', 'GET / HTTP/1.1\r\nHost: localhost\r\n: x\r\n\r\n'],
  ['a heading too long', `GET / HTTP/1.1\r\nHost: localhost\r\nX: ${'x'.repeat(20_000)}\r\n\r\n`],
  ['an address too long', `GET /${'x'.repeat(20_000)} HTTP/1.1\r\nHost: localhost\r\n\r\n`],
  [
    'a change of protocol',
    'GET / HTTP/1.1\r\nHost: localhost\r\nConnection: Upgrade\r\nUpgrade: websocket\r\n\r\n',
  ],
]

function brokenHttp(random: RandomSource): MalformedRequest {
  const [what, text] = pick(random, BROKEN)
  return { what, bytes: Buffer.from(text, 'latin1') }
}

const TYPES = [
  'application/json',
  'application/json; charset=utf-16',
  'text/plain',
  'multipart/form-data',
  'application/x-www-form-urlencoded',
  '',
]

function call(
  random: RandomSource,
  document: OpenApiDocument,
  method: string,
  path: string,
  operation: OpenApiOperation,
): Buffer {
  const nasty = () => {
    const text = pick(random, NASTY)
    // Now and then as a client would not write it.
    return random.integer(4) === 0
      ? text.replace(/[\r\n\0 ]/g, '%20')
      : encodeURIComponent(text.replace(/\p{Cs}/gu, '\ufffd'))
  }
  const honest: Readonly<Record<string, string>> = {
    number: 'HB-204',
    revision: 'C',
    designator: '1',
    build: 'B1',
    id: '1',
    report: '1',
  }
  const place = (name: string) => (random.integer(3) === 0 ? nasty() : (honest[name] ?? '1'))
  const query = operation.parameters
    .filter((parameter) => parameter.in === 'query' && random.integer(2) === 0)
    .map(({ name }) => `${name}=${nasty()}`)
  if (random.integer(5) === 0) query.push(`${nasty()}=${nasty()}`, 'who=a&who=b')
  const address = `${path.replace(/\{(\w+)\}/g, (_, name: string) => place(name))}${query.length === 0 ? '' : `?${query.join('&')}`}`
  const verb =
    random.integer(8) === 0
      ? pick(random, ['PUT', 'PATCH', 'DELETE', 'HEAD', 'OPTIONS'])
      : method.toUpperCase()
  const headings = ['Host: localhost', 'Connection: close']
  if (random.integer(6) === 0)
    headings.push(
      `Authorization: ${pick(random, ['Bearer', 'Bearer x', 'Basic eA==', 'Bearer sintered_AAAA'])}`,
    )
  if (random.integer(6) === 0)
    headings.push(`Cookie: as-sintered=${pick(random, ['', 'x', '"', ';;;', 'x'.repeat(4000)])}`)
  if (random.integer(8) === 0) headings.push(`Last-Event-ID: ${pick(random, ['x', '1.1', '-1'])}`)
  let body: Buffer<ArrayBufferLike> = Buffer.alloc(0)
  if (verb !== 'GET' && verb !== 'HEAD') {
    body = bodyOf(random, document, operation)
    headings.push(`Content-Type: ${random.integer(3) === 0 ? pick(random, TYPES) : 'application/json'}`)
    headings.push(`Content-Length: ${body.length}`)
  }
  const head = Buffer.from(`${verb} ${address} HTTP/1.1\r\n${headings.join('\r\n')}\r\n\r\n`, 'latin1')
  return Buffer.concat([head, body])
}

function bodyOf(random: RandomSource, document: OpenApiDocument, operation: OpenApiOperation): Buffer {
  const schema = operation.requestBody?.content['application/json']?.schema
  const example = schema === undefined ? {} : exampleOf(document, schema)
  switch (random.integer(6)) {
    case 0:
      return garbage(random)
    case 1:
      // Deeper than any reader should follow.
      return Buffer.from('['.repeat(20_000))
    case 2: {
      const text = JSON.stringify(example)
      return Buffer.from(text.slice(0, random.integer(text.length + 1)))
    }
    case 3:
      return Buffer.from(JSON.stringify(pick(random, VALUES)))
    default: {
      const changed: Record<string, unknown> = { ...(example as object) }
      for (const name of Object.keys(changed)) {
        if (random.integer(3) === 0)
          changed[name] = random.integer(2) === 0 ? pick(random, NASTY) : pick(random, VALUES)
      }
      return Buffer.from(JSON.stringify(changed))
    }
  }
}

/** Sends the bytes, and reads no more of the answer than its status. */
export function sendRaw(url: string, bytes: Buffer): Promise<Outcome> {
  const { hostname, port } = new URL(url)
  return new Promise((resolve) => {
    let answer = ''
    const done = () => {
      const status = /^HTTP\/1\.[01] (\d{3})/.exec(answer)?.[1]
      resolve({ status: status === undefined ? null : Number(status) })
      socket.destroy()
    }
    // Half a request gets no answer until it is given up.
    const socket = connect(Number(port), hostname, () => socket.end(bytes))
    socket.on('data', (chunk) => {
      answer += chunk.toString('latin1')
      if (answer.length >= 12) done()
    })
    socket.on('error', done)
    socket.on('close', done)
  })
}
