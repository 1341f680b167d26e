import type { ChartGround, MeasuredPart } from '../../../server/contract/typing.ts'
import { type Characteristic, isStated } from '../../../src/domain/characteristic.ts'
import { inOwnTolerance } from '../../../src/domain/own-limits.ts'
import { ControlChart } from '../../../src/figures/control-chart.tsx'
import { SCREEN } from '../../../src/figures/palette.ts'
import { timelineLayout } from '../../../src/figures/timeline-layout.ts'
import { characteristicTitle, meanDecimals } from '../../../src/words/format.ts'
import { groundAddress } from '../../data/addresses.ts'
import { earlierValues, provisionalChart } from '../../data/provisional.ts'
import { useResource } from '../../data/resource.ts'
import type { TypedRemark } from '../../data/typed-checks.ts'
import { isOwnFault, typedLimits } from '../../data/typed-own-limits.ts'
import { decimalOf, filledCells, type TypedRow, type TypedSheet } from '../../data/typed-sheet.ts'
import { counted, unitText } from '../../words/quantities.ts'
import { Reading } from '../notice.tsx'
import { useWidth } from '../width.ts'

/** Builds that are drawn. */
const SHOWN = 60

interface TypingChartProps {
  readonly sheet: TypedSheet
  readonly characteristic: Characteristic
  /** What keeps values of it out of the point. */
  readonly left: readonly TypedRemark[]
  /** What is on record of the parts, by serial number. */
  readonly parts: ReadonlyMap<string, MeasuredPart>
}

/**
 * What is typed of a characteristic, as its values are charted: in units of the part's own tolerance where it has one.
 */
function judgedValue(characteristic: Characteristic, row: TypedRow): number | null {
  const decimal = decimalOf(row.cells[characteristic.designator]?.text ?? '')
  if (decimal === null || isStated(characteristic)) return decimal === null ? null : Number(decimal)
  const limits = typedLimits(characteristic, row)
  return isOwnFault(limits) ? null : inOwnTolerance(Number(decimal), limits)
}

/** The chart of a characteristic with the build that is being typed as its last, provisional point. */
export function TypingChart({ sheet, characteristic, left, parts }: TypingChartProps) {
  const [ref, width] = useWidth()
  const ground = useResource<ChartGround>(groundAddress(sheet, characteristic.designator, sheet.stage))
  const rowsLeft = new Set(left.map(({ row }) => row))
  const doubtful = new Set(left.flatMap(({ kind, row }) => (kind === 'doubt' ? [row] : []))).size
  const typed = filledCells(sheet).flatMap(({ row, serial, designator, cell }) => {
    const value =
      designator === characteristic.designator && !rowsLeft.has(row)
        ? judgedValue(characteristic, sheet.rows[row] as TypedRow)
        : null
    return value === null ? [] : [{ serial, value, measuredAt: Date.parse(cell.at.replace(' ', 'T')) / 1000 }]
  })
  const drawn =
    ground.value === null
      ? null
      : provisionalChart(ground.value, sheet.build, typed, earlierValues(parts, characteristic.designator))
  const last = drawn === null ? 0 : drawn.buildNames.length - 1
  return (
    <section class="typing-chart" aria-label={`Chart of ${characteristicTitle(characteristic)}`}>
      <h2>{characteristicTitle(characteristic)}</h2>
      <p class="quiet">
        {typed.length === 0
          ? doubtful > 0
            ? 'No point of it yet.'
            : 'Nothing typed of it yet.'
          : `Build ${sheet.build} from ${counted(typed.length, 'typed value')}: provisional until it is taken in.`}
        {doubtful > 0 &&
          ` ${counted(doubtful, 'doubtful value')} left out of it until ${doubtful === 1 ? 'it is' : 'they are'} decided.`}
      </p>
      <Reading resource={ground} what="the chart" />
      <div ref={ref} class="figure">
        {width !== null && drawn !== null && drawn.chart.subgroups.length > 0 && (
          <ControlChart
            model={drawn.chart}
            positions={drawn.positions}
            layout={timelineLayout(width, Math.max(0, last - SHOWN), last)}
            buildNames={drawn.buildNames}
            unit={unitText(characteristic.unit)}
            decimals={meanDecimals(characteristic)}
            specification={characteristic}
            band={null}
            palette={SCREEN}
            label={`Control chart of ${characteristicTitle(characteristic)} with build ${sheet.build} as typed`}
          />
        )}
      </div>
    </section>
  )
}
