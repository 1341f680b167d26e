import type { ChartGround } from '../../server/contract/typing.ts'
import type { Characteristic } from '../../src/domain/characteristic.ts'
import { ControlChart } from '../../src/figures/control-chart.tsx'
import { SCREEN } from '../../src/figures/palette.ts'
import { timelineLayout } from '../../src/figures/timeline-layout.ts'
import { characteristicTitle, meanDecimals } from '../../src/words/format.ts'
import { groundAddress } from '../data/addresses.ts'
import { provisionalChart } from '../data/provisional.ts'
import { useResource } from '../data/resource.ts'
import { decimalOf, filledCells, type TypedSheet } from '../data/typed-sheet.ts'
import { counted, unitText } from '../words/quantities.ts'
import { Reading } from './notice.tsx'
import { useWidth } from './width.ts'

/** Builds that are drawn. */
const SHOWN = 60

/** The chart of a characteristic with the build that is being typed as its last, provisional point. */
export function TypingChart({
  sheet,
  characteristic,
}: {
  sheet: TypedSheet
  characteristic: Characteristic
}) {
  const [ref, width] = useWidth()
  const ground = useResource<ChartGround>(groundAddress(sheet, characteristic.designator, sheet.stage))
  const typed = filledCells(sheet).flatMap(({ designator, cell }) => {
    const decimal = designator === characteristic.designator ? decimalOf(cell.text) : null
    return decimal === null ? [] : [Number(decimal)]
  })
  const drawn = ground.value === null ? null : provisionalChart(ground.value, sheet.build, typed)
  const last = drawn === null ? 0 : drawn.buildNames.length - 1
  return (
    <section class="typing-chart" aria-label={`Chart of ${characteristicTitle(characteristic)}`}>
      <h2>{characteristicTitle(characteristic)}</h2>
      <p class="quiet">
        {typed.length === 0
          ? 'Nothing typed of it yet.'
          : `Build ${sheet.build} from ${counted(typed.length, 'typed value')}: provisional until it is taken in.`}
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
