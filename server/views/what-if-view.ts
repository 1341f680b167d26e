import type { Limits } from '../../src/capability/indices.ts'
import { bindingLimits } from '../../src/capability/quantile-method.ts'
import { type CapabilityBasis, verdictOf } from '../../src/capability/summarise.ts'
import {
  limitsForValues,
  supposeNormal,
  supposeShaped,
  suppositionObstacle,
} from '../../src/capability/supposition.ts'
import type { SupposedFigures, Supposition } from '../../src/capability/what-if.ts'
import type { Characteristic } from '../../src/domain/characteristic.ts'
import { OBSTACLE_WORDS, whatIfWords } from '../../src/words/what-if-words.ts'
import type { WhatIfView } from '../contract/capability-detail.ts'
import type { PartNumber } from '../contract/views.ts'
import type { Store } from '../store/store.ts'
import { capabilityDetailView } from './capability-detail-view.ts'
import { type CapabilityQuestion, openLast } from './capability-span.ts'
import type { ValuesReaders } from './values-detail.ts'

/** What is supposed of a characteristic, as it is asked. */
export interface Wish extends Pick<Supposition, 'centred' | 'buildsAlike'> {
  /** In the characteristic's unit; null for no limit, undefined for the one there is. */
  readonly lower: number | null | undefined
  readonly upper: number | null | undefined
}

/** What one characteristic would hold if something were otherwise. Nothing of it is kept on record. */
export async function whatIfView(
  store: Store,
  partNumber: PartNumber,
  characteristic: Characteristic,
  question: CapabilityQuestion,
  wish: Wish,
  readers: ValuesReaders,
): Promise<WhatIfView> {
  const { measured } = await capabilityDetailView(store, partNumber, characteristic, question, readers)
  const [row] = (await openLast(store, partNumber, question, characteristic.id)).rows
  if (measured === null || row === undefined) {
    return cannot('It is not measured in these builds: choose more builds, or another stage.')
  }
  const { summary } = measured
  const basis = row.basis(summary.shape)
  const supposition = suppositionOf(basis, wish)
  const obstacle = suppositionObstacle(basis, supposition)
  if (obstacle !== null) return cannot(OBSTACLE_WORDS[obstacle])
  const supposed = await figuresUnder(basis, supposition, readers)
  if (supposed === null) return cannot('The values are too few for an interval, and so for an index.')
  const { index, value } = summary.requirement
  return {
    words: whatIfWords(summary, supposition, supposed),
    supposed,
    verdict: index === 'Ppk' && supposed.nearer !== null ? verdictOf(supposed.nearer, value) : null,
  }
}

function cannot(text: string): WhatIfView {
  return { words: [{ text }], supposed: null, verdict: null }
}

function suppositionOf(basis: CapabilityBasis, { centred, buildsAlike, lower, upper }: Wish): Supposition {
  const today = bindingLimits(basis.characteristic, basis.characteristic.kind)
  const limits: Limits = {
    lower: lower === undefined ? today.lower : lower,
    upper: upper === undefined ? today.upper : upper,
  }
  const same = limits.lower === today.lower && limits.upper === today.upper
  return { centred, buildsAlike, limits: same ? null : limits }
}

async function figuresUnder(
  basis: CapabilityBasis,
  supposition: Supposition,
  readers: ValuesReaders,
): Promise<SupposedFigures | null> {
  const figures = basis.shape?.byQuantiles ?? null
  if (figures === null) return supposeNormal(basis, supposition)
  const shape = await readers.shapeAgainst(limitsForValues(basis, supposition, figures))
  return shape === null ? null : supposeShaped(basis, supposition, shape)
}
