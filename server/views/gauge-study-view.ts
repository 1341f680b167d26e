import { includedCells } from '../../src/charts/exclusions.ts'
import { type Moments, mergeMoments, momentsOf, standardDeviation } from '../../src/description/moments.ts'
import type { StatedCharacteristic } from '../../src/domain/characteristic.ts'
import { agreementWords } from '../../src/gauges/agreement-words.ts'
import { averageAndRange } from '../../src/gauges/average-and-range.ts'
import { biasStudy } from '../../src/gauges/bias.ts'
import { biasWords } from '../../src/gauges/bias-words.ts'
import { checkPartChart, movedAt } from '../../src/gauges/check-part.ts'
import { checkPartWords } from '../../src/gauges/check-part-words.ts'
import { gaugeJudgement } from '../../src/gauges/gauge-judgement.ts'
import { unitFactor } from '../../src/gauges/gauge-uncertainty.ts'
import { gaugeWords } from '../../src/gauges/gauge-words.ts'
import { methodAgreement } from '../../src/gauges/method-agreement.ts'
import type { Misjudged } from '../../src/gauges/misjudged.ts'
import { misjudgedByGauge } from '../../src/gauges/misjudged-by-gauge.ts'
import { stepSize } from '../../src/gauges/resolution.ts'
import { standOuts } from '../../src/gauges/stand-out.ts'
import type { GaugeStudy } from '../../src/gauges/study-model.ts'
import { occasionsOf } from '../../src/gauges/study-purpose.ts'
import type { Sentence } from '../../src/words/sentence.ts'
import type { CheckPartView, GaugeStudyView, ReadingView, SpreadView, StudyRow } from '../contract/gauges.ts'
import { AS_IT_SUITS, analysed, CONFIDENCE, type SpreadQuestion } from '../store/gauge-analysis.ts'
import { gaugeResults } from '../store/gauge-results.ts'
import type { CharacteristicOnDrawing } from '../store/gauge-studies.ts'
import {
  checkPartSeries,
  type GaugeStudyOnRecord,
  type GaugesOnRecord,
  gaugesOnRecord,
  latestEntry,
} from '../store/gauges-on-record.ts'
import { kept } from '../store/kept.ts'
import type { Store } from '../store/store.ts'
import { studiesOf } from '../store/studies-on-record.ts'

/** Share of differences between agreement limits. */
const CONTENT = 0.95
/** Probability up to which a part or an inspector stands out. */
const STAND_OUT = 0.05

const CAUTION =
  'It supports, and does not replace, the judgement of whoever is responsible for release; the drawing and the customer’s requirements govern.'

/** What words speak of where a study names no characteristic; its values were taken as millimetres. */
const UNNAMED: StatedCharacteristic = {
  id: 0,
  designator: 'these parts',
  name: '',
  kind: 'other',
  nominal: null,
  lower: null,
  upper: null,
  unit: 'mm',
  axis: null,
}

export function characteristicOf({ on }: GaugeStudyOnRecord): StatedCharacteristic {
  return on?.characteristic ?? UNNAMED
}

/** One line of the list of studies: what came of it. */
export async function studyRow(store: Store, study: GaugeStudyOnRecord): Promise<StudyRow> {
  const { headline } = await findings(store, study, AS_IT_SUITS)
  const { id, importId, fileName, who, at } = study.record
  return {
    id,
    importId,
    fileName,
    who,
    at,
    purpose: study.purpose,
    gauges: study.gauges,
    on: study.on,
    readings: study.readings.length,
    headline,
  }
}

/** All that is said of one study. Null where there is none of this number, or it was withdrawn. */
export async function gaugeStudyView(
  store: Store,
  id: number,
  question: SpreadQuestion,
): Promise<GaugeStudyView | null> {
  const record = await gaugesOnRecord(store)
  const study = record.studies.find((each) => each.record.id === id)
  if (study === undefined) return null
  const { readings: _, ...row } = await studyRow(store, study)
  const found = await findings(store, study, question)
  const plan = record.plans.find((each) => each.id === study.record.planId) ?? null
  return {
    ...row,
    ...found,
    caution: CAUTION,
    characteristic: characteristicOf(study),
    plan: study.record.planId,
    readings: readingsOf(study),
    missing:
      plan === null
        ? 0
        : Math.max(0, plan.parts.length * plan.inspectors.length * plan.trials - study.readings.length),
  }
}

type Findings = Pick<GaugeStudyView, 'headline' | 'grounds' | 'spread' | 'bias' | 'agreement' | 'check'>

const NOTHING = { spread: null, bias: null, agreement: null, check: null }

function findings(store: Store, study: GaugeStudyOnRecord, question: SpreadQuestion): Promise<Findings> {
  const key = `gauge study ${study.record.id} ${question.method} ${question.interaction} ${question.layout}`
  return kept(store, key, () => computeFindings(store, study, question))
}

