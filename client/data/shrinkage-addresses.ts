import type { ScaleFactors } from '../../src/domain/build.ts'
import { capabilityPage, type PartNumberKey } from './addresses.ts'

/** Address of the page on shrinkage, and of what it reads and sends. */

export function shrinkagePage(key: PartNumberKey): string {
  return capabilityPage(key).replace('/capability/', '/shrinkage/')
}

export function shrinkageAddress(key: PartNumberKey): string {
  return capabilityPage(key).replace('/capability/', '/api/part-numbers/').concat('/shrinkage')
}

export function predictionAddress(key: PartNumberKey, { x, y, z }: ScaleFactors): string {
  return `${shrinkageAddress(key)}/prediction?${new URLSearchParams({ x: String(x), y: String(y), z: String(z) })}`
}

export function sharesAddress(key: PartNumberKey): string {
  return `${shrinkageAddress(key)}/shares`
}

export function factorDecisionsAddress(key: PartNumberKey): string {
  return `${shrinkageAddress(key)}/decisions`
}

export function takenBackAddress(key: PartNumberKey, decision: number): string {
  return `${factorDecisionsAddress(key)}/${decision}/taken-back`
}

/** @param preview to try settings on the record, keeping nothing */
export function shrinkageSettingsAddress(key: PartNumberKey, preview = false): string {
  return `${shrinkageAddress(key)}/settings${preview ? '/preview' : ''}`
}
