import { readFileSync } from 'node:fs'
import { afterAll, beforeAll, expect, it } from 'vitest'
import type { EventsView } from '../../../server/contract/views.ts'
import { differences } from '../../tools/differences.ts'
import { type RunningServer, startServer } from '../../tools/running-server.ts'

/**
 * One lasting step and one drift through the running server, against change point, size and forecast as
 * tests/reference/audit/make_moves.py computes them with NumPy and SciPy; sources stand there.
 */

const read = (name: string) => readFileSync(new URL(`../../reference/audit/${name}`, import.meta.url), 'utf8')
const expected = JSON.parse(read('expected-moves.json'))

let server: RunningServer

beforeAll(async () => {
  server = await startServer()
  const heading = 'part_number,revision,designator,name,kind,nominal,lower,upper,unit'
  const limits = ['STEP,A,1,size,length,10,9.9,10.1,mm', 'DRIFT,A,1,size,length,20,19.9,20.1,mm']
  await server.bring('limits.csv', [heading, ...limits].join('\n'))
  expect((await server.bring('moves.csv', read('moves.csv'))).verdict).toBe('taken')
})
afterAll(() => server.stop())

it('finds the step at its build, with its size and interval', async () => {
  const { events } = await server.get<EventsView>('/api/part-numbers/STEP/A/events')
  expect(events).toHaveLength(1)
  const { from, plausible, kind, standing, members } = events[0] as EventsView['events'][number]
  expect([kind, standing]).toEqual(['level', true])
  const { shift: value, lower, upper, ...place } = expected.step
  expect(differences(place, { from, plausible }, 0)).toEqual([])
  expect(differences({ value, lower, upper }, members[0]?.shift, 1e-9)).toEqual([])
})

it('finds the drift, and forecasts when it reaches the limit', async () => {
  const { events } = await server.get<EventsView>('/api/part-numbers/DRIFT/A/events')
  expect(events).toHaveLength(1)
  const { from, kind, members, forecast } = events[0] as EventsView['events'][number]
  const { size, from: start, ...ahead } = expected.drift
  expect([kind, from]).toEqual(['drift', start])
  expect(differences(size, members[0]?.shift?.value, 1e-9)).toEqual([])
  expect(differences(ahead, forecast, 1e-9)).toEqual([])
  expect([forecast?.side, forecast?.reached]).toEqual(['upper', false])
})
