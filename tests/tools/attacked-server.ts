import { join } from 'node:path'
import type { OpenApiDocument } from '../../server/contract/openapi.ts'
import { malformedRequests, sendRaw } from './malformed-requests.ts'
import { type RunningServer, startServer } from './running-server.ts'

const CHARACTERISTICS = `part_number,revision,designator,name,kind,nominal,lower,upper,unit
HB-204,C,1,Overall length,length,42,41.9,42.1,mm
`

/** A server with a small shop on record, to be sent what is malformed. */
export async function startAttackedServer(): Promise<RunningServer> {
  const server = await startServer({ sampleFolder: join('/', 'none') })
  await server.bring('characteristics.csv', CHARACTERISTICS)
  const rows = ['B1', 'B2', 'B3'].flatMap((build, i) =>
    Array.from({ length: 5 }, (_, k) => `HB-204,C,S${i}${k},${build},1,${41.95 + 0.01 * i + 0.02 * k}`),
  )
  const receipt = await server.bring(
    'values.csv',
    `part_number,revision,serial,build,characteristic,value\n${rows.join('\n')}\n`,
  )
  if (receipt.verdict !== 'taken') throw new Error(JSON.stringify(receipt.problem))
  return server
}

/** What came of an attack. */
export interface Attack {
  readonly statuses: ReadonlyMap<number | null, number>
  /** Answers of 500 and above but for 503, with what was asked. */
  readonly failures: readonly string[]
}

/**
 * Send so many malformed requests, eight at a time.
 *
 * @param onEvery told how many are through, after each hundred
 */
export async function attack(
  { url, get }: RunningServer,
  count: number,
  seed: number,
  onEvery: (through: number) => void = () => undefined,
): Promise<Attack> {
  const requests = malformedRequests(await get<OpenApiDocument>('/api/openapi.json'), seed)
  const statuses = new Map<number | null, number>()
  const failures: string[] = []
  let begun = 0
  let through = 0
  const sender = async () => {
    while (begun < count) {
      begun++
      const { what, bytes } = requests.next().value as { what: string; bytes: Buffer }
      const { status } = await sendRaw(url, bytes)
      statuses.set(status, (statuses.get(status) ?? 0) + 1)
      if (status !== null && status >= 500 && status !== 503) {
        failures.push(`${status} ${what}: ${bytes.toString('latin1').slice(0, 400)}`)
      }
      if (++through % 100 === 0) onEvery(through)
    }
  }
  await Promise.all(Array.from({ length: 8 }, sender))
  return { statuses, failures }
}
