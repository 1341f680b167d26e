import { useState } from 'preact/hooks'
import { useLocation, useRoute } from 'preact-iso'
import type { TogetherView } from '../../server/contract/together.ts'
import type { EventsView } from '../../server/contract/views.ts'
import type { TogetherChart } from '../../src/charts/together.ts'
import type { Characteristic } from '../../src/domain/characteristic.ts'
import { TogetherFigure } from '../../src/figures/together-chart.tsx'
import { capitalise, countWord, formatNumber } from '../../src/words/format.ts'
import { probabilityText } from '../../src/words/probability.ts'
import { movedWords } from '../../src/words/together-words.ts'
import { togetherAddress } from '../data/about-addresses.ts'
import { driftPage, eventsAddress, type PartNumberKey } from '../data/addresses.ts'
import { driftState, windowOf } from '../data/drift-state.ts'
import { useQuery } from '../data/query.ts'
import { useResource } from '../data/resource.ts'
import { BuildSlider } from '../parts/build-slider.tsx'
import { Disclosure } from '../parts/disclosure.tsx'
import { ReadingOfPartNumber } from '../parts/notice.tsx'
import { Opening, Words } from '../parts/sentence.tsx'
import { MeasuredStage } from '../parts/stage-choice.tsx'
import { useTitle } from '../parts/title.ts'
import { WindowChoice } from '../parts/window-choice.tsx'
import type { TableModel } from '../save/csv.ts'

/** All characteristics of a part number judged at once, build by build. */
export function TogetherPage() {
  const { params, query } = useRoute()
  const key = { number: params.number ?? '', revision: params.revision ?? '' }
  useTitle(`All characteristics of ${key.number} together`)
  const resource = useResource<TogetherView>(togetherAddress(key, driftState(query).stage))
  const view = resource.value
  return (
    <>
      <ReadingOfPartNumber resource={resource} what="all characteristics" />
      {view !== null && (
        <>
          <Opening headline={view.headline} grounds={view.grounds} />
          <WhatStands of={key} stage={view.stage} />
          <nav class="ways" aria-label="About this part number">
            <a href={driftPage(key)}>Strip and control charts</a>
          </nav>
          <Together view={view} />
        </>
      )}
    </>
  )
}

/**
 * What the charts say: a change that lasts, but is small against the scatter of builds, does not show in a build by
 * itself.
 */
function WhatStands({ of, stage }: { of: PartNumberKey; stage: string }) {
  const { value } = useResource<EventsView>(eventsAddress(of, stage))
  const standing = value?.events.filter((event) => event.standing && event.answer === null) ?? []
  if (value === null || standing.length === 0) return null
  return (
    <p class="lead">
      {
        'T² judges each build by itself, and misses what lasts but is small beside the scatter of builds. By all builds together: '
      }
      <Words sentence={value.headline} />
      {standing.length > 1 &&
        ` ${standing.length === 2 ? 'Another event stands' : `${capitalise(countWord(standing.length - 1))} further events stand`} too.`}
    </p>
  )
}

function Together({ view }: { view: TogetherView }) {
  const { route } = useLocation()
  const { query, change } = useQuery()
  const [focus, setFocus] = useState<number | null>(null)
  const state = driftState(query)
  const { chart, builds, characteristics, partNumber } = view
  const span = windowOf(builds.length, state.builds)
  const designators = characteristics.map((each) => each.designator)
  const names = builds.map((build) => build.name)
  const words = (position: number) => pointWords(view, position)
  const open = (position: number) => {
    const moved = chart?.points.find((point) => point.position === position)?.moved[0]
    const designator = designators[moved ?? chart?.judged[0] ?? 0]
    if (designator !== undefined)
      route(`${driftPage(partNumber, designator)}?build=${encodeURIComponent(names[position] ?? '')}`)
  }
  return (
    <>
      <div class="controls">
        <WindowChoice total={builds.length} />
        <MeasuredStage value={state.stage} onPick={(stage) => change({ stage })} />
      </div>
      {chart !== null && (
        <>
          <p class="readout">
            {focus === null
              ? 'Point at a build to read what moved; pick it to open the control chart of what moved most.'
              : words(focus)}
          </p>
          <BuildSlider
            name="together"
            title={`${partNumber.number} rev ${partNumber.revision}, all characteristics together`}
            label="Builds, all characteristics together. Enter opens the control chart of what moved most."
            span={span}
            focus={focus}
            words={words}
            draw={(layout, palette, live) => (
              <TogetherFigure
                chart={chart}
                layout={layout}
                buildNames={names}
                designators={designators}
                palette={palette}
                label={live ? null : 'T² of each build’s means'}
              />
            )}
            table={() => togetherTable(chart, characteristics, names, span)}
            from={[view]}
            onFocus={setFocus}
            onOpen={open}
          />
          <p class="quiet">
            Numbers at the points are those of the characteristics that moved. Open points: builds that miss a
            characteristic.
          </p>
        </>
      )}
      <Disclosure name="why" title="How do you know?">
        <div class="why">
          <p>
            Hotelling’s T² is the distance of a build’s means from those of the baseline, in units of how they
            scatter and move together from build to build: what is usual together counts little, what goes
            against the usual counts much. Limits after N. D. Tracy, J. C. Young and R. L. Mason, Journal of
            Quality Technology 24 (1992), 88–95; which characteristics moved after B. J. Murphy, The
            Statistician 36 (1987), 571–581.
          </p>
          <p>
            T² judges each build by itself: it finds a build that is unlike all others, or in which
            characteristics that go together have parted. A small lasting shift of all of them is seen sooner
            on the strip and by running averages.
          </p>
          <p>
            A build that misses a characteristic is judged over the others, against the limit for so many.
            Phases that were opened on single charts are not heeded here.
          </p>
        </div>
      </Disclosure>
    </>
  )
}

function pointWords({ chart, builds, characteristics }: TogetherView, position: number): string {
  const name = builds[position]?.name ?? ''
  const point = chart?.points.find((each) => each.position === position)
  if (point === undefined) return `Build ${name}: not judged`
  const figures = `T² ${formatNumber(point.t2, 1)}, limit ${formatNumber(point.limit, 1)}, p ${probabilityText(point.p)}`
  const moved = point.outside ? `; ${movedWords(point.moved, characteristics)} moved` : ''
  const missing = point.missing.length === 0 ? '' : `; without ${movedWords(point.missing, characteristics)}`
  return `Build ${name}: ${figures}${moved}${missing}`
}

function togetherTable(
  chart: TogetherChart,
  characteristics: readonly Characteristic[],
  names: readonly string[],
  [from, to]: readonly [number, number],
): TableModel {
  return {
    caption: 'T² of each build’s means over all characteristics',
    columns: [
      { heading: 'build', decimals: null },
      { heading: 'T²', decimals: 2 },
      { heading: 'limit', decimals: 2 },
      { heading: 'p', decimals: 5 },
      { heading: 'moved', decimals: null },
      { heading: 'not measured', decimals: null },
    ],
    rows: chart.points
      .filter((point) => point.position >= from && point.position <= to)
      .map((point) => [
        names[point.position] ?? '',
        point.t2,
        point.limit,
        point.p,
        point.moved.length === 0 ? null : movedWords(point.moved, characteristics, 99),
        point.missing.length === 0 ? null : movedWords(point.missing, characteristics, 99),
      ]),
  }
}
