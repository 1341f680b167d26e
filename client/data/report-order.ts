import type { ReportSummary } from '../../server/contract/report.ts'
import type { PartNumberKey } from './addresses.ts'
import { problemIn, RequestError, unheard } from './http.ts'
import { newReportAddress } from './report-addresses.ts'

/** What a report is asked to be. */
export interface ReportOrder {
  readonly who: string
  readonly stage: string
  readonly required: number | undefined
  readonly confidence: number | undefined
  readonly from: string
  readonly to: string
  readonly title: string | undefined
}

/** Lines of the answer, as they come in. */
type Line =
  | { readonly done: number; readonly all: number }
  | { readonly report: ReportSummary }
  | { readonly error: unknown }

/**
 * Has a report made and kept.
 *
 * @param onProgress told how many characteristics are done, of how many
 * @throws RequestError where it could not be made; an AbortError where `signal` stops it
 */
export async function orderReport(
  key: PartNumberKey,
  order: ReportOrder,
  signal: AbortSignal,
  onProgress: (done: number, all: number) => void,
): Promise<ReportSummary> {
  let answer: Response
  try {
    answer = await fetch(newReportAddress(key), {
      method: 'POST',
      headers: { 'content-type': 'application/json', accept: 'application/x-ndjson' },
      body: JSON.stringify(order),
      signal,
    })
  } catch (error) {
    if (error instanceof DOMException && error.name === 'AbortError') throw error
    throw unheard()
  }
  if (!answer.ok || answer.body === null) {
    throw new RequestError(problemIn(await answer.text(), answer.status), answer.status)
  }
  let summary: ReportSummary | null = null
  for await (const text of lines(answer.body)) {
    const line = JSON.parse(text) as Line
    if ('report' in line) summary = line.report
    else if ('error' in line) throw new RequestError(problemIn(text, answer.status), answer.status)
    else onProgress(line.done, line.all)
  }
  if (summary === null) throw unheard()
  return summary
}

async function* lines(body: ReadableStream<Uint8Array>): AsyncGenerator<string> {
  const reader = body
    .pipeThrough(new TextDecoderStream() as never)
    .getReader() as ReadableStreamDefaultReader<string>
  let rest = ''
  for (;;) {
    const { done, value } = await reader.read()
    if (done) return
    const parts = (rest + value).split('\n')
    rest = parts.pop() ?? ''
    for (const part of parts) if (part !== '') yield part
  }
}
