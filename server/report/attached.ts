import { inflateSync } from 'node:zlib'
import type { Report } from '../contract/report.ts'
import { jsonInHtml } from './html.ts'

/** A file that holds no report of this program. */
export class NotAReportError extends Error {
  override readonly name = 'NotAReportError'
}

/**
 * The report in a file made of it: the JSON itself, or as it is attached to the PDF or the HTML file.
 *
 * @throws NotAReportError
 */
export function reportIn(bytes: Buffer): Report {
  const kind = bytes.toString('latin1', 0, 1024)
  if (kind.includes('%PDF-')) {
    for (const content of embeddedFiles(bytes)) {
      const report = parsed(content.toString('utf8'))
      if (report !== null) return report
    }
    throw new NotAReportError(
      'The PDF has no report of this program attached to it. It may have been printed or saved anew by another program.',
    )
  }
  const text = bytes.toString('utf8')
  const json = /^\s*<!doctype html/i.test(kind) ? jsonInHtml(text) : text
  const report = json === null ? null : parsed(json)
  if (report === null) throw new NotAReportError('The file is not a report of this program.')
  return report
}

function parsed(text: string): Report | null {
  try {
    const value = JSON.parse(text) as Partial<Report> | null
    const whole =
      value?.kind === 'as-sintered report' &&
      Number.isInteger(value.version) &&
      typeof value.fingerprint === 'string' &&
      typeof value.madeBy === 'string' &&
      Number.isFinite(value.madeAt) &&
      typeof value.content?.settings === 'object' &&
      typeof value.content.partNumber === 'object' &&
      Array.isArray(value.content.characteristics)
    return whole ? (value as Report) : null
  } catch {
    return null
  }
}

/** Beyond this many bytes, nothing of ours is unpacked. */
const LARGEST = 512 << 20

/** Streams of embedded files. Source: ISO 32000-1, sections 7.3.8 and 7.11.4. */
function* embeddedFiles(pdf: Buffer): Generator<Buffer> {
  for (let at = pdf.indexOf('/EmbeddedFile'); at !== -1; at = pdf.indexOf('/EmbeddedFile', at + 1)) {
    const object = pdf.lastIndexOf(' obj', at)
    const start = pdf.indexOf('stream', at)
    if (object === -1 || start === -1) continue
    const head = pdf.toString('latin1', object, start)
    const length = Number(/\/Length (\d+)/.exec(head)?.[1])
    // The name is that of a class of files too, whose object has no stream.
    if (head.includes('endobj') || !Number.isInteger(length)) continue
    const from = start + 'stream'.length + (pdf[start + 6] === 0x0d ? 2 : 1)
    const content = pdf.subarray(from, from + length)
    try {
      yield head.includes('/FlateDecode') ? inflateSync(content, { maxOutputLength: LARGEST }) : content
    } catch {
      // Damaged, or packed in another way.
    }
  }
}
