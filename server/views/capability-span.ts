import {
  type AppliedRequirement,
  askedInstead,
  DEFAULT_REQUIREMENTS,
  type IndexRequirement,
  requirementOf,
} from '../../src/capability/requirement.ts'
import type { Shape } from '../../src/capability/shape.ts'
import { type CapabilityBasis, summariseCapability } from '../../src/capability/summarise.ts'
import type { CapabilitySummary, OwnTolerance } from '../../src/capability/summary.ts'
import { buildChart } from '../../src/charts/chart.ts'
import { includedCells, leftOutBuilds } from '../../src/charts/exclusions.ts'
import type { ChartModel } from '../../src/charts/model.ts'
import type { Study } from '../../src/charts/study.ts'
import { subgroupsByBuild } from '../../src/charts/subgroups.ts'
import type { Stage } from '../../src/domain/cell.ts'
import type { Characteristic } from '../../src/domain/characteristic.ts'
import type { PartNumber, TimelineBuild } from '../contract/views.ts'
import type { Store } from '../store/store.ts'
import { studiesOf } from '../store/studies-on-record.ts'
import { cellsByCharacteristic } from './drift-view.ts'

/** What is asked for on the capability page. */
export interface CapabilityQuestion {
  readonly stage: Stage
  /**
   * The least Ppk of all, in the place of what the customer asks of each; null or undefined for what the customer asks.
   */
  readonly required?: number | null | undefined
  /** As a fraction, likewise. */
  readonly confidence?: number | null | undefined
  /** Only the last so many builds; undefined for all. */
  readonly last?: number | undefined
}

/** One characteristic that is measured in a span, to be judged once the distribution of its values is known. */
export interface MeasuredCharacteristic {
  readonly characteristic: Characteristic
  readonly study: Study
  readonly requirement: AppliedRequirement
  /** Over the whole timeline given: a span does not choose its own baseline. */
  readonly chart: ChartModel
  /** Builds of the span that count. */
  readonly counting: ReadonlySet<number>
  /** What it is judged on. */
  basis(shape: Shape | null): CapabilityBasis
  judge(shape: Shape | null): CapabilitySummary
}

/** What the characteristics of a part number can hold over a span of builds. */
export interface OpenedSpan {
  readonly span: readonly TimelineBuild[]
  /** Measured parts of the builds of the span. */
  readonly parts: number
  /** Of characteristics without a class. */
  readonly fallback: IndexRequirement
  /** Those measured in the span. */
  readonly measured: readonly Characteristic[]
  /** Those of them that were wanted. */
  readonly rows: readonly MeasuredCharacteristic[]
}

/** As `openSpan`, over the span that the question names. */
export async function openLast(
  store: Store,
  partNumber: PartNumber,
  question: CapabilityQuestion,
  only: number | null = null,
): Promise<OpenedSpan> {
  const { stage, last } = question
  const builds = await store.builds(partNumber.id, stage)
  const from = last === undefined ? 0 : Math.max(0, builds.length - last)
  return openSpan(store, partNumber, question, builds, from, only)
}

/**
 * Every characteristic from one build of a timeline to its end, ready to be judged.
 *
 * @param timeline builds of the stage from the first on record; what comes after it is not looked at
 * @param from place of the first build of the span
 * @param only identity of the one characteristic wanted; null for all
 */
export async function openSpan(
  store: Store,
  partNumber: PartNumber,
  { stage, required, confidence }: Omit<CapabilityQuestion, 'last'>,
  timeline: readonly TimelineBuild[],
  from: number,
  only: number | null = null,
): Promise<OpenedSpan> {
  const [characteristics, cells, parts, studies, decided] = await Promise.all([
    store.characteristics(partNumber.id),
    store.cells(partNumber.id, stage),
    store.partsByBuild(partNumber.id, stage),
    studiesOf(store, partNumber.id, stage, timeline),
    store.customerRequirements(partNumber.id),
  ])
  const requirements = askedInstead(decided.at(-1) ?? DEFAULT_REQUIREMENTS, {
    required: required ?? null,
    confidence: confidence ?? null,
  })
  const grouped = cellsByCharacteristic(cells)
  const span = timeline.slice(from)
  const measured: Characteristic[] = []
  const rows: MeasuredCharacteristic[] = []
  for (const characteristic of characteristics) {
    const own = grouped.get(characteristic.id) ?? []
    const { study } = studies.of(characteristic.id)
    const groups = subgroupsByBuild(includedCells(own, study.exclusions), span)
    if (groups.length === 0) continue
    measured.push(characteristic)
    if (only !== null && characteristic.id !== only) continue
    const chart = buildChart(study, own, timeline)
    const leftOut = leftOutBuilds(study.exclusions)
    const requirement = requirementOf(requirements, characteristic.id)
    const counting = new Set(span.flatMap(({ id }) => (leftOut.has(id) ? [] : [id])))
    const ownTolerance = await ownToleranceOf(store, characteristic, stage, counting)
    const basis = (shape: Shape | null): CapabilityBasis => ({
      characteristic,
      groups,
      chart,
      study,
      requirement,
      shape,
      ownTolerance,
    })
    rows.push({
      characteristic,
      study,
      chart,
      requirement,
      counting,
      basis,
      judge: (shape) => summariseCapability(basis(shape)) as CapabilitySummary,
    })
  }
  return {
    span,
    fallback: requirements.fallback,
    parts: span.reduce((sum, build) => sum + (parts.get(build.id) ?? 0), 0),
    measured,
    rows,
  }
}

/** How wide the parts' own tolerances are; null where the limits of the drawing hold for all. */
async function ownToleranceOf(
  store: Store,
  { id, ownLimits }: Characteristic,
  stage: Stage,
  builds: ReadonlySet<number>,
): Promise<OwnTolerance | null> {
  const within = ownLimits === undefined ? null : await store.ownLimitsWithin(id, stage, builds)
  return within && { least: within.least, greatest: within.greatest }
}
