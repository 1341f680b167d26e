import type { Build, ScaleFactors } from '../../src/domain/build.ts'
import type { Cell } from '../../src/domain/cell.ts'
import type { Characteristic } from '../../src/domain/characteristic.ts'
import { fitShrinkage, type ShrinkageFit } from '../../src/shrinkage/fit.ts'
import { type ProcessState, processState } from '../../src/shrinkage/state.ts'
import { type SizeTerms, termsOf } from '../../src/shrinkage/terms.ts'
import type { PartNumber, TimelineBuild } from '../contract/views.ts'
import type { FactorDecision } from '../store/factor-decisions.ts'
import { kept } from '../store/kept.ts'
import type { Store } from '../store/store.ts'

/** The most builds not yet measured that are shown. */
const MOST_AWAITED = 50

/** What is known of the shrinkage of a part number, behind everything that its page says. */
export interface ShrinkageOnRecord {
  readonly partNumber: PartNumber
  readonly characteristics: readonly Characteristic[]
  readonly terms: readonly SizeTerms[]
  /** Builds with sintered parts. */
  readonly builds: readonly TimelineBuild[]
  /** Sintered cells of what follows shrinkage, those left out taken away. */
  readonly sintered: readonly Cell[]
  readonly fit: ShrinkageFit
  readonly state: ProcessState
  /** Builds printed after the last measured one. */
  readonly awaited: readonly Build[]
  readonly decisions: readonly FactorDecision[]
  readonly present: {
    readonly factors: ScaleFactors
    readonly source: { readonly build: string } | { readonly decision: number } | null
  }
}

export function shrinkageOnRecord(store: Store, partNumber: PartNumber): Promise<ShrinkageOnRecord> {
  return kept(store, `shrinkage of ${partNumber.id}`, () => compute(store, partNumber))
}

async function compute(store: Store, partNumber: PartNumber): Promise<ShrinkageOnRecord> {
  const [characteristics, builds, sinteredCells, greenCells, decisions, exclusions] = await Promise.all([
    store.characteristics(partNumber.id),
    store.builds(partNumber.id, 'sintered'),
    store.cells(partNumber.id, 'sintered'),
    store.cells(partNumber.id, 'green'),
    store.factorDecisions(partNumber.id),
    store.exclusions(partNumber.id, 'sintered'),
  ])
  const last = builds.at(-1)
  const awaited = last === undefined ? [] : await store.buildsAwaited(partNumber.id, last, MOST_AWAITED)
  const terms = characteristics.flatMap((characteristic) => termsOf(characteristic, partNumber.id) ?? [])
  const followed = new Set(terms.map((term) => term.characteristic.id))
  // Single values that are left out are not in their cells; builds that are left out as a whole are.
  const leftOut = new Set(
    exclusions
      .filter(({ undone, single }) => undone === null && single === null)
      .map(({ characteristicId, buildId }) => `${characteristicId} ${buildId}`),
  )
  const counts = (cell: Cell) =>
    followed.has(cell.characteristicId) && !leftOut.has(`${cell.characteristicId} ${cell.buildId}`)
  const sintered = sinteredCells.filter(counts)
  const fit = fitShrinkage({ terms, cells: [...sintered, ...greenCells.filter(counts)], builds })
  return {
    partNumber,
    characteristics,
    terms,
    builds,
    sintered,
    fit,
    state: processState(fit),
    awaited,
    decisions,
    present: presentFactors(builds, awaited, decisions),
  }
}

/** What the next build would be printed with: as last decided, once that is not printed yet, or as the last build. */
function presentFactors(
  builds: readonly TimelineBuild[],
  awaited: readonly Build[],
  decisions: readonly FactorDecision[],
): ShrinkageOnRecord['present'] {
  const decided = decisions.at(-1)
  const printed = [...builds, ...awaited]
  if (decided !== undefined && printed.every((build) => build.name !== decided.firstBuild))
    return { factors: decided.factors, source: { decision: decided.id } }
  const last = printed.at(-1)
  if (last === undefined) return { factors: { x: null, y: null, z: null }, source: null }
  return { factors: last.scale, source: { build: last.name } }
}
