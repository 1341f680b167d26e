import { useEffect } from 'preact/hooks'
import { useRoute } from 'preact-iso'
import type { DriftView, EventsView } from '../../server/contract/views.ts'
import { SCREEN } from '../../src/figures/palette.ts'
import { Strip } from '../../src/figures/strip.tsx'
import { stripLayout } from '../../src/figures/strip-layout.ts'
import { timelineLayout } from '../../src/figures/timeline-layout.ts'
import { driftAddress, eventsAddress } from '../data/addresses.ts'
import { driftState, windowOf } from '../data/drift-state.ts'
import { useResource } from '../data/resource.ts'
import { Reading, ReadingOfPartNumber } from '../parts/notice.tsx'
import { Words } from '../parts/sentence.tsx'
import { useTitle } from '../parts/title.ts'
import { useWidth } from '../parts/width.ts'

/** Builds on the screen where the address asks for none: cells are large enough to be seen from afar. */
const BUILDS = 30
/** Least width that the strip is drawn for before it is enlarged. */
const LEAST_WIDTH = 320
/** Share of the screen's height that the strip takes. */
const SHARE = 0.66

/** For a screen on the shop floor: the sentence and the strip, nothing else. It follows the record by itself. */
export function FloorPage() {
  const { params, query } = useRoute()
  const key = { number: params.number ?? '', revision: params.revision ?? '' }
  useTitle(`${key.number}, rev ${key.revision}`)
  const { stage } = driftState(query)
  const resource = useResource<DriftView>(driftAddress(key, stage))
  // The same sentence as on the page Drift.
  const events = useResource<EventsView>(eventsAddress(key, stage))
  useEffect(() => {
    document.documentElement.classList.add('floor')
    return () => document.documentElement.classList.remove('floor')
  }, [])
  const view = resource.value
  return (
    <>
      <ReadingOfPartNumber resource={resource} what="the builds" />
      {resource.problem === null && <Reading resource={events} what="what moved" />}
      {view !== null && (
        <>
          <h1>
            <Words sentence={events.value?.headline ?? [{ text: '\u00a0' }]} />
          </h1>
          <FloorStrip view={view} builds={query.builds === undefined ? BUILDS : driftState(query).builds} />
        </>
      )}
    </>
  )
}

function FloorStrip({ view, builds }: { view: DriftView; builds: number | null }) {
  const [ref, width] = useWidth()
  const [from, to] = windowOf(view.builds.length, builds)
  const { rows } = view.overview
  const { number, revision } = view.partNumber
  // Enlarged until it fills the screen: the fewer rows, the larger their words.
  const enlarged = Math.max(1, (SHARE * window.innerHeight) / (stripLayout(rows, 'axis').bottom + 20))
  const drawn = width === null ? 0 : Math.max(LEAST_WIDTH, width / enlarged)
  return (
    <div ref={ref} class="enlarged">
      {width !== null && rows.length > 0 && (
        <Strip
          rows={rows}
          order="axis"
          layout={timelineLayout(drawn, from, to)}
          buildNames={view.builds.map((build) => build.name)}
          lanes={{ lanes: [], throughout: [] }}
          chosen={null}
          band={null}
          palette={SCREEN}
          label={`${number} rev ${revision}: deviation of each build’s mean from its centre line, by characteristic`}
        />
      )}
    </div>
  )
}
