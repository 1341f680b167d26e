import type { PartNumberKey } from './addresses.ts'

/** Addresses of the pages about single parts, and of what they read. */

export function partPage({ number, revision }: PartNumberKey, serial: string): string {
  return `/record/parts/${[number, revision, serial].map(encodeURIComponent).join('/')}`
}

export function partAddress({ number, revision }: PartNumberKey, serial: string): string {
  return `/api/part-numbers/${encodeURIComponent(number)}/${encodeURIComponent(revision)}/parts/${encodeURIComponent(serial)}`
}

/** The part of this serial number, or a choice among those of all part numbers. */
export function findPartPage(serial: string): string {
  return `/record/parts?${new URLSearchParams({ serial })}`
}

/** Null where nothing is looked for. */
export function partsAddress(serial: string): string | null {
  return serial.trim() === '' ? null : `/api/parts?${new URLSearchParams({ serial: serial.trim() })}`
}

export function buildPartsPage({ number, revision }: PartNumberKey, build: string): string {
  return `/record/builds/${[number, revision, build].map(encodeURIComponent).join('/')}`
}

export function buildPartsAddress({ number, revision }: PartNumberKey, build: string): string {
  return `/api/part-numbers/${encodeURIComponent(number)}/${encodeURIComponent(revision)}/parts-of-build/${encodeURIComponent(build)}`
}
