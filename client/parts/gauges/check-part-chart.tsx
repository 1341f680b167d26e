import type { CheckPartView } from '../../../server/contract/gauges.ts'
import type { Characteristic } from '../../../src/domain/characteristic.ts'
import { ControlChart } from '../../../src/figures/control-chart.tsx'
import { timelineLayout } from '../../../src/figures/timeline-layout.ts'
import { meanDecimals } from '../../../src/words/format.ts'
import { unitText } from '../../../src/words/unit.ts'
import { checkTable } from '../../words/gauge-tables.ts'
import { StillFigure } from '../still-figure.tsx'

interface CheckPartChartProps {
  readonly check: CheckPartView
  readonly gauge: string
  readonly characteristic: Characteristic
}

/** The control chart of a check part, one point a day. */
export function CheckPartChart({ check, gauge, characteristic }: CheckPartChartProps) {
  const { chart, part } = check
  const unit = unitText(characteristic.unit)
  const decimals = meanDecimals(characteristic)
  const names = chart.subgroups.map(({ label }) => label)
  const title = `${gauge}, check part ${part}`
  return (
    <StillFigure
      name={`check-${part}`}
      title={title}
      draw={(palette, width) => (
        <ControlChart
          model={chart}
          positions={names.map((_, i) => i)}
          layout={timelineLayout(width, 0, Math.max(0, names.length - 1))}
          buildNames={names}
          unit={unit}
          point={chart.form === 'individuals' ? 'reading of the day' : 'mean of the day'}
          every="day"
          decimals={decimals}
          specification={null}
          band={null}
          palette={palette}
          label={`Control chart of ${title}`}
        />
      )}
      table={() => checkTable(check, unit, decimals)}
      from={[check]}
    />
  )
}
