import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { attack, startAttackedServer } from '../../tools/attacked-server.ts'
import type { RunningServer } from '../../tools/running-server.ts'

/** The short form of `npm run malformed`, which sends ten thousand. */

let server: RunningServer
beforeAll(async () => {
  server = await startAttackedServer()
})
afterAll(() => server.stop())

describe('five hundred malformed requests', () => {
  it('are refused, and change nothing but what they were let do', async () => {
    const before = await server.get<{ imports: unknown[] }>('/api/imports')
    const { statuses, failures } = await attack(server, 500, 20_261_125)
    expect(failures).toEqual([])
    // Most of them reach a route, so that it is not the door alone that is tried.
    expect(statuses.get(400)).toBeGreaterThan(50)
    expect(statuses.get(404)).toBeGreaterThan(50)
    expect(await server.get('/api/health')).toEqual({ alive: true })
    expect(await server.get('/api/imports')).toEqual(before)
  })
})
