import type {
  AxisShrinkageView,
  ReplayView,
  SeriesChartView,
  SharesView,
  ShrinkageView,
} from '../../server/contract/shrinkage.ts'
import type { Axis } from '../../src/domain/characteristic.ts'
import { shareVerdict } from '../../src/figures/shares-chart.tsx'
import type { PlaceName } from '../../src/shrinkage/place-effects.ts'
import type { Along, SizeTerms } from '../../src/shrinkage/terms.ts'
import { characteristicTitle, formatNumber } from '../../src/words/format.ts'
import { signalWords } from '../../src/words/signal.ts'
import type { TableModel } from '../save/csv.ts'
import { unitText } from './quantities.ts'
import { figures, words } from './table-columns.ts'

/** A charted quantity of shrinkage by build. */
export function seriesTable(
  caption: string,
  { chart, standardErrors }: SeriesChartView,
  unit: string,
): TableModel {
  const { location } = chart
  return {
    caption,
    columns: [
      words('build'),
      figures(unit, 4),
      figures('standard error', 4),
      figures('lower limit', 4),
      figures('centre', 4),
      figures('upper limit', 4),
      words('signals'),
    ],
    rows: chart.subgroups.map(({ label }, i) => [
      label,
      location.values[i] ?? null,
      standardErrors[i] ?? null,
      location.lower[i] ?? null,
      location.centre[i] ?? null,
      location.upper[i] ?? null,
      chart.signals
        .filter((signal) => signal.points.includes(i))
        .map(signalWords)
        .join('; '),
    ]),
  }
}

/** Shrinkage and offset by furnace load, with their intervals. */
export function loadsTable({ loads }: ShrinkageView, axis: Axis): TableModel {
  return {
    caption: `Shrinkage and offset along ${axis} by furnace load`,
    columns: [
      words('furnace load'),
      figures('shrinkage, %', 4),
      figures('from', 4),
      figures('to', 4),
      figures('offset, mm', 4),
      figures('from', 4),
      figures('to', 4),
    ],
    rows: loads.flatMap(({ name, axes }) => {
      const own = axes[axis]
      if (own === null) return []
      const { shrinkage, offset } = own
      return [
        [
          name,
          ...[shrinkage.value, shrinkage.lower, shrinkage.upper].map((value) => 100 * value),
          offset?.value ?? null,
          offset?.lower ?? null,
          offset?.upper ?? null,
        ],
      ]
    }),
  }
}

export function conditionsTable(
  { builds }: ShrinkageView,
  [from, to]: readonly [number, number],
): TableModel {
  return {
    caption: 'What the process was run with',
    columns: [
      words('build'),
      words('powder lot'),
      figures('powder reuse', 0),
      words('printer'),
      words('build box'),
      words('furnace'),
      figures('factor X', 4),
      figures('factor Y', 4),
      figures('factor Z', 4),
    ],
    rows: builds
      .slice(from, to + 1)
      .map(({ name, powderLot, powderReuse, printer, buildBox, furnaces, scale }) => [
        name,
        powderLot,
        powderReuse,
        printer,
        buildBox,
        furnaces.join(', '),
        scale.x,
        scale.y,
        scale.z,
      ]),
  }
}

/** The rules of the replay, in the order in which they are drawn. */
export const REPLAY_RULES = [
  ['asPrinted', 'as printed'],
  ['advised', 'as advised'],
  ['everyBuild', 'corrected on every build'],
] as const

export function replayTable(
  view: ShrinkageView,
  { axis }: AxisShrinkageView,
  replay: ReplayView,
): TableModel {
  return {
    caption: `Deviation from nominal along ${axis} under three rules for the scale factor, per cent`,
    columns: [
      words('build'),
      ...REPLAY_RULES.flatMap(([, name]) => [
        figures(`${name}: factor`, 4),
        figures(`${name}: deviation`, 4),
      ]),
    ],
    rows: replay.positions.map((position, i) => [
      view.builds[position]?.name ?? '',
      ...REPLAY_RULES.flatMap(([rule]) => [
        replay[rule].factors[i] ?? null,
        replay[rule].deviations[i] ?? null,
      ]),
    ]),
  }
}

