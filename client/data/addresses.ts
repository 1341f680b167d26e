/** Addresses of the pages and of the interface. Names come from files and may hold any character. */

export interface PartNumberKey {
  readonly number: string
  readonly revision: string
}

const segment = encodeURIComponent

export function driftPage({ number, revision }: PartNumberKey, designator?: string): string {
  return `/drift/${segment(number)}/${segment(revision)}${designator === undefined ? '' : `/${segment(designator)}`}`
}

export function capabilityPage({ number, revision }: PartNumberKey): string {
  return `/capability/${segment(number)}/${segment(revision)}`
}

/** One characteristic of it. */
export function capabilityDetailPage(key: PartNumberKey, designator: string): string {
  return `${capabilityPage(key)}/${segment(designator)}`
}

export function recordPage(importId: number): string {
  return `/record/${importId}`
}

/** The receipt of an import, open at a line of its file; `column` counts from 1. */
export function filePage(importId: number, line: number, column: number | null = null): string {
  return `/record/${importId}?line=${line}${column === null ? '' : `&column=${column}`}`
}

/** Where a row of a file is read: of one that was taken in, or of one that is being asked about still. */
export function lineAddress(
  of: { readonly importId: number } | { readonly job: string },
  line: number,
  position: number | 'value' | null,
): string {
  const file = 'job' in of ? `jobs/${segment(of.job)}` : of.importId
  return `/api/imports/${file}/lines/${line}${position === null ? '' : `?position=${position}`}`
}

/** Where the cell that a value came from is read. */
export function sourceAddress(
  key: PartNumberKey,
  designator: string,
  build: string,
  stage: string,
  { serial, replicate }: { readonly serial: string; readonly replicate: number },
): string {
  return `${ofPartNumber(key)}/characteristics/${segment(designator)}/builds/${segment(build)}/source?stage=${segment(stage)}&serial=${segment(serial)}&replicate=${replicate}`
}

/** Where values are typed: a sheet that this browser keeps, or the beginning of one. */
export function typingPage(sheet?: string): string {
  return sheet === undefined ? '/intake/typing' : `/intake/typing/${segment(sheet)}`
}

function ofPartNumber({ number, revision }: PartNumberKey): string {
  return `/api/part-numbers/${segment(number)}/${segment(revision)}`
}

/** What moved, of every part number. */
export const SHOP_NEWS_ADDRESS = '/api/shop/news'

export function driftAddress(key: PartNumberKey, stage: string): string {
  return `${ofPartNumber(key)}/drift?stage=${segment(stage)}`
}

export function typingAddress(key: PartNumberKey, stage: string): string {
  return `${ofPartNumber(key)}/typing?stage=${segment(stage)}`
}

/** What is on record of a part whose values are being typed. */
export function partOnRecordAddress(key: PartNumberKey, serial: string, stage: string): string {
  return `${ofPartNumber(key)}/typing/part?stage=${segment(stage)}&serial=${segment(serial)}`
}

/** What the chart of a characteristic is made from. */
export function groundAddress(key: PartNumberKey, designator: string, stage: string): string {
  return `${ofPartNumber(key)}/characteristics/${segment(designator)}/ground?stage=${segment(stage)}`
}

export function eventsAddress(key: PartNumberKey, stage: string): string {
  return `${ofPartNumber(key)}/events?stage=${segment(stage)}`
}

export function chartAddress(key: PartNumberKey, designator: string, stage: string): string {
  return `${ofPartNumber(key)}/characteristics/${segment(designator)}/chart?stage=${segment(stage)}`
}

export function subgroupAddress(
  key: PartNumberKey,
  designator: string,
  build: string,
  stage: string,
): string {
  return `${ofPartNumber(key)}/characteristics/${segment(designator)}/builds/${segment(build)}?stage=${segment(stage)}`
}

/** Where it is read and decided what the customer asks. */
export function requirementsAddress(key: PartNumberKey): string {
  return `${ofPartNumber(key)}/requirements`
}

/** Where a study is read and changed; `preview` shows what a change would do. */
export function studyAddress(key: PartNumberKey, designator: string, stage: string, preview = false): string {
  return `${ofPartNumber(key)}/characteristics/${segment(designator)}/study${preview ? '/preview' : ''}?stage=${segment(stage)}`
}

/** Where something is left out of a characteristic. */
export function leaveOutAddress(key: PartNumberKey, designator: string, stage: string): string {
  return `${ofPartNumber(key)}/characteristics/${segment(designator)}/exclusions?stage=${segment(stage)}`
}

/** Where it is taken back. */
export function takeBackAddress(key: PartNumberKey, stage: string): string {
  return `${ofPartNumber(key)}/exclusions/taken-back?stage=${segment(stage)}`
}

/** Where findings or remarks are written, or the one of that number changed. */
export function writtenAddress(
  key: PartNumberKey,
  what: 'findings' | 'remarks',
  stage: string,
  number: number | null,
): string {
  return `${ofPartNumber(key)}/${what}${number === null ? '' : `/${number}`}?stage=${segment(stage)}`
}

/** What is asked of capability, over which builds. */
export interface CapabilityAsked {
  readonly stage: string
  readonly required: number | null
  readonly confidence: number | null
  readonly last: number | null
}

export function capabilityAddress(key: PartNumberKey, asked: CapabilityAsked): string {
  return `${ofPartNumber(key)}/capability?${askedQuery(asked)}`
}

/** What one characteristic can hold, how its index went, or what it would hold under a supposition. */
export function characteristicAddress(
  key: PartNumberKey,
  designator: string,
  what: 'capability' | 'index-course' | 'what-if',
  asked: CapabilityAsked,
): string {
  return `${ofPartNumber(key)}/characteristics/${segment(designator)}/${what}?${askedQuery(asked)}`
}

function askedQuery({ stage, required, confidence, last }: CapabilityAsked): URLSearchParams {
  const query = new URLSearchParams({ stage })
  if (required !== null) query.set('required', String(required))
  if (confidence !== null) query.set('confidence', String(confidence))
  if (last !== null) query.set('last', String(last))
  return query
}
