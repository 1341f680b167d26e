import type { IncomingMessage, ServerResponse } from 'node:http'
import { mergeConfig, type Plugin } from 'vite'
import client from '../../client/vite.config.ts'
import {
  CHARACTERISTICS,
  capabilityFixture,
  chartFixture,
  driftFixture,
  PART_NUMBER,
  progressFixture,
  RECEIPT,
  REFUSED_RECEIPT,
  subgroupFixture,
} from './fixtures.ts'

/**
 * The client on made-up answers, to look at pages without a server: npx vite --config tests/client/mock.vite.config.ts.
 * MOCK_BUILDS sets how many builds there are; a file whose name holds "bad" is refused.
 */
const BUILDS = Number(process.env.MOCK_BUILDS ?? 60)

const jobs = new Map<string, { name: string; good: boolean }>()

function answer(request: IncomingMessage, response: ServerResponse): boolean {
  const url = new URL(request.url ?? '/', 'http://localhost')
  const path = url.pathname.split('/').slice(2).map(decodeURIComponent)
  const json = (value: unknown, status = 200) => {
    response.writeHead(status, { 'content-type': 'application/json' })
    response.end(JSON.stringify(value))
    return true
  }
  if (path[0] === 'shop') {
    const empty = process.env.MOCK_EMPTY !== undefined
    const summary = {
      ...PART_NUMBER,
      characteristics: 12,
      builds: BUILDS,
      measurements: BUILDS * 288,
      lastBuild: '0459',
    }
    const other = { ...summary, id: 2, number: 'CL-118', revision: 'A', name: 'cam lever' }
    return json({ partNumbers: empty ? [] : [summary, other], sampleOffered: empty })
  }
  if (path[0] === 'imports' && path.length === 1 && request.method === 'GET') {
    return json({
      imports: Array.from({ length: 12 }, (_, i) => ({
        ...RECEIPT,
        importId: 61 - i,
        fileName: `${String(459 - i).padStart(4, '0')}.csv`,
      })),
    })
  }
  if (path[0] === 'imports' && path.length === 1) {
    const name = url.searchParams.get('name') ?? ''
    request.resume().on('end', () => {
      const job = `job-${jobs.size + 1}`
      jobs.set(job, { name, good: !name.includes('bad') || url.searchParams.get('takeGoodRows') === 'true' })
      json(progressFixture({ job, fileName: name, state: 'waiting', rowsRead: 0, bytesRead: 0 }), 202)
    })
    return true
  }
  if (path[0] === 'imports' && path[1] === 'jobs') return job(path[2] ?? '', path[3], response, json)
  if (path[0] === 'imports') return json(path[1] === '60' ? { ...REFUSED_RECEIPT, importId: 60 } : RECEIPT)
  if (path[0] !== 'part-numbers' || path[1] !== PART_NUMBER.number) {
    return json(
      {
        error: { what: 'There is nothing at this address.', where: url.pathname, next: 'Check the address.' },
      },
      404,
    )
  }
  if (path[3] === 'drift') return json(driftFixture(BUILDS))
  if (path[3] === 'capability') {
    return json(
      capabilityFixture(
        Number(url.searchParams.get('required')),
        Number(url.searchParams.get('confidence')),
        BUILDS,
      ),
    )
  }
  if (path[5] === 'chart') return json(chartFixture(path[4] ?? CHARACTERISTICS[0]?.designator ?? '', BUILDS))
  return json(subgroupFixture(path[4] ?? '', path[6] ?? ''))
}

function job(
  id: string,
  what: string | undefined,
  response: ServerResponse,
  json: (value: unknown) => boolean,
): boolean {
  const known = jobs.get(id)
  if (known === undefined)
    return json({
      error: { what: 'This intake is not under way any more.', where: null, next: 'Bring the file again.' },
    })
  if (what === 'retry') {
    known.good = true
    return json(progressFixture({ job: id, fileName: known.name }))
  }
  response.writeHead(200, { 'content-type': 'text/event-stream' })
  let rows = 0
  const step = () => {
    rows += 48
    const receipt = known.good ? RECEIPT : REFUSED_RECEIPT
    const finished = rows >= 288
    const progress = progressFixture({
      job: id,
      fileName: known.name,
      rowsRead: rows,
      bytesRead: Math.min(31_204, rows * 108),
      state: finished ? 'finished' : 'reading',
      receipt: finished ? { ...receipt, fileName: known.name } : null,
    })
    response.write(`data: ${JSON.stringify(progress)}\n\n`)
    if (finished) response.end()
    else setTimeout(step, 250)
  }
  step()
  return true
}

const mock: Plugin = {
  name: 'made-up-answers',
  configureServer(server) {
    server.middlewares.use((request, response, next) => {
      if (!request.url?.startsWith('/api/') || !answer(request, response)) next()
    })
  },
}

export default mergeConfig(client, { plugins: [mock], server: { proxy: {} } })
