import { characteristicTitle, countOf, formatCount } from '../../src/words/format.ts'
import type { ReportChange, ReportCharacteristic, ReportContent } from '../contract/report.ts'
import { measuringChanges } from './compare-measuring.ts'
import { entriesText } from './report-text.ts'
import { same } from './same.ts'

/** What of a report is not what the data give now. */
export interface ReportChanges {
  /** Figures first; empty where all that the report states follows. */
  readonly figures: readonly ReportChange[]
  /** What it states of measuring alone, which a later study or certificate changes while the figures stay. */
  readonly measuring: readonly ReportChange[]
  /** In sentences: what became known of gauges, and what was decided, since. */
  readonly since: readonly string[]
}

/** Compares what a report states with what the data give now. */
export function reportChanges(then: ReportContent, now: ReportContent): ReportChanges {
  const changes: ReportChange[] = []
  const measuring: ReportChange[] = []
  const since: string[] = []
  const whole = (where: string, what: string, was: unknown, is: unknown) => {
    if (!same(was, is)) changes.push({ where, what, was: shown(was), is: shown(is) })
  }
  const byDesignator = new Map(now.characteristics.map((row) => [row.characteristic.designator, row]))
  for (const row of then.characteristics) {
    const other = byDesignator.get(row.characteristic.designator)
    byDesignator.delete(row.characteristic.designator)
    if (other === undefined) {
      changes.push({
        where: characteristicTitle(row.characteristic),
        what: 'characteristic',
        was: 'reported',
        is: null,
      })
    } else {
      changes.push(...characteristicChanges(row, other))
      const found = measuringChanges(row, other)
      measuring.push(...found.changes)
      since.push(...found.since)
    }
  }
  for (const row of byDesignator.values()) {
    changes.push({
      where: characteristicTitle(row.characteristic),
      what: 'characteristic',
      was: null,
      is: 'measured',
    })
  }
  whole('the report', 'span', spanText(then), spanText(now))
  const lists: [string, readonly unknown[], readonly unknown[], (each: never) => string][] = [
    [
      'left out',
      then.exclusions,
      now.exclusions,
      (each: ReportContent['exclusions'][number]) =>
        `${each.designator}, build ${each.build}${each.single === null ? '' : `, part ${each.single.serial}`}: ${each.reason} (${each.who})`,
    ],
    [
      'file taken in',
      then.sources.imports,
      now.sources.imports,
      (each: ReportContent['sources']['imports'][number]) =>
        `${each.fileName}, ${formatCount(each.values)} values, SHA-256 ${each.sha256}`,
    ],
    [
      'build',
      then.sources.builds,
      now.sources.builds,
      (each: ReportContent['sources']['builds'][number]) =>
        `${each.name}: ${each.parts} parts, powder ${each.powderLot ?? 'not recorded'}, loads ${each.furnaceLoads.map(({ name }) => name).join(', ')}`,
    ],
    [
      'finding',
      then.findings,
      now.findings,
      (each: ReportContent['findings'][number]) => `${each.number}, ${each.state}: ${each.cause}`,
    ],
  ]
  for (const [what, was, is, say] of lists)
    changes.push(...listChanges(what, was, is, say as (each: unknown) => string))
  if (changes.length === 0) {
    // Characteristics were compared one by one.
    for (const name of Object.keys(then) as (keyof ReportContent)[]) {
      if (
        name !== 'characteristics' &&
        name !== 'record' &&
        !WORDS.has(name) &&
        !same(then[name], now[name])
      ) {
        changes.push({ where: 'the report', what: name, was: 'as reported', is: 'otherwise' })
      }
    }
  }
  if (changes.length === 0) since.push(...reworded(then, now))
  else whole('the report', 'headline', then.headline, now.headline)
  since.push(...entriesSince(then, now))
  return { figures: changes, measuring, since }
}

/** Sentences made of what is compared; a later program may word them otherwise. */
const WORDS: ReadonlySet<keyof ReportContent> = new Set(['headline', 'grounds', 'methods', 'cautions'])

/** In a sentence, what would be worded otherwise now, where every figure is the same. */
function reworded(then: ReportContent, now: ReportContent): string[] {
  const others = new Map(now.characteristics.map((row) => [row.characteristic.designator, row]))
  const wordsOf = ({ chartHeadline, chartGrounds, signals }: ReportCharacteristic) => [
    chartHeadline,
    chartGrounds,
    ...signals.map(({ words }) => words),
  ]
  const charts = then.characteristics.filter((row) => {
    const other = others.get(row.characteristic.designator)
    return other !== undefined && !same(wordsOf(row), wordsOf(other))
  })
  const about = [
    ...[...WORDS].filter((name) => !same(then[name], now[name])),
    ...(charts.length === 0 ? [] : [`charts of ${countOf(charts.length, 'characteristic')}`]),
  ]
  return about.length === 0
    ? []
    : [`Every figure is the same; some sentences would be worded otherwise now: ${about.join(', ')}.`]
}

