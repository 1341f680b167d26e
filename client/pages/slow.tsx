import { useMemo, useState } from 'preact/hooks'
import { useRoute } from 'preact-iso'
import type { ChartView } from '../../server/contract/views.ts'
import { type SlowChart, slowChart } from '../../src/charts/slow-change.ts'
import { SlowFigure } from '../../src/figures/slow-figure.tsx'
import {
  capitalise,
  characteristicTitle,
  countOf,
  formatCount,
  formatNumber,
  formatSigned,
} from '../../src/words/format.ts'
import { comparison, slowWords } from '../../src/words/slow-words.ts'
import { chartAddress } from '../data/addresses.ts'
import { driftState, windowOf } from '../data/drift-state.ts'
import { useQuery } from '../data/query.ts'
import { useResource } from '../data/resource.ts'
import { ALARMS, slowSettings } from '../data/slow-state.ts'
import { BuildSlider } from '../parts/build-slider.tsx'
import { Choice } from '../parts/choice.tsx'
import { Disclosure } from '../parts/disclosure.tsx'
import { AboutControls, AboutWays } from '../parts/drift/about-head.tsx'
import { RangeField } from '../parts/drift/range-field.tsx'
import { ReadingOfPartNumber } from '../parts/notice.tsx'
import { Opening } from '../parts/sentence.tsx'
import { MeasuredStage } from '../parts/stage-choice.tsx'
import { useTitle } from '../parts/title.ts'
import { WindowChoice } from '../parts/window-choice.tsx'
import type { TableModel } from '../save/csv.ts'

/** Slow changes of one characteristic: a running average or running sums of the points of its control chart. */
export function SlowPage() {
  const { params } = useRoute()
  const { query } = useQuery()
  const key = { number: params.number ?? '', revision: params.revision ?? '' }
  const designator = params.designator ?? ''
  useTitle(`Slow changes of ${key.number} characteristic ${designator}`)
  const resource = useResource<ChartView>(chartAddress(key, designator, driftState(query).stage))
  const view = resource.value
  return (
    <>
      <ReadingOfPartNumber resource={resource} what="the chart" />
      {view !== null && <Slow view={view} designator={designator} />}
    </>
  )
}

