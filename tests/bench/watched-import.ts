/**
 * One file taken in by the program as it is started, in a process of its own, while charts are asked for; and what that
 * process took of time and memory.
 */
import { createReadStream, mkdirSync, readFileSync, rmSync, statSync } from 'node:fs'
import { Agent, get, request } from 'node:http'
import { setTimeout } from 'node:timers/promises'
import type { ImportProgress, Receipt } from '../../server/contract/receipt.ts'
import { addressOf, startProgram } from '../soak/running-program.ts'
import { CHARACTERISTICS } from './measurement-file.ts'

const PROGRAM = [process.execPath, 'dist/node/server/main.js']
/** Milliseconds between two charts asked for. */
const ASK_EVERY = 50

export interface WatchedImport {
  /** Seconds from the last byte of the upload to the receipt. */
  readonly seconds: number
  /** Processor time of the program meanwhile, in seconds; null where the system does not tell. */
  readonly processor: number | null
  /** Greatest memory of the program from its start on, in bytes; null where the system does not tell. */
  readonly memory: number | null
  /** Times of answers in milliseconds: until the commit, and from then on, with all builds of the file. */
  readonly chartsMeanwhile: readonly number[]
  readonly chartsAfter: readonly number[]
  /** Processor time of one of the latter, in milliseconds, its compression on another thread included; null as above. */
  readonly chartWork: number | null
  /** Milliseconds between two notices of progress, at most. */
  readonly progressGap: number
}

/**
 * @param folder for the program's data; removed at the end
 * @param connection of an empty PostgreSQL database; null for SQLite in the folder
 * @param before taken in first, for something to chart meanwhile
 */
export async function watchImport(
  folder: string,
  connection: string | null,
  before: string,
  path: string,
  rows: number,
): Promise<WatchedImport> {
  mkdirSync(folder)
  const server = startProgram(
    [...PROGRAM, ...(connection === null ? [] : ['--database', connection])],
    folder,
  )
  const url = await addressOf(server)
  const system = systemOf(server.pid as number)
  try {
    await receiptOf(url, await upload(url, before))
    const job = await upload(url, path)
    const begun = performance.now()
    const processorBefore = system()?.processor ?? 0
    const charts: { readonly meanwhile: number[]; readonly after: number[] } = { meanwhile: [], after: [] }
    let ended = false
    let small = 0
    const asking = (async () => {
      while (!ended) {
        const { bytes, milliseconds } = await askForChart(url, 1)
        small ||= bytes
        // The chart of all builds of the file is many times the one of those before.
        ;(bytes > 3 * small ? charts.after : charts.meanwhile).push(milliseconds)
        await setTimeout(ASK_EVERY)
      }
    })()
    let [told, progressGap] = [begun, 0]
    const receipt = await receiptOf(url, job, () => {
      const now = performance.now()
      progressGap = Math.max(progressGap, now - told)
      told = now
    })
    const seconds = (performance.now() - begun) / 1000
    const processor = (system()?.processor ?? 0) - processorBefore
    if (receipt.verdict !== 'taken' || receipt.rowsTaken !== rows) {
      throw new Error(JSON.stringify([receipt.verdict, receipt.problem, receipt.refused[0]]))
    }
    ended = true
    await asking
    const workBefore = system()?.processor ?? 0
    for (let i = 1; i <= CHARACTERISTICS; i++) {
      charts.after.push((await askForChart(url, i)).milliseconds)
    }
    const known = system()
    return {
      seconds,
      processor: known && processor,
      memory: known?.memory ?? null,
      chartsMeanwhile: charts.meanwhile,
      chartsAfter: charts.after,
      chartWork: known && (1000 * (known.processor - workBefore)) / CHARACTERISTICS,
      progressGap,
    }
  } finally {
    const exited = new Promise((resolve) => server.once('exit', resolve))
    server.kill('SIGTERM')
    await exited
    rmSync(folder, { recursive: true, force: true })
  }
}

/** Processor time in seconds and greatest memory in bytes of a process, where the system is Linux. */
function systemOf(pid: number): () => { readonly processor: number; readonly memory: number } | null {
  if (process.platform !== 'linux') return () => null
  return () => {
    const of = (file: string) => readFileSync(`/proc/${pid}/${file}`, 'utf8')
    // Fields 14 and 15 of proc(5), in hundredths of a second; the name before them is in brackets.
    const fields = of('stat').split(') ')[1]?.split(' ') ?? []
    const kibibytes = /VmHWM:\s+(\d+)/.exec(of('status'))?.[1]
    return { processor: (Number(fields[11]) + Number(fields[12])) / 100, memory: Number(kibibytes) * 1024 }
  }
}

function upload(url: string, path: string): Promise<string> {
  return new Promise((resolve, reject) => {
    const options = { method: 'POST', headers: { 'content-length': statSync(path).size } }
    const sending = request(`${url}/api/imports?name=bench.csv&who=bench`, options, (answer) => {
      let text = ''
      answer.setEncoding('utf8').on('data', (some: string) => {
        text += some
      })
      answer.on('end', () => {
        if (answer.statusCode === 202) resolve((JSON.parse(text) as ImportProgress).job)
        else reject(new Error(text))
      })
    })
    sending.on('error', reject)
    createReadStream(path).on('error', reject).pipe(sending)
  })
}

/** @param heard called at every notice of progress */
async function receiptOf(url: string, job: string, heard: () => void = () => undefined): Promise<Receipt> {
  const answer = await fetch(`${url}/api/imports/jobs/${job}/progress`)
  let text = ''
  const decoder = new TextDecoder()
  for await (const some of answer.body as ReadableStream<Uint8Array>) {
    text += decoder.decode(some, { stream: true })
    const events = text.split('\n\n')
    text = events.pop() ?? ''
    for (const event of events) {
      heard()
      const progress = JSON.parse(event.replace(/^.*?data: ?/s, '')) as ImportProgress
      if (progress.receipt !== null) return progress.receipt
    }
  }
  throw new Error('the intake ended without a receipt')
}

const agent = new Agent({ keepAlive: true })

/** As a browser asks: compressed, and left so. */
function askForChart(url: string, designator: number): Promise<{ bytes: number; milliseconds: number }> {
  const path = `/api/part-numbers/HB-204/C/characteristics/${designator}/chart?stage=sintered`
  return new Promise((resolve, reject) => {
    const begun = performance.now()
    get(url + path, { agent, headers: { 'accept-encoding': 'gzip' } }, (answer) => {
      if (answer.statusCode !== 200) reject(new Error(`the chart answers ${answer.statusCode}`))
      let bytes = 0
      answer.on('data', (some: Buffer) => {
        bytes += some.length
      })
      answer.on('end', () => resolve({ bytes, milliseconds: performance.now() - begun }))
    }).on('error', reject)
  })
}
