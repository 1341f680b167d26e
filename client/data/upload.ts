import type { ImportChoices, ImportProgress } from '../../server/contract/receipt.ts'
import { NOT_NAMED } from '../words/receipt.ts'
import { ask, problemIn, RequestError, unheard } from './http.ts'

/** The address that takes a file in with the choices made for it. */
export function intakeAddress(fileName: string, choices: ImportChoices): string {
  const query = new URLSearchParams({
    name: fileName,
    takeGoodRows: String(choices.takeGoodRows),
    convertUnits: String(choices.convertUnits),
  })
  query.set('who', named(choices).who)
  if (choices.partNumber !== null) query.set('partNumber', choices.partNumber)
  if (choices.revision !== null) query.set('revision', choices.revision)
  if (choices.preview === true) query.set('preview', 'true')
  if (choices.build != null) query.set('build', choices.build)
  return `/api/imports?${query}`
}

/** Every import is on record under a name, and be it this one. */
function named(choices: ImportChoices): ImportChoices {
  return choices.who.trim() === '' ? { ...choices, who: NOT_NAMED } : choices
}

/** Sends a file; an XMLHttpRequest, since it alone tells how many bytes have gone out. */
export function sendFile(
  file: File,
  choices: ImportChoices,
  onBytes: (sent: number) => void,
  signal: AbortSignal,
): Promise<ImportProgress> {
  return new Promise((resolve, reject) => {
    const request = new XMLHttpRequest()
    request.open('POST', intakeAddress(file.name, choices))
    request.setRequestHeader('content-type', 'application/octet-stream')
    request.upload.onprogress = (event) => onBytes(event.loaded)
    request.onload = () => {
      if (request.status >= 200 && request.status < 300) {
        resolve(JSON.parse(request.responseText) as ImportProgress)
      } else {
        reject(new RequestError(problemIn(request.responseText, request.status), request.status))
      }
    }
    request.onerror = () => reject(unheard())
    request.onabort = () => reject(new DOMException('Stopped by hand.', 'AbortError'))
    signal.addEventListener('abort', () => request.abort(), { once: true })
    request.send(file)
  })
}

/**
 * Follows a job until it has finished.
 *
 * @throws RequestError where the connection is lost and does not come back
 */
export function watchJob(
  job: string,
  onProgress: (progress: ImportProgress) => void,
  signal: AbortSignal,
): Promise<ImportProgress> {
  return new Promise((resolve, reject) => {
    const events = new EventSource(`/api/imports/jobs/${encodeURIComponent(job)}/progress`)
    let faults = 0
    const close = () => events.close()
    signal.addEventListener(
      'abort',
      () => {
        close()
        reject(new DOMException('Not watched any more.', 'AbortError'))
      },
      { once: true },
    )
    events.onmessage = (event) => {
      faults = 0
      const progress = JSON.parse(event.data as string) as ImportProgress
      onProgress(progress)
      if (progress.state === 'finished') {
        close()
        resolve(progress)
      }
    }
    events.onerror = () => {
      faults++
      // The browser joins again by itself, unless the server has refused; then it is closed for good.
      if (events.readyState === EventSource.CLOSED || faults >= 5) {
        close()
        reject(unheard())
      }
    }
  })
}

export function retryJob(job: string, choices: ImportChoices): Promise<ImportProgress> {
  return ask<ImportProgress>(`/api/imports/jobs/${encodeURIComponent(job)}/retry`, {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify(named(choices)),
  })
}

export function cancelJob(job: string): Promise<ImportProgress> {
  return ask<ImportProgress>(`/api/imports/jobs/${encodeURIComponent(job)}`, { method: 'DELETE' })
}

export function startSampleShop(): Promise<ImportProgress> {
  return ask<ImportProgress>('/api/sample-shop', { method: 'POST' })
}
