import { useRoute } from 'preact-iso'
import type { PlacesView } from '../../server/contract/places.ts'
import { BedMap } from '../../src/figures/bed-map.tsx'
import { SCREEN } from '../../src/figures/palette.ts'
import { SplitChart } from '../../src/figures/split-chart.tsx'
import { DeviationKey } from '../../src/figures/strip.tsx'
import { TrayMap } from '../../src/figures/tray-map.tsx'
import { characteristicTitle, formatNumber, meanDecimals } from '../../src/words/format.ts'
import { placesAddress } from '../data/about-addresses.ts'
import { windowChoices } from '../data/drift-state.ts'
import { useQuery } from '../data/query.ts'
import { useResource } from '../data/resource.ts'
import { spanState } from '../data/span-state.ts'
import { Choice } from '../parts/choice.tsx'
import { Disclosure } from '../parts/disclosure.tsx'
import { AboutControls, AboutWays } from '../parts/drift/about-head.tsx'
import { ReadingOfPartNumber } from '../parts/notice.tsx'
import { Opening } from '../parts/sentence.tsx'
import { MeasuredStage } from '../parts/stage-choice.tsx'
import { StillFigure } from '../parts/still-figure.tsx'
import { useTitle } from '../parts/title.ts'
import { bedTable, splitTable, trayTable } from '../words/places-tables.ts'
import { unitText } from '../words/quantities.ts'

/** Whether parts of one characteristic come out otherwise at some place of the bed, on some tray, by some gauge. */
export function PlacesPage() {
  const { params } = useRoute()
  const { query } = useQuery()
  const key = { number: params.number ?? '', revision: params.revision ?? '' }
  const designator = params.designator ?? ''
  useTitle(`Where the parts lay, ${key.number} characteristic ${designator}`)
  const { stage, last } = spanState(query)
  const resource = useResource<PlacesView>(placesAddress(key, designator, stage, last))
  const view = resource.value
  return (
    <>
      <ReadingOfPartNumber resource={resource} what="the places" />
      {view !== null && (
        <div class={view.characteristic.designator === designator ? undefined : 'stale'}>
          <Opening headline={view.headline} grounds={view.grounds} />
          <AboutWays of={key} designator={designator} here="places" />
          <Places view={view} designator={designator} />
        </div>
      )}
    </>
  )
}

function Places({ view, designator }: { view: PlacesView; designator: string }) {
  const { query, change } = useQuery()
  const { stage, last } = spanState(query)
  const { characteristic, bed, trays, splits } = view
  const singly = bed?.parts !== null && query.parts !== 'means'
  const shown = last === null || last >= view.total ? 'all' : String(last)
  const name = `${view.partNumber.number} rev ${view.partNumber.revision}, ${characteristicTitle(characteristic)}`
  return (
    <>
      <AboutControls of={view.partNumber} designator={designator} here="places">
        <Choice
          legend="Builds"
          name="last"
          value={shown}
          options={windowChoices(view.total).map((count) =>
            count === null
              ? { value: 'all', text: `all ${view.total}` }
              : { value: String(count), text: `last ${count}` },
          )}
          onPick={(value) => change({ last: value === 'all' ? null : value })}
        />
        {bed !== null && bed.parts !== null && (
          <Choice
            legend="Bed"
            name="parts"
            value={singly ? 'singly' : 'means'}
            options={[
              { value: 'singly', text: 'part by part' },
              { value: 'means', text: 'means of places' },
            ]}
            onPick={(value) => change({ parts: value === 'means' ? 'means' : null })}
          />
        )}
        <MeasuredStage value={stage} onPick={(value) => change({ stage: value })} />
        <div class="key">
          <span>from the parts of the same build and load, in standard errors</span>
          <DeviationKey palette={SCREEN} />
        </div>
      </AboutControls>
      <div class="side-by-side">
        <section aria-labelledby="bed-title">
          <h2 id="bed-title">In the bed</h2>
          {bed === null ? (
            <p class="quiet">No places in the bed are on record.</p>
          ) : (
            <>
              <p class="quiet">
                {singly
                  ? 'Each square is one part; parts of different builds at the same place stand side by side, in the order of builds.'
                  : `Each square is the mean of the parts in ${formatNumber(bed.step[0], 0)} × ${formatNumber(bed.step[1], 0)} mm, seen through the bed.`}
              </p>
              <StillFigure
                name="bed"
                title={`${name}, in the bed`}
                draw={(palette, width) => (
                  <BedMap
                    bed={bed}
                    singly={singly}
                    width={Math.min(width, 900)}
                    palette={palette}
                    label={`Parts in the bed, ${characteristicTitle(characteristic)}`}
                  />
                )}
                table={() => bedTable(view, singly)}
                from={[view, singly]}
              />
            </>
          )}
        </section>
        <section aria-labelledby="trays-title">
          <h2 id="trays-title">On the trays</h2>
          {trays.length === 0 ? (
            <p class="quiet">No trays are on record.</p>
          ) : (
            <>
              <p class="quiet">
                A row is a tray, a square the mean of the parts that stood at one place of it; the wide square
                is the whole tray, its mean in standard deviations of parts.
              </p>
              <StillFigure
                name="trays"
                title={`${name}, on the trays`}
                draw={(palette, width) => (
                  <TrayMap
                    trays={trays}
                    width={width}
                    palette={palette}
                    label={`Parts on the trays, ${characteristicTitle(characteristic)}`}
                  />
                )}
                table={() => trayTable(view)}
                from={[view]}
              />
            </>
          )}
        </section>
      </div>
      {splits.length > 0 && (
        <section aria-labelledby="splits-title">
          <h2 id="splits-title">Split by what parts were made and measured with</h2>
          <p class="quiet">
            The mean of each group against the mean of the groups it can be compared with. An interval that
            leaves out zero: the group surely differs from the others.
          </p>
          <StillFigure
            name="splits"
            title={`${name}, groups compared`}
            draw={(palette, width) => (
              <SplitChart
                splits={splits}
                unit={unitText(characteristic.unit)}
                decimals={meanDecimals(characteristic)}
                width={Math.min(width, 1100)}
                palette={palette}
                label={`Groups compared, ${characteristicTitle(characteristic)}`}
              />
            )}
            table={() => splitTable(view)}
            from={[view]}
          />
        </section>
      )}
      <Disclosure name="why" title="How do you know?">
        <Why view={view} />
      </Disclosure>
    </>
  )
}

function Why({ view }: { view: PlacesView }) {
  const { characteristic, sigma } = view
  return (
    <div class="why">
      {sigma !== null && (
        <p>
          {`The standard deviation of parts of the same build and furnace load is ${formatNumber(sigma, meanDecimals(characteristic) + 1)} ${unitText(characteristic.unit)}, pooled over builds and loads. A colour shows the mean deviation of the parts in a square times the root of their number, over that standard deviation.`}
        </p>
      )}
      <p>
        Groups are compared by least squares of groups beside builds (trays and gauges: beside build and
        furnace load), the intrablock analysis of F. Yates, Annals of Eugenics 10 (1940), 317–325. Effects add
        to zero over the groups that builds link with one another, so one low tray lifts the others a little.
        Intervals are Student’s, with 95 % for each split as a whole, divided evenly among its groups
        (Bonferroni’s inequality).
      </p>
      <p>
        Where each build has one powder lot, printer or furnace only, builds are compared: the scatter is that
        of means of builds, and a change that came at the same time counts too.
      </p>
    </div>
  )
}
