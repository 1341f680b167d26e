import type {
  CharacteristicPlace,
  CheckPartView,
  GaugeStudyView,
  GaugesView,
  MeasuredRow,
  ReadingView,
} from '../../server/contract/gauges.ts'
import type { AverageAndRange } from '../../src/gauges/average-and-range.ts'
import type { BiasStudy } from '../../src/gauges/bias.ts'
import type { DueState } from '../../src/gauges/due.ts'
import type { GaugeJudgement } from '../../src/gauges/gauge-judgement.ts'
import {
  COMPONENTS,
  type ComponentName,
  type GaugeStudy,
  type StudyFigure,
} from '../../src/gauges/study-model.ts'
import type { StudyPurpose } from '../../src/gauges/study-purpose.ts'
import { characteristicTitle, formatNumber } from '../../src/words/format.ts'
import { unitText } from '../../src/words/unit.ts'
import type { TableModel } from '../save/csv.ts'

export const COMPONENT_WORDS: Readonly<Record<ComponentName, string>> = {
  repeatability: 'repeated readings',
  inspector: 'inspectors',
  interaction: 'inspectors on some parts',
  reproducibility: 'all that inspectors add',
  gauge: 'gauge as a whole',
  part: 'parts themselves',
  total: 'all that is seen',
}

export const PURPOSE_WORDS: Readonly<Record<StudyPurpose, string>> = {
  spread: 'spread',
  'known parts': 'known parts',
  'check part': 'check part',
  'two gauges': 'two gauges',
}

export const DUE_WORDS: Readonly<Record<DueState, string>> = {
  overdue: 'overdue',
  'due soon': 'due soon',
  'in time': 'in time',
  'no date': 'no date set',
  'laid by': 'laid by',
}

/** "HB-204 C, 9 step". */
export function placeText({ partNumber, characteristic }: CharacteristicPlace): string {
  return `${partNumber.number} ${partNumber.revision}, ${characteristicTitle(characteristic)}`
}

/** "12.3 %", and what it is of; a dash where it is not known. */
export function shareText(judgement: GaugeJudgement | null): string {
  if (judgement === null) return '–'
  const { value, lower, upper } = judgement.share
  const to = upper === null ? 'no upper limit' : percentText(upper)
  return `${percentText(value)} (${percentText(lower)} to ${to})`
}

export function percentText(share: number): string {
  return `${formatNumber(100 * share, share < 0.1 ? 1 : 0)} %`
}

/** How finely something is measured, with how sure that is. */
export function verdictText(judgement: GaugeJudgement | null): string {
  if (judgement === null) return 'not studied'
  return judgement.sure ? judgement.verdict : `${judgement.verdict}, not settled`
}

export function componentsTable(
  { study }: { readonly study: GaugeStudy },
  unit: string,
  decimals: number,
): TableModel {
  const percent = { decimals: 1 }
  return {
    caption: `Components of the spread, ${unit}, ${Math.round(study.confidence * 100)} % intervals`,
    columns: [
      { heading: 'component', decimals: null },
      { heading: `standard deviation, ${unit}`, decimals },
      { heading: 'lower limit', decimals },
      { heading: 'upper limit', decimals },
      { heading: '% of the spread', ...percent },
      { heading: '% of the variance', ...percent },
      { heading: '% of the tolerance', ...percent },
      { heading: 'lower limit, %', ...percent },
      { heading: 'upper limit, %', ...percent },
    ],
    rows: COMPONENTS.flatMap((name) => {
      const component = study.components[name]
      if (component === null) return []
      const { sd, shareOfSpread, shareOfVariance, shareOfTolerance } = component
      const hundredfold = (value: number | null | undefined) =>
        value === null || value === undefined ? null : 100 * value
      return [
        [
          COMPONENT_WORDS[name],
          sd.value,
          sd.lower,
          sd.upper,
          hundredfold(shareOfSpread),
          hundredfold(shareOfVariance),
          hundredfold(shareOfTolerance?.value),
          hundredfold(shareOfTolerance?.lower),
          hundredfold(shareOfTolerance?.upper),
        ],
      ]
    }),
  }
}

export function analysisTable({ analysis, layout }: GaugeStudy): TableModel {
  return {
    caption:
      layout === 'nested'
        ? 'Analysis of variance, parts within inspectors'
        : 'Analysis of variance, the interaction kept',
    columns: [
      { heading: 'source', decimals: null },
      { heading: 'degrees of freedom', decimals: 0 },
      { heading: 'sum of squares', decimals: 7 },
      { heading: 'mean square', decimals: 8 },
      { heading: 'F', decimals: 2 },
      { heading: 'p', decimals: 4 },
    ],
    rows: analysis.map(({ source, df, sumOfSquares, meanSquare, f, p }) => [
      source === 'part'
        ? 'parts'
        : source === 'inspector'
          ? 'inspectors'
          : source === 'interaction'
            ? 'inspectors on some parts'
            : 'repeated readings',
      df,
      sumOfSquares,
      meanSquare,
      f,
      p,
    ]),
  }
}

