import { setTimeout as delay } from 'node:timers/promises'
import type { ImportProgress } from '../../server/contract/receipt.ts'
import { randomSource } from '../../src/numbers/random-source.ts'
import { lastReceipt } from '../tools/running-server.ts'

/** Many clients at once, each asking for charts and now and then bringing a file. */

export interface LoadWanted {
  readonly url: string
  readonly clients: number
  readonly seconds: number
  /** Share of what a client does that is bringing a file. */
  readonly imports: number
  readonly seed: number
  /** Milliseconds on average between an answer and a client's next request. */
  readonly pause: number
}

export interface LoadResult {
  readonly requests: number
  readonly importsDone: number
  readonly rowsDone: number
  /** Anything but the answer that was due. */
  readonly errors: readonly string[]
  /** Milliseconds of requests for charts; 95 of 100 were answered within `p95`. */
  readonly charts: {
    readonly count: number
    readonly median: number
    readonly p95: number
    readonly worst: number
  }
}

const ROWS = 100
const PART = '/api/part-numbers/HB-204/C'

/** @throws where the sample shop is not on the server */
export async function load({ url, clients, seconds, imports, seed, pause }: LoadWanted): Promise<LoadResult> {
  const end = performance.now() + seconds * 1000
  const times: number[] = []
  const errors: string[] = []
  let requests = 0
  let importsDone = 0
  let rowsDone = 0
  const listed = (await (await fetch(`${url}${PART}/characteristics`)).json()) as {
    readonly characteristics?: readonly { readonly designator: string }[]
  }
  const designators = (listed.characteristics ?? []).map(({ designator }) => designator)
  if (designators.length === 0) throw new Error('the sample shop is not there')

  const read = async (path: string, isChart: boolean) => {
    const begun = performance.now()
    const answer = await fetch(url + path)
    await answer.arrayBuffer()
    requests++
    if (isChart) times.push(performance.now() - begun)
    if (!answer.ok) errors.push(`${path}: ${answer.status}`)
  }
  const bring = async (client: number, i: number) => {
    const rows = Array.from(
      { length: ROWS },
      (_, k) => `SK-${client},A,S${i}-${k},K${client}-${i},1,10,9,11,mm,10.${k}`,
    )
    const body = `part_number,revision,serial,build,characteristic,nominal,lower,upper,unit,value\n${rows.join('\n')}\n`
    const answer = await fetch(`${url}/api/imports?name=c${client}-${i}.csv&who=soak`, {
      method: 'POST',
      body,
    })
    requests++
    if (answer.status !== 202) {
      errors.push(`import: ${answer.status} ${await answer.text()}`)
      return
    }
    const receipt = await lastReceipt(url, (await answer.json()) as ImportProgress)
    requests++
    if (receipt.verdict !== 'taken') errors.push(`import: ${receipt.verdict} ${receipt.problem?.what ?? ''}`)
    importsDone++
    rowsDone += receipt.rowsTaken
  }
  const client = async (number: number) => {
    const random = randomSource(seed + number)
    for (let i = 0; performance.now() < end; i++) {
      const what = random.uniform()
      try {
        if (what < imports) await bring(number, i)
        else if (what < 0.75) {
          const designator = designators[Math.floor(random.uniform() * designators.length)] as string
          await read(`${PART}/characteristics/${encodeURIComponent(designator)}/chart?stage=sintered`, true)
        } else if (what < 0.9) await read(`${PART}/drift?stage=sintered`, false)
        else if (what < 0.97) await read('/api/record?limit=20', false)
        else await read('/api/imports', false)
      } catch (error) {
        errors.push(String((error as Error).cause ?? error))
      }
      if (pause > 0) await delay(2 * pause * random.uniform())
    }
  }
  await Promise.all(Array.from({ length: clients }, (_, number) => client(number)))
  times.sort((a, b) => a - b)
  const at = (share: number) => times[Math.min(times.length - 1, Math.ceil(share * times.length) - 1)] ?? 0
  return {
    requests,
    importsDone,
    rowsDone,
    errors,
    charts: { count: times.length, median: at(0.5), p95: at(0.95), worst: times.at(-1) ?? 0 },
  }
}
