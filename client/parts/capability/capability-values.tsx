import { useMemo } from 'preact/hooks'
import type { CapabilityDetailView } from '../../../server/contract/capability-detail.ts'
import { plotBand } from '../../../src/capability/plot-band.ts'
import { bindingLimits } from '../../../src/capability/quantile-method.ts'
import { Histogram, type ValuesFigureProps } from '../../../src/figures/histogram.tsx'
import type { Palette } from '../../../src/figures/palette.ts'
import { ProbabilityPlot } from '../../../src/figures/probability-plot.tsx'
import { choiceSentence, sampleSentence } from '../../../src/words/choice-words.ts'
import { characteristicTitle, drawingDecimals, formatCount } from '../../../src/words/format.ts'
import { unitText } from '../../../src/words/unit.ts'
import { histogramTable, probabilityTable } from '../../words/capability-detail-tables.ts'
import { StillFigure } from '../still-figure.tsx'

export interface DetailProps {
  readonly view: CapabilityDetailView
  readonly measured: NonNullable<CapabilityDetailView['measured']>
}

const HEIGHT = 260

/** The single values, the distribution that they are judged by, and why it is that one. */
export function CapabilityValues({ view, measured }: DetailProps) {
  const { summary, binned, nEffective } = measured
  const { characteristic, shape, requirement } = summary
  const name = characteristicTitle(characteristic)
  const distribution = shape?.fitted ?? null
  const band = useMemo(
    () =>
      distribution === null || binned === null
        ? []
        : plotBand(distribution, binned.n, nEffective, requirement.confidence),
    [measured],
  )
  if (binned === null) return <p>{`All values of ${name} are the same: there is no distribution to show.`}</p>
  const title = `${view.partNumber.number} rev ${view.partNumber.revision}, ${name}`
  const props = (palette: Palette, width: number, label: string): ValuesFigureProps => ({
    values: binned,
    distribution,
    limits: bindingLimits(characteristic, characteristic.kind),
    decimals: drawingDecimals(characteristic),
    unit: unitText(characteristic.unit),
    width,
    height: HEIGHT,
    palette,
    label,
  })
  return (
    <section aria-labelledby="values-title">
      <h2 id="values-title">How the values lie</h2>
      <div class="pair">
        <StillFigure
          name="histogram"
          title={`${title}, histogram`}
          draw={(palette, width) => <Histogram {...props(palette, width, `Histogram of ${name}`)} />}
          table={() => histogramTable(characteristic, binned, distribution)}
          from={[measured]}
        />
        <StillFigure
          name="plot"
          title={`${title}, probability plot`}
          draw={(palette, width) => (
            <ProbabilityPlot {...props(palette, width, `Probability plot of ${name}`)} band={band} />
          )}
          table={() => probabilityTable(characteristic, binned, distribution, band)}
          from={[measured, band]}
        />
      </div>
      {shape === null ? (
        <p>The values are too few for a distribution: mean and sigma have to do.</p>
      ) : (
        <p>
          {choiceSentence(shape.fitted.family, shape.reason)} {sampleSentence(shape.chosenOn, summary.n)}
        </p>
      )}
      {band.length > 0 && (
        <p class="quiet">
          {`The band of the probability plot is where at least ${Number((100 * requirement.confidence).toFixed(1))} % of such points would lie, height by height, if the distribution is the right one${nEffective < binned.n - 1 ? `; since builds differ, the ${formatCount(binned.n)} values count as ${formatCount(Math.floor(nEffective))} independent ones` : ''}.`}
        </p>
      )}
    </section>
  )
}