/** Entries of the record that a report made now would name and this one does not. */
function entriesSince(then: ReportContent, now: ReportContent): string[] {
  const named = ({ record, characteristics }: ReportContent) =>
    new Set([...record.data, ...characteristics.flatMap((row) => row.record)])
  const known = named(then)
  const added = [...named(now)].filter((sequence) => !known.has(sequence))
  return added.length === 0
    ? []
    : [`Added to the record since, about this part number: ${entriesText(added)}.`]
}

function spanText({ span }: ReportContent): string | null {
  return span === null
    ? null
    : `${span.first} to ${span.last}, ${span.builds} builds, ${span.parts} parts, ${span.values} values`
}

const SUMMARY = [
  ['n', 'values'],
  ['builds', 'builds'],
  ['mean', 'mean'],
  ['min', 'least value'],
  ['max', 'greatest value'],
  ['sigmaWithin', 'sigma within'],
  ['sigmaBetween', 'sigma between'],
  ['sigmaOverall', 'sigma overall'],
  ['cp', 'Cp'],
  ['cpk', 'Cpk'],
  ['pp', 'Pp'],
  ['ppk', 'Ppk'],
  ['verdict', 'verdict'],
  ['stable', 'in control'],
  ['movedAt', 'first signal at build'],
] as const

function characteristicChanges(then: ReportCharacteristic, now: ReportCharacteristic): ReportChange[] {
  const where = characteristicTitle(then.characteristic)
  const changes: ReportChange[] = []
  const note = (what: string, was: unknown, is: unknown) => {
    if (same(was, is)) return
    const [short, shortNow] = [shown(was), shown(is)]
    const whole = short === shortNow
    changes.push({ where, what, was: whole ? shown(was, 17) : short, is: whole ? shown(is, 17) : shortNow })
  }
  for (const name of ['name', 'nominal', 'lower', 'upper', 'unit', 'kind', 'axis'] as const) {
    note(`drawing: ${name}`, then.characteristic[name], now.characteristic[name])
  }
  for (const [name, what] of SUMMARY) note(what, then.summary[name], now.summary[name])
  note('values beyond the limits', then.outside, now.outside)
  const family = ({ summary }: ReportCharacteristic) => summary.shape?.fitted.family ?? null
  note('distribution', family(then), family(now))
  note('expected below', then.summary.outside.below, now.summary.outside.below)
  note('expected above', then.summary.outside.above, now.summary.outside.above)
  const told = ({ chart, signals }: ReportCharacteristic) => [
    chart.signals,
    signals.map(({ words: _, ...signal }) => signal),
  ]
  const isTold = same(told(then), told(now))
  changes.push(
    ...listChanges(
      'signal',
      isTold ? [] : then.signals,
      isTold ? [] : now.signals,
      (signal) =>
        `${signal.words}, builds ${signal.from} to ${signal.to}, ${signal.finding === null ? 'open' : `answered by finding ${signal.finding}`}`,
    ).map((change) => ({ ...change, where })),
  )
  if (changes.length === 0 && !same(then.chart, now.chart)) {
    changes.push({ where, what: 'control chart', was: then.chartHeadline, is: now.chartHeadline })
  }
  if (changes.length === 0 && !same(figuresOf(then), figuresOf(now))) {
    changes.push({ where, what: 'details of the figures', was: 'as reported', is: 'otherwise' })
  }
  return changes
}

/** Without what is compared apart, and without sentences made of the rest. */
function figuresOf({
  gauge: _,
  record: __,
  chartHeadline: ___,
  chartGrounds: ____,
  signals,
  ...rest
}: ReportCharacteristic) {
  return { ...rest, signals: signals.map(({ words: _____, ...signal }) => signal) }
}

function listChanges<T>(
  what: string,
  then: readonly T[],
  now: readonly T[],
  say: (each: T) => string,
): ReportChange[] {
  const was = new Set(then.map(say))
  const is = new Set(now.map(say))
  return [
    ...[...was].filter((text) => !is.has(text)).map((text) => ({ where: what, what, was: text, is: null })),
    ...[...is].filter((text) => !was.has(text)).map((text) => ({ where: what, what, was: null, is: text })),
  ]
}

/** @param digits significant ones of a figure that is no whole number */
function shown(value: unknown, digits = 6): string | null {
  if (value === null || value === undefined) return null
  if (typeof value === 'boolean') return value ? 'yes' : 'no'
  if (typeof value === 'object' && 'value' in value && 'lower' in value && 'upper' in value) {
    return `${shown(value.value, digits)} (${shown(value.lower, digits)} to ${shown(value.upper, digits)})`
  }
  if (typeof value === 'object' && 'below' in value && 'above' in value) {
    return `${value.below} below, ${value.above} above`
  }
  if (typeof value === 'number' && !Number.isInteger(value)) {
    return String(Number(value.toPrecision(digits))).replaceAll('-', '−')
  }
  return String(value)
}
