import type { Build, ScaleFactors } from '../../src/domain/build.ts'
import type { Cell } from '../../src/domain/cell.ts'
import type { Characteristic } from '../../src/domain/characteristic.ts'
import { fitShrinkage, type ShrinkageFit } from '../../src/shrinkage/fit.ts'
import { type ProcessState, processState } from '../../src/shrinkage/state.ts'
import { type SizeTerms, type ToldTerms, termsOf } from '../../src/shrinkage/terms.ts'
import type { PartNumber, TimelineBuild } from '../contract/views.ts'
import type { FactorDecision } from '../store/factor-decisions.ts'
import { kept } from '../store/kept.ts'
import {
  DEFAULT_SETTINGS,
  type ShrinkageSettings,
  type ShrinkageSettingsVersion,
} from '../store/shrinkage-settings.ts'
import type { Store } from '../store/store.ts'

/** The most builds not yet measured that are shown. */
export const MOST_AWAITED = 50

/** What is known of the shrinkage of a part number, behind everything that its page says. */
export interface ShrinkageOnRecord {
  readonly partNumber: PartNumber
  readonly characteristics: readonly Characteristic[]
  readonly terms: readonly SizeTerms[]
  /** Builds with sintered parts. */
  readonly builds: readonly TimelineBuild[]
  /** Sintered and green cells, those left out taken away. */
  readonly cells: readonly Cell[]
  /** The sintered ones of what follows shrinkage. */
  readonly sintered: readonly Cell[]
  readonly settings: ShrinkageSettings
  /** Oldest first; without any, the settings are the program's own. */
  readonly settingsVersions: readonly ShrinkageSettingsVersion[]
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
  const [characteristics, builds, sinteredCells, greenCells, decisions, exclusions, settingsVersions] =
    await Promise.all([
      store.characteristics(partNumber.id),
      store.builds(partNumber.id, 'sintered'),
      store.cells(partNumber.id, 'sintered'),
      store.cells(partNumber.id, 'green'),
      store.factorDecisions(partNumber.id),
      store.exclusions(partNumber.id, 'sintered'),
      store.shrinkageSettings(partNumber.id),
    ])
  const last = builds.at(-1)
  const awaited = last === undefined ? [] : await store.buildsAwaited(partNumber.id, last, MOST_AWAITED)
  // Single values that are left out are not in their cells; builds that are left out as a whole are.
  const leftOut = new Set(
    exclusions
      .filter(({ undone, single }) => undone === null && single === null)
      .map(({ characteristicId, buildId }) => `${characteristicId} ${buildId}`),
  )
  const cells = [...sinteredCells, ...greenCells].filter(
    (cell) => !leftOut.has(`${cell.characteristicId} ${cell.buildId}`),
  )
  const settings = settingsVersions.at(-1) ?? DEFAULT_SETTINGS
  return {
    ...fitted({ partNumber, characteristics, builds, cells }, settings),
    partNumber,
    characteristics,
    builds,
    cells,
    settingsVersions,
    awaited,
    decisions,
    present: presentFactors(builds, awaited, decisions),
  }
}

type Measured = Pick<ShrinkageOnRecord, 'partNumber' | 'characteristics' | 'builds' | 'cells'>
type Fitted = Pick<ShrinkageOnRecord, 'settings' | 'terms' | 'sintered' | 'fit' | 'state'>

function fitted(
  { partNumber, characteristics, builds, cells }: Measured,
  settings: ShrinkageSettings,
): Fitted {
  const told = new Map(settings.told.map(({ characteristicId, ...own }) => [characteristicId, own]))
  const terms = characteristics.flatMap((characteristic) => {
    const { along = null, sense = null, counts = true } = told.get(characteristic.id) ?? {}
    const known: ToldTerms = {
      counts,
      ...(along === null ? {} : { along }),
      ...(sense === null ? {} : { sense }),
    }
    return termsOf(characteristic, partNumber.id, known) ?? []
  })
  const followed = new Set(terms.map((term) => term.characteristic.id))
  const fit = fitShrinkage({ terms, cells, builds })
  return {
    settings,
    terms,
    sintered: cells.filter(
      ({ stage, characteristicId }) => stage === 'sintered' && followed.has(characteristicId),
    ),
    fit,
    state: processState(fit, settings.adjustment.newestWeight),
  }
}

/** What the record would come to under other settings; the fit is made anew only where sizes are told otherwise. */
export function underSettings(record: ShrinkageOnRecord, settings: ShrinkageSettings): ShrinkageOnRecord {
  if (JSON.stringify(settings.told) !== JSON.stringify(record.settings.told))
    return { ...record, ...fitted(record, settings) }
  return { ...record, settings, state: processState(record.fit, settings.adjustment.newestWeight) }
}

/** What the next build would be printed with: as last decided, once that is not printed yet, or as the last build. */
function presentFactors(
  builds: readonly TimelineBuild[],
  awaited: readonly Build[],
  decisions: readonly FactorDecision[],
): ShrinkageOnRecord['present'] {
  const decided = decisions.findLast(({ takenBack }) => takenBack === null)
  const printed = [...builds, ...awaited]
  if (decided !== undefined && printed.every((build) => build.name !== decided.firstBuild))
    return { factors: decided.factors, source: { decision: decided.id } }
  const last = printed.at(-1)
  if (last === undefined) return { factors: { x: null, y: null, z: null }, source: null }
  return { factors: last.scale, source: { build: last.name } }
}
