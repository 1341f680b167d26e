import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { StudyPreview } from '../../../server/contract/decisions.ts'
import type { CapabilityView, ChartView } from '../../../server/contract/views.ts'
import { type RunningServer, startServer } from '../../tools/running-server.ts'

/** Parts measured again: which measurement counts is a decision on the study. */

let server: RunningServer
beforeAll(async () => {
  server = await startServer()
})
afterAll(() => server.stop())

const HEAD = 'part_number,revision,serial,build,characteristic,nominal,lower,upper,value,measured_at\n'
const row = (serial: string, value: string, day: number) =>
  `BX-1,A,${serial},B1,1,10,9,11,${value},2026-03-0${day} 08:00\n`
const at = '/api/part-numbers/BX-1/A/characteristics/1'

const post = async <T>(path: string, body: unknown): Promise<T> => {
  const answer = await fetch(server.url + path, {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify(body),
  })
  if (!answer.ok) throw new Error(`${path}: ${answer.status} ${await answer.text()}`)
  return (await answer.json()) as T
}
const point = async () => (await server.get<ChartView>(`${at}/chart?stage=sintered`)).chart.subgroups[0]

describe('parts measured again', () => {
  it('count as decided, as previewed, and as computed by hand, until their import is withdrawn', async () => {
    await server.bring('first.csv', `${HEAD}${row('S1', '10.1', 1)}${row('S2', '10.3', 1)}`)
    const asked = await server.bring('second.csv', `${HEAD}${row('S1', '10.2', 2)}`)
    expect(asked.verdict).toBe('asking')
    expect(asked.doubtCounts).toEqual([{ kind: 'measured-before', rows: 1, waiting: 1 }])
    // Brought by a path that can say so: as a table with the replicate numbered.
    const second = await server.bring(
      'second.csv',
      `${HEAD.replace('\n', ',replicate\n')}${row('S1', '10.2', 2).replace('\n', ',2\n')}`,
    )
    expect(second.verdict).toBe('taken')
    // (10.1 + 10.2 + 10.3) / 3
    expect((await point())?.mean).toBeCloseTo(10.2, 12)

    const change = { kind: 'choose-repeats', repeats: 'last' }
    const preview = await post<StudyPreview>(`${at}/study/preview?stage=sintered`, { change })
    await post(`${at}/study?stage=sintered`, {
      version: 0,
      change,
      who: 'Emil Rau',
      reason: 'gauge was set anew',
    })
    const after = await point()
    // (10.2 + 10.3) / 2
    expect(after).toMatchObject({ n: 2, min: 10.2, max: 10.3 })
    expect(after?.mean).toBeCloseTo(10.25, 12)
    expect(preview.after.subgroups[0]?.mean).toBe(after?.mean)
    const capability = await server.get<CapabilityView>('/api/part-numbers/BX-1/A/capability?stage=sintered')
    expect(capability.rows[0]?.n).toBe(2)
    const view = await server.get<ChartView>(`${at}/chart?stage=sintered`)
    expect(view.study).toMatchObject({ version: 1, repeats: 'last' })
    expect(view.study.history[0]?.did).toContain('the last counts')

    // What comes in later is the last then.
    const third = await server.bring(
      'third.csv',
      `${HEAD.replace('\n', ',replicate\n')}${row('S2', '10.5', 3).replace('\n', ',2\n')}`,
    )
    expect((await point())?.mean).toBeCloseTo((10.2 + 10.5) / 2, 12)
    await post(`/api/imports/${third.importId}/withdraw`, { who: 'Emil Rau', reason: 'wrong part' })
    expect((await point())?.mean).toBeCloseTo(10.25, 12)
    await post(`/api/imports/${second.importId}/withdraw`, { who: 'Emil Rau', reason: 'wrong gauge' })
    expect((await point())?.mean).toBeCloseTo(10.2, 12)
    expect((await point())?.n).toBe(2)
  })
})
