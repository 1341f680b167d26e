import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { Problem } from '../../../server/problem.ts'
import { type RunningServer, startServer } from '../../tools/running-server.ts'

let server: RunningServer

beforeAll(async () => {
  server = await startServer()
})

afterAll(() => server.stop())

async function problemAt(path: string, init?: RequestInit): Promise<Problem & { status: number }> {
  const answer = await fetch(server.url + path, init)
  const { error } = (await answer.json()) as { error: Problem }
  return { ...error, status: answer.status }
}

describe('what cannot be answered', () => {
  it.each([
    ['an address that is nothing', '/api/nothing', 404, /nothing at this address/],
    [
      'a part number that is not known',
      '/api/part-numbers/HB-999/A/drift',
      404,
      /HB-999, revision A, is not known/,
    ],
    ['an import that is not on record', '/api/imports/99', 404, /no import 99/],
    ['an intake that is not under way', '/api/imports/jobs/none/progress', 404, /not under way/],
    ['a stage that does not exist', '/api/part-numbers/HB-204/C/drift?stage=raw', 400, /green/],
    ['a requirement that is no number', '/api/part-numbers/HB-204/C/capability?required=much', 400, /number/],
  ])('%s is said so, with what to do next', async (_, path, status, what) => {
    const problem = await problemAt(path)
    expect(problem.status).toBe(status)
    expect(problem.what).toMatch(what)
    expect(problem.next).not.toBe('')
  })

  it('a name with a NUL character is refused', async () => {
    const problem = await problemAt('/api/imports?name=a%00b.csv', { method: 'POST', body: 'a' })
    expect(problem.status).toBe(400)
    expect(problem.what).toMatch(/NUL/)
  })

  it('a hand-in without a name is refused', async () => {
    expect((await problemAt('/api/imports', { method: 'POST', body: 'a' })).where).toBe('name')
  })
})

describe('an empty shop', () => {
  it('offers the sample', async () => {
    expect(await server.get('/api/shop')).toEqual({ partNumbers: [], sampleOffered: true })
  })
})