function Slow({ view, designator }: { view: ChartView; designator: string }) {
  const { query, change } = useQuery()
  const [focus, setFocus] = useState<number | null>(null)
  const settings = slowSettings(query)
  const { chart, characteristic, partNumber } = view
  const key = JSON.stringify(settings)
  const slow = useMemo(() => slowChart(chart, settings), [chart, key])
  const span = windowOf(chart.subgroups.length, driftState(query).builds)
  const names = chart.subgroups.map((subgroup) => subgroup.label)
  const positions = names.map((_, i) => i)
  const name = characteristicTitle(characteristic)
  return (
    <>
      <Opening {...slowWords(characteristic, chart, slow, settings)} />
      <AboutWays of={partNumber} designator={designator} here="slow" />
      <AboutControls of={partNumber} designator={designator} here="slow">
        <Choice
          legend="Watched by"
          name="by"
          value={settings.by}
          options={[
            { value: 'average', text: 'running average' },
            { value: 'sum', text: 'running sums' },
          ]}
          onPick={(by) => change({ by: by === 'sum' ? 'sum' : null })}
        />
        {settings.by === 'average' ? (
          <RangeField
            label="Weight of the newest build"
            min={0.05}
            max={1}
            step={0.05}
            value={settings.weight}
            text={`${formatNumber(settings.weight * 100, 0)} %`}
            onPick={(value) => change({ weight: value.toFixed(2) })}
          />
        ) : (
          <RangeField
            label="Shift to find soonest"
            min={0.25}
            max={3}
            step={0.25}
            value={settings.shift}
            text={`${formatNumber(settings.shift, 2)} standard errors`}
            onPick={(value) => change({ shift: value.toFixed(2) })}
          />
        )}
        <Choice
          legend="A false alarm in"
          name="alarm"
          value={String(settings.alarm)}
          options={ALARMS.map((alarm) => ({ value: String(alarm), text: `${formatCount(alarm)} builds` }))}
          onPick={(alarm) => change({ alarm: alarm === '370' ? null : alarm })}
        />
        <WindowChoice total={chart.subgroups.length} />
        <MeasuredStage value={driftState(query).stage} onPick={(stage) => change({ stage })} />
      </AboutControls>
      <p class="quiet">
        {settings.by === 'average'
          ? 'A small weight remembers long and finds small lasting changes; a weight of 100 % is the control chart itself.'
          : 'What each build lies beyond half the shift is added up; a lasting change of that size is found soonest.'}
      </p>
      <p class="readout">
        {focus === null ? 'Point at a build to read its figures.' : pointWords(view, slow, focus)}
      </p>
      <BuildSlider
        name="slow"
        title={`${partNumber.number} rev ${partNumber.revision}, ${name}, slow changes`}
        label={`Builds, slow changes of ${name}.`}
        span={span}
        focus={focus}
        words={(position) => pointWords(view, slow, position)}
        draw={(layout, palette, live) => (
          <SlowFigure
            slow={slow}
            positions={positions}
            layout={layout}
            buildNames={names}
            palette={palette}
            label={live ? null : `Slow changes of ${name}`}
          />
        )}
        table={() => slowTable(view, slow, span)}
        from={[view, slow]}
        onFocus={setFocus}
      />
      <h2>What it signals, beside the tests in force</h2>
      {slow.signals.length === 0 ? (
        <p class="quiet">Nothing lies outside the limits.</p>
      ) : (
        <ul class="signals">
          {slow.signals.map((signal) => (
            <li key={`${signal.side} ${signal.from}`}>
              {capitalise(
                `${signal.side} from build ${names[signal.from]}, ${countOf(signal.to - signal.from + 1, 'build')}: ${comparison(signal, slow.signals, (i) => names[i] ?? '')}.`,
              )}
            </li>
          ))}
        </ul>
      )}
      <Disclosure name="why" title="How do you know?">
        <div class="why">
          <p>
            The points of the control chart, each as its distance from the centre line in standard errors, are
            averaged with weights that fall off (S. W. Roberts, Technometrics 1 (1959), 239–250) or summed up
            (E. S. Page, Biometrika 41 (1954), 100–115). They begin anew with each phase; what is left out is
            passed over.
          </p>
          <p>
            Limits are set for the chosen distance between false alarms, from the integral equations of S. V.
            Crowder, Technometrics 29 (1987), 401–407, and of Page, for builds that scatter normally and
            independently about known limits. More alarms wanted means earlier ones: compare at like
            distances. The distance is that of an average long under way; since its limits are narrower in the
            first builds of a phase, the first false alarm comes a little earlier: after 365 builds in place
            of 370 where the newest weighs 0.2, after 341 where it weighs 0.05 (simulated).
          </p>
        </div>
      </Disclosure>
    </>
  )
}

function pointWords({ chart }: ChartView, slow: SlowChart, position: number): string {
  const label = chart.subgroups[position]?.label ?? ''
  const [above, upper] = [slow.above[position], slow.upper[position]]
  const below = slow.below?.[position]
  if (typeof above !== 'number' || typeof upper !== 'number') return `Build ${label}: left out`
  const values =
    typeof below === 'number'
      ? `sums ${formatSigned(above, 2)} and ${formatSigned(below, 2)}`
      : `average ${formatSigned(above, 2)}`
  return `Build ${label}: ${values} standard errors, limits ± ${formatNumber(upper, 2)}`
}

function slowTable({ chart }: ChartView, slow: SlowChart, [from, to]: readonly [number, number]): TableModel {
  const column = (heading: string) => ({ heading, decimals: 3 })
  return {
    caption: 'Slow changes, in standard errors of a plotted point',
    columns: [
      { heading: 'build', decimals: null },
      column(slow.below === null ? 'running average' : 'sum above'),
      ...(slow.below === null ? [] : [column('sum below')]),
      column('lower limit'),
      column('upper limit'),
    ],
    rows: chart.subgroups.flatMap((subgroup, i) =>
      i < from || i > to
        ? []
        : [
            [
              subgroup.label,
              slow.above[i] ?? null,
              ...(slow.below === null ? [] : [slow.below[i] ?? null]),
              slow.lower[i] ?? null,
              slow.upper[i] ?? null,
            ],
          ],
    ),
  }
}