export function sharesTable({ axes }: SharesView): TableModel {
  return {
    caption: 'Share of the variance of shrinkage that goes with each condition',
    columns: [
      words('axis'),
      words('condition'),
      words('compares'),
      figures('share of all variance, %', 1),
      figures('share of its own level, %', 1),
      figures('F', 2),
      figures('degrees of freedom', 0),
      figures('rest', 0),
      figures('p', 4),
      words('verdict'),
    ],
    rows: axes.flatMap(({ axis, shares }) =>
      shares.map((share) => [
        axis,
        share.factor,
        share.level,
        100 * share.ofAll,
        100 * share.share,
        share.f,
        share.df[0],
        share.df[1],
        share.p,
        shareVerdict(share),
      ]),
    ),
  }
}

/** Shrinkage of builds against what they were run with. */
export function conditionSplitTable({ axis, splits }: SharesView['axes'][number]): TableModel {
  return {
    caption: `Shrinkage along ${axis} by what builds were run with, beside the mean of the groups`,
    columns: [
      words('by'),
      words('group'),
      figures('builds', 0),
      figures('difference, %', 4),
      figures('from', 4),
      figures('to', 4),
    ],
    rows: splits.flatMap(({ by, groups }) =>
      groups.map(({ name, n, value, lower, upper }) => [by, name, n, value, lower, upper]),
    ),
  }
}

/** Lasting effects of places along one axis, with where the variance comes from. */
export function placesTable({ axis, places, sources }: SharesView['axes'][number]): TableModel {
  const share = (kind: string) => sources.find(({ source }) => source === kind)?.share ?? null
  return {
    caption: `Lasting effects of places on size along ${axis}`,
    columns: [
      words('kind'),
      words('place'),
      figures('parts', 0),
      figures('effect, %', 4),
      figures('standard error', 4),
      figures('share of variance of its kind, %', 1),
    ],
    rows: (places?.components ?? []).flatMap(({ kind, effects }) =>
      effects.map(({ place, parts, value, standardError }) => [
        kind,
        placeText(place),
        parts,
        100 * value,
        100 * standardError,
        share(kind) === null ? null : 100 * (share(kind) as number),
      ]),
    ),
  }
}

function placeText(place: PlaceName): string {
  const span = ([low, high]: readonly [number, number]) =>
    `${formatNumber(low, 0)} to ${formatNumber(high, 0)} mm`
  if ('tray' in place) return place.tray.trim()
  return 'z' in place ? `z ${span(place.z)}` : `x ${span(place.x)}, y ${span(place.y)}`
}

export function greenTable({ green }: ShrinkageView): TableModel {
  return {
    caption: 'Limits for the green part',
    columns: [
      words('characteristic'),
      words('unit'),
      figures('aim', 3),
      figures('lower', 3),
      figures('upper', 3),
      figures('lower, guarded', 3),
      figures('upper, guarded', 3),
    ],
    rows: green.map(({ characteristic, aim, lower, upper, guardedLower, guardedUpper }) => [
      characteristicTitle(characteristic),
      unitText(characteristic.unit),
      aim,
      lower,
      upper,
      guardedLower,
      guardedUpper,
    ]),
  }
}

/** How bleed acts on a size. */
export const SENSE_WORDS = {
  '1': 'outer size, enlarged by bleed',
  '0': 'between middles',
  '-1': 'inner size, narrowed by bleed',
} as const

/** What a size follows. */
export const ALONG_WORDS = {
  X: 'X',
  Y: 'Y',
  Z: 'Z',
  XY: 'mean of X and Y',
  none: 'none: does not follow shrinkage',
} as const satisfies Readonly<Record<Along, string>>

export function termsTable(terms: readonly SizeTerms[]): TableModel {
  return {
    caption: 'How each characteristic is taken to follow from shrinkage',
    columns: [
      words('characteristic'),
      words('along'),
      words('taken as'),
      words('known from'),
      words('in the fit'),
    ],
    rows: terms.map(({ characteristic, weights, sense, senseTold, counts }) => [
      characteristicTitle(characteristic),
      ALONG_WORDS[(['X', 'Y', 'Z'] as const).find((axis) => weights[axis] === 1) ?? 'XY'],
      SENSE_WORDS[`${sense}`],
      senseTold ? 'what was told' : 'its name',
      counts ? 'counts' : 'predicted only',
    ]),
  }
}
