import { chartAddress, driftAddress, driftPage, type PartNumberKey } from './addresses.ts'

/** Pages that look at one thing beside the control chart, and what they read. */

export type About = 'places' | 'slow' | 'tests'

export function aboutPage(key: PartNumberKey, designator: string, about: About): string {
  return `${driftPage(key, designator)}/${about}`
}

export function togetherPage(key: PartNumberKey): string {
  return `${driftPage(key)}/together`
}

export function floorPage(key: PartNumberKey): string {
  return driftPage(key).replace('/drift/', '/floor/')
}

/** The address of one view, from that of another of the same part number or characteristic. */
function beside(address: string, name: string, query: Readonly<Record<string, string>>): string {
  const path = address.slice(0, address.indexOf('?'))
  return `${path.slice(0, path.lastIndexOf('/'))}/${name}?${new URLSearchParams(query)}`
}

export function characteristicsAddress(key: PartNumberKey): string {
  return beside(driftAddress(key, ''), 'characteristics', {})
}

export function togetherAddress(key: PartNumberKey, stage: string): string {
  return beside(driftAddress(key, ''), 'together', { stage })
}

export function placesAddress(
  key: PartNumberKey,
  designator: string,
  stage: string,
  last: number | null,
): string {
  const query = { stage, ...(last === null ? {} : { last: String(last) }) }
  return beside(chartAddress(key, designator, ''), 'places', query)
}