export function rangesTable(
  found: AverageAndRange,
  toleranceWidth: number | null,
  unit: string,
  decimals: number,
): TableModel {
  const row = (name: string, sd: number | null) => [
    name,
    sd,
    sd === null || found.total === 0 ? null : (100 * sd) / found.total,
    sd === null || toleranceWidth === null ? null : (600 * sd) / toleranceWidth,
  ]
  return {
    caption: 'By average and range',
    columns: [
      { heading: 'component', decimals: null },
      { heading: `standard deviation, ${unit}`, decimals },
      { heading: '% of the spread', decimals: 1 },
      { heading: '% of the tolerance', decimals: 1 },
    ],
    rows: [
      row(COMPONENT_WORDS.repeatability, found.repeatability),
      row(COMPONENT_WORDS.reproducibility, found.reproducibility),
      row(COMPONENT_WORDS.gauge, found.gauge),
      row(COMPONENT_WORDS.part, found.part),
      row(COMPONENT_WORDS.total, found.total),
    ],
  }
}

export function readingsTable(readings: readonly ReadingView[], unit: string, decimals: number): TableModel {
  const known = readings.some(({ reference }) => reference !== null)
  const timed = readings.some(({ measuredAt }) => measuredAt !== null)
  return {
    caption: `Readings, ${unit}`,
    columns: [
      { heading: 'part', decimals: null },
      { heading: 'inspector', decimals: null },
      { heading: 'trial', decimals: 0 },
      { heading: 'gauge', decimals: null },
      ...(timed ? [{ heading: 'measured', decimals: null }] : []),
      ...(known ? [{ heading: `known value, ${unit}`, decimals }] : []),
      { heading: `reading, ${unit}`, decimals },
      { heading: 'import', decimals: 0 },
      { heading: 'line', decimals: 0 },
    ],
    rows: readings.map((reading) => [
      reading.part,
      reading.inspector,
      reading.trial,
      reading.gauge,
      ...(timed
        ? [
            reading.measuredAt === null
              ? null
              : new Date(reading.measuredAt * 1000).toISOString().slice(0, 16),
          ]
        : []),
      ...(known ? [reading.reference] : []),
      reading.value,
      reading.importId,
      reading.line,
    ]),
  }
}

export function biasTable({ parts, linearity }: BiasStudy, unit: string, decimals: number): TableModel {
  return {
    caption: `Bias at known values, ${unit}`,
    columns: [
      { heading: `known value, ${unit}`, decimals },
      { heading: 'readings', decimals: 0 },
      { heading: 'bias', decimals },
      { heading: 'lower limit', decimals },
      { heading: 'upper limit', decimals },
      { heading: 'by the line', decimals },
    ],
    rows: parts.map(({ reference, n, bias, estimate }) => [
      reference,
      n,
      bias,
      estimate?.lower ?? null,
      estimate?.upper ?? null,
      linearity?.line.find((each) => each.reference === reference)?.estimate.value ?? null,
    ]),
  }
}

export function pairsTable(
  { gauges, pairs }: NonNullable<GaugeStudyView['agreement']>,
  unit: string,
  decimals: number,
): TableModel {
  return {
    caption: `Both gauges part by part, ${unit}`,
    columns: [
      { heading: 'part', decimals: null },
      { heading: gauges[0], decimals },
      { heading: gauges[1], decimals },
      { heading: 'difference', decimals },
    ],
    rows: pairs.map(({ part, first, second }) => [part, first, second, first - second]),
  }
}

export function checkTable({ chart }: CheckPartView, unit: string, decimals: number): TableModel {
  return {
    caption: `Check part by day, ${unit}`,
    columns: [
      { heading: 'day', decimals: null },
      { heading: 'readings', decimals: 0 },
      { heading: 'mean', decimals },
      { heading: 'lower limit', decimals },
      { heading: 'upper limit', decimals },
    ],
    rows: chart.subgroups.map(({ label, n }, i) => [
      label,
      n,
      chart.location.values[i] ?? null,
      chart.location.lower[i] ?? null,
      chart.location.upper[i] ?? null,
    ]),
  }
}

export function measuredTable(rows: readonly MeasuredRow[]): TableModel {
  return {
    caption: 'How finely characteristics are measured',
    columns: [
      { heading: 'characteristic', decimals: null },
      { heading: 'gauge', decimals: null },
      { heading: 'verdict', decimals: null },
      { heading: 'share of', decimals: null },
      { heading: 'share, %', decimals: 1 },
      { heading: 'lower limit, %', decimals: 1 },
      { heading: 'upper limit, %', decimals: 1 },
      { heading: 'categories', decimals: 0 },
      { heading: 'expanded uncertainty (k = 2)', decimals: 5 },
      { heading: 'unit', decimals: null },
      { heading: 'study', decimals: 0 },
    ],
    rows: rows.map((row) => [
      placeText(row),
      row.gauge,
      verdictText(row.judgement),
      row.judgement?.of ?? null,
      percentOf(row.judgement?.share, 'value'),
      percentOf(row.judgement?.share, 'lower'),
      percentOf(row.judgement?.share, 'upper'),
      row.categories === null ? null : Math.floor(row.categories.value),
      row.uncertainty?.expanded ?? null,
      unitText(row.characteristic.unit),
      row.studyId,
    ]),
  }
}

function percentOf(share: StudyFigure | undefined, of: keyof StudyFigure): number | null {
  const value = share?.[of]
  return value === null || value === undefined ? null : 100 * value
}

export function gaugesTable({ gauges }: GaugesView): TableModel {
  return {
    caption: 'Gauges',
    columns: ['gauge', 'kind', 'due', 'state', 'measures'].map((heading) => ({ heading, decimals: null })),
    rows: gauges.map(({ name, kind, due, state, measures }) => [
      name,
      kind,
      due,
      state === null ? 'not registered' : DUE_WORDS[state],
      measures.map(placeText).join('; '),
    ]),
  }
}