async function computeFindings(
  store: Store,
  study: GaugeStudyOnRecord,
  question: SpreadQuestion,
): Promise<Findings> {
  const characteristic = characteristicOf(study)
  switch (study.purpose) {
    case 'spread': {
      const record = await gaugesOnRecord(store)
      const spread = await spreadView(store, record, study, question)
      return { ...NOTHING, ...gaugeWords(characteristic, spread.study, spread.standOuts), spread }
    }
    case 'known parts': {
      const bias = biasStudy(
        study.readings.map(({ reference, value }) => ({ reference: reference as number, value })),
        CONFIDENCE,
      )
      return { ...NOTHING, ...biasWords(characteristic, bias), bias }
    }
    case 'two gauges': {
      const gauges = study.gauges as readonly [string, string]
      const pairs = pairsOf(study, gauges)
      const result = methodAgreement(pairs, CONTENT, CONFIDENCE)
      return {
        ...NOTHING,
        ...agreementWords(characteristic, gauges, result, CONTENT, CONFIDENCE),
        agreement: { gauges, pairs, result, content: CONTENT, confidence: CONFIDENCE },
      }
    }
    case 'check part': {
      const check = checkPartView(await seriesUpTo(store, study))
      return { ...NOTHING, headline: check.headline, grounds: check.grounds, check }
    }
  }
}

async function spreadView(
  store: Store,
  record: GaugesOnRecord,
  of: GaugeStudyOnRecord,
  question: SpreadQuestion,
): Promise<SpreadView> {
  const characteristic = characteristicOf(of)
  const { lower, upper } = characteristic
  const study = await analysed(store, of, question)
  const gauge = record.gauges.find(({ name }) => name === of.gauges[0])
  const entry = gauge === undefined ? null : latestEntry(gauge)
  const factor = entry === null ? null : unitFactor(entry.unit, characteristic.unit)
  const resolution =
    entry === null || entry.resolution === null || factor === null ? null : entry.resolution * factor
  const total = study.components.total?.sd.value ?? 0
  const width = lower === null || upper === null || upper === lower ? null : upper - lower
  const results = await gaugeResults(store)
  const result = of.on === null ? null : results.by(of.on.characteristic.id, of.gauges[0] ?? null)
  return {
    study,
    judgement: gaugeJudgement(study),
    standOuts: standOuts(of.readings, STAND_OUT),
    averageAndRange: averageAndRange(of.readings),
    resolution,
    step: resolution === null ? null : stepSize(resolution, total > 0 ? total : null, width),
    misjudged: of.on === null ? null : await misjudgedBy(store, of.on, study, result?.bias ?? null),
    uncertainty: result?.uncertainty ?? null,
  }
}

/**
 * What share of parts like the sintered ones on record, but for builds left out, the gauge misjudges, the gauge's
 * spread taken out of theirs. Null without limits or values, or where the gauge alone explains what was seen.
 */
async function misjudgedBy(
  store: Store,
  { characteristic, partNumber }: CharacteristicOnDrawing,
  study: GaugeStudy,
  bias: number | null,
): Promise<Misjudged | null> {
  const { id, lower, upper } = characteristic
  const gaugeSd = study.components.gauge?.sd.value ?? 0
  const [all, builds] = await Promise.all([
    store.cellsOf(id, 'sintered'),
    store.builds(partNumber.id, 'sintered'),
  ])
  const studies = await studiesOf(store, partNumber.id, 'sintered', builds)
  const cells = includedCells(all, studies.of(id).study.exclusions)
  const [first, ...others] = cells
  if (first === undefined) return null
  const moments = others.reduce<Moments>(mergeMoments, first)
  const seen = standardDeviation(moments)
  return seen === null
    ? null
    : misjudgedByGauge({ lower, upper }, { mean: moments.mean, sd: seen }, gaugeSd, bias)
}

/** The mean of each part on either gauge, for parts that both measured. */
function pairsOf(study: GaugeStudyOnRecord, gauges: readonly [string, string]) {
  const meanOf = (part: string, gauge: string) => {
    const own = study.readings.filter((each) => each.part === part && each.gauge === gauge)
    return own.length === 0 ? null : momentsOf(own.map(({ value }) => value)).mean
  }
  const parts = [...new Set(study.readings.map(({ part }) => part))]
  return parts.flatMap((part) => {
    const [first, second] = [meanOf(part, gauges[0]), meanOf(part, gauges[1])]
    return first === null || second === null ? [] : [{ part, first, second }]
  })
}

/**
 * The files of its check part up to and with this one: a day is judged by the days before it, whichever file they came
 * in.
 */
async function seriesUpTo(store: Store, study: GaugeStudyOnRecord): Promise<readonly GaugeStudyOnRecord[]> {
  const { studies } = await gaugesOnRecord(store)
  const series = checkPartSeries(studies).find((each) =>
    each.some(({ record }) => record.id === study.record.id),
  )
  return (series ?? [study]).filter(({ record }) => record.id <= study.record.id)
}

/** The chart of a check part from the files that hold it, one point a day. */
export function checkPartView(studies: readonly GaugeStudyOnRecord[]): CheckPartView {
  const [first] = studies as readonly [GaugeStudyOnRecord]
  const part = first.readings[0]?.part ?? ''
  const readings = studies.flatMap(readingsOf)
  const occasions = occasionsOf(readings)
  const chart = checkPartChart(
    occasions.map(({ day, readings: own }) => ({ label: day, values: own.map(({ value }) => value) })),
  )
  const words: { headline: Sentence; grounds: Sentence } = checkPartWords(part, chart)
  return {
    part,
    on: first.on,
    ...words,
    moved: movedAt(chart),
    chart,
    readings: occasions.flatMap(({ readings: own }) => own),
  }
}

function readingsOf({ record, readings }: GaugeStudyOnRecord): ReadingView[] {
  return readings.map((reading) => ({ importId: record.importId, ...reading }))
}
